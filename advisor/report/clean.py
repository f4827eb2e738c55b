"""Text from outside made harmless to show: nothing in it can move a cursor or reverse a line."""

from __future__ import annotations

import re
import unicodedata

# plain text is passed over at once; a character at a time is looked at only outside it
_SUSPECT = re.compile(r"[^\n\t\x20-\x7e]")
# control, format (text direction, zero width), surrogate, line and paragraph separators
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})


def _shown(found: re.Match[str]) -> str:
    char = found[0]
    if unicodedata.category(char) not in _UNSEEN:
        return char
    code = ord(char)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def clean(text: str) -> str:
    """The text with every unseen character written out, as in ``\\x1b``; line ends and tabs stay.

    Raises nothing; visible text comes back unchanged.
    """
    return _SUSPECT.sub(_shown, text.replace("\r\n", "\n"))


def one_line(text: str) -> str:
    """The cleaned text on one line, with runs of blanks made one."""
    return " ".join(clean(text).split())
