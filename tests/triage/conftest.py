"""A pack and small stacks for the triage tests."""

from __future__ import annotations

import pytest

from advisor.intake.stack_table import read_table
from advisor.rulebook.load import load_folder
from advisor.triage.board import make_board
from advisor.triage.work import Options


@pytest.fixture(scope="session")
def pack():
    return load_folder().pack


@pytest.fixture(scope="session")
def board_of(pack):
    """Lines of CSV -> a board; processes: 1 unless asked."""

    def make(lines, processes=1, **options):
        stack = read_table("\n".join(lines).encode(), "stack.csv", pack.columns, {})
        return make_board(stack, pack, Options("linehaul_tractor", **options), processes)

    return make
