"""Seeded mutations of valid inputs: bits, bytes, tokens, lines, splices, extremes."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence

NASTY = [
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\t", b"\r\n", b"&a", b"*a", b"!!python/object:os.x",
    b"<<: *a", b"1e999", b"-1e999", b"nan", b"inf", b"99999999999999999999", b"0x10", b"1:30",
    b"{", b"}", b"[", b"]", b"'", b'"', b": ", b"- ", b"|", b">", b"#", b"%", b"@", b"`",
    b"=cmd()", b"../../../etc/x", b"<script>", b"\x1b[2J", "\u202e\U0001f69b".encode(), b"---\n",
    b"yes", b"no", b"none", b"", b" " * 300, b"a" * 500, b"\n" * 50,
]  # fmt: skip
NUMBER = re.compile(rb"-?\d+(\.\d+)?")


def mutate(seed: bytes, rng: random.Random) -> bytes:
    """One to six random changes of a seed."""
    data = bytearray(seed)
    for _ in range(rng.randint(1, 6)):
        rng.choice(CHANGES)(data, rng)
    return bytes(data[:200_000])


def other_numbers(seed: bytes, rng: random.Random) -> bytes:
    """One to three numbers of a seed replaced: most such inputs are read, and then worked out."""
    data = bytearray(seed)
    for _ in range(rng.randint(1, 3)):
        found = list(NUMBER.finditer(data))
        if not found:
            break
        place = rng.choice(found)
        old = float(place.group())
        near = [-old, old * 10, old / 10, old * 1.01, old + 1, rng.uniform(-5, 5)]
        new = rng.choice([*near, 0, 1, 2, 360, 1e-9, 1e9, 1e-300, 1e300, rng.randrange(400)])
        data[place.start() : place.end()] = f"{new:.6g}".encode()
    return bytes(data)


def _at(data: bytearray, rng: random.Random) -> int:
    return rng.randrange(len(data) + 1)


def _flip(data: bytearray, rng: random.Random) -> None:
    if data:
        data[rng.randrange(len(data))] = rng.randrange(256)


def _insert(data: bytearray, rng: random.Random) -> None:
    i = _at(data, rng)
    data[i:i] = rng.choice(NASTY)


def _delete(data: bytearray, rng: random.Random) -> None:
    i = _at(data, rng)
    del data[i : i + rng.randint(1, 40)]


def _repeat(data: bytearray, rng: random.Random) -> None:
    i = _at(data, rng)
    data[i:i] = data[i : i + rng.randint(1, 80)] * rng.randint(1, 20)


def _swap_lines(data: bytearray, rng: random.Random) -> None:
    lines = bytes(data).split(b"\n")
    rng.shuffle(lines)
    data[:] = b"\n".join(lines)


def _number(data: bytearray, rng: random.Random) -> None:
    """Replace some run of digits by an extreme."""
    places = [i for i, c in enumerate(data) if 48 <= c <= 57]
    if places:
        i = rng.choice(places)
        data[i : i + 1] = rng.choice([b"1e308", b"-5", b"0", b"9" * 30, b"nan", b"1,5", b"0.0"])


CHANGES: Sequence[Callable[[bytearray, random.Random], None]] = (
    _flip, _insert, _delete, _repeat, _swap_lines, _number,
)  # fmt: skip
