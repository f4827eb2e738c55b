"""What advisor triage is given, as rows."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.errors import AdvisorError, did_you_mean

if TYPE_CHECKING:
    from advisor.model.pack import Pack
    from advisor.model.stack import Stack


def read_stack(
    file: str, columns: list[str], encoding: str | None, delimiter: str | None, pack: Pack
) -> Stack:
    """A file, a folder of cases, or standard input, as rows; raises AdvisorError."""
    import codecs

    from advisor.intake.stack_columns import asked_columns
    from advisor.intake.stack_file import read_export
    from advisor.intake.stack_lines import read_folder

    asked = asked_columns(columns)
    if file != "-" and Path(file).is_dir():
        return read_folder(Path(file), pack)
    try:
        encoding = codecs.lookup(encoding).name if encoding else None
    except LookupError:
        raise AdvisorError(
            f'--encoding "{encoding}" is not known; utf-8, cp1252 and utf-16 are usual'
        ) from None
    if delimiter is not None:
        delimiter = {"tab": "\t", "\\t": "\t"}.get(delimiter, delimiter)
        if len(delimiter) != 1 or delimiter in '"\r\n':
            raise AdvisorError('--delimiter is one character, such as ";" or tab')
    return read_export(_bytes(file), file, pack.columns, asked, encoding, delimiter)


def _bytes(file: str) -> bytes:
    if file == "-":
        if sys.stdin is None or sys.stdin.isatty():
            raise AdvisorError("-: nothing was piped in; give a file or pipe one into it")
        return sys.stdin.buffer.read()
    try:
        return Path(file).read_bytes()
    except OSError as error:
        folder = Path(file).parent
        names = [entry.name for entry in folder.iterdir()] if folder.is_dir() else []
        near = did_you_mean(Path(file).name, names)
        reason = (error.strerror or "").lower()
        raise AdvisorError(f"{file}: cannot read it: {reason}; {near}".rstrip("; ")) from None
