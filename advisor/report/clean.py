"""Text from outside made harmless to show: nothing in it can move a cursor or reverse a line."""

from __future__ import annotations

import unicodedata

# control, format (text direction, zero width), surrogate, line and paragraph separators
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})


def _shown(char: str) -> str:
    code = ord(char)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def clean(text: str) -> str:
    """The text with every unseen character written out, as in ``\\x1b``; line ends and tabs stay.

    Raises nothing; visible text comes back unchanged.
    """
    if text.isascii() and text.isprintable():
        return text
    text = text.replace("\r\n", "\n")
    return "".join(
        char if char in "\n\t" or unicodedata.category(char) not in _UNSEEN else _shown(char)
        for char in text
    )


def one_line(text: str) -> str:
    """The cleaned text on one line, with runs of blanks made one."""
    return " ".join(clean(text).split())
