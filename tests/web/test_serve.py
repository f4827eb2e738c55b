"""Starting the page: what is wrong is said once and clearly, before anything is served."""

from __future__ import annotations

import socket
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.errors import AdvisorError
from advisor.web.serve import serve
from advisor.web.settings import Settings


def test_a_folder_that_is_not_there(tmp_path: Path):
    with pytest.raises(AdvisorError, match="no such folder of cases"):
        serve(Settings(cases=str(tmp_path / "none")), 8420, 1)


def test_rules_that_are_not_there(folder: Path, tmp_path: Path):
    with pytest.raises(AdvisorError, match="the rules folder is missing"):
        serve(Settings(cases=str(folder), rules=str(tmp_path / "none")), 8420, 1)


def test_a_port_that_is_taken(folder: Path):
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        held.listen()
        port = held.getsockname()[1]
        with pytest.raises(AdvisorError, match=f"port {port}: cannot listen there"):
            serve(Settings(cases=str(folder)), port, 1)


def test_another_host_without_a_phrase_is_exit_2(folder: Path):
    command = [sys.executable, "-m", "advisor", "serve", "--host", "0.0.0.0"]
    told = subprocess.run([*command, "--cases", str(folder)], capture_output=True, text=True)
    assert told.returncode == 2 and "--phrase-file" in told.stderr
    assert "Traceback" not in told.stderr


def test_the_other_commands_do_not_load_the_page():
    code = (
        "import sys, advisor.cli.main; "
        "print([m for m in ('fastapi', 'starlette', 'uvicorn') if m in sys.modules])"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
