"""A stack on a Dask cluster: the same bytes as here, and a lost worker costs nothing."""

from __future__ import annotations

import os
import signal

import pytest

from advisor.errors import AdvisorError
from advisor.intake.stack_table import read_table
from advisor.rulebook.load import load_folder
from advisor.triage import tables
from advisor.triage.board import make_board
from advisor.triage.cluster import ClusterCrew
from advisor.triage.work import Options

distributed = pytest.importorskip("distributed")
pytestmark = pytest.mark.filterwarnings("ignore")  # the cluster's own shutdown warnings
ROWS = 1200


@pytest.fixture(scope="module")
def pack():
    return load_folder().pack


@pytest.fixture(scope="module")
def stack(pack):
    lines = ["Unit,Date,Complaint"]
    says = ["shakes at %d mph in the seat", "hops %d to 70 loaded", "LF wheel nuts loose", "AC out"]
    for n in range(ROWS):
        text = says[n % 4]
        lines.append(f"T-{n % 300},2031-05-02,{text % (45 + n % 20) if '%d' in text else text}")
    return read_table("\n".join(lines).encode(), "stack.csv", pack.columns, {}, None, None)


@pytest.fixture(scope="module")
def cluster():
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as running:
        yield running


def test_a_cluster_gives_the_same_bytes_and_survives_a_lost_worker(pack, stack, cluster):
    options = Options("linehaul_tractor")
    here = tables.board_json(make_board(stack, pack, options, 1), pack)
    address = cluster.scheduler_address
    there = tables.board_json(make_board(stack, pack, options, 1, cluster=address), pack)
    assert there == here

    killed: list[int] = []

    def kill_one(what: str, done: int, of: int) -> None:
        if done and not killed:
            with distributed.Client(address) as client:
                killed.append(next(iter(client.run(os.getpid).values())))
            os.kill(killed[0], signal.SIGKILL)

    again = make_board(stack, pack, options, 1, kill_one, address)
    assert killed
    assert tables.board_json(again, pack) == here


def test_no_cluster_is_said_in_one_line(pack, monkeypatch):
    monkeypatch.setattr("advisor.triage.cluster.CONNECT_WITHIN", "1s")
    with pytest.raises(AdvisorError, match="no cluster answers"):
        ClusterCrew(pack, Options("linehaul_tractor"), "tcp://127.0.0.1:9")
