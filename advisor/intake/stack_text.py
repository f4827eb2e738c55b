"""Bytes of an export -> lines of text, whatever it was saved as."""

from __future__ import annotations

import codecs
from collections.abc import Iterator

MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def encoding_of(raw: bytes) -> str:
    """utf-8-sig, utf-16, utf-16-le, utf-16-be, utf-8 or cp1252, from the bytes themselves."""
    for mark, name in MARKS:
        if raw.startswith(mark):
            return name
    head = raw[:4096]
    if head.count(0) > len(head) // 4:
        # plain letters in UTF-16 have a zero in every second byte
        return "utf-16-le" if head[1::2].count(0) >= head[::2].count(0) else "utf-16-be"
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def lines_of(raw: bytes, encoding: str) -> Iterator[str]:
    """Lines without their ends. In a file that is not UTF-8 throughout each line is taken as UTF-8
    where it can be and as cp1252 where not: exports are pasted together."""
    if encoding.startswith("utf-16"):
        text = raw.decode(encoding, "replace").removeprefix("\ufeff")
        yield from text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        return
    raw = raw.removeprefix(codecs.BOM_UTF8)
    end = b"\n" if b"\n" in raw else b"\r"
    start = 0
    while start <= len(raw):
        stop = raw.find(end, start)
        stop = len(raw) if stop < 0 else stop
        yield _decoded(raw[start:stop].removesuffix(b"\r"))
        start = stop + 1


def _decoded(line: bytes) -> str:
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("cp1252", "replace")
