"""A served page in a process of its own, as a shop starts it."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path


class Served:
    """`advisor serve` on a free port of the loopback; use as a context."""

    def __init__(self, cases: Path, workers: int = 1):
        with socket.socket() as s:
            s.bind(("127.0.0.1", 0))
            self.port = int(s.getsockname()[1])
        self.address = f"http://127.0.0.1:{self.port}"
        command = [sys.executable, "-m", "advisor", "serve", "--cases", str(cases)]
        command += ["--port", str(self.port), "--workers", str(workers)]
        self._errors = tempfile.TemporaryFile()  # noqa: SIM115  closed at the end
        self._process = subprocess.Popen(
            command, stdout=subprocess.DEVNULL, stderr=self._errors, start_new_session=True
        )

    def __enter__(self) -> Served:
        for _ in range(200):
            try:
                urllib.request.urlopen(f"{self.address}/api/about", timeout=5).read()
                return self
            except OSError:
                if self._process.poll() is not None:
                    break
                time.sleep(0.1)
        self.kill()
        with self._errors:
            self._errors.seek(0)
            raise AssertionError(self._errors.read().decode())

    def kill(self) -> None:
        """End it as a power cut does."""
        if self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait(10)

    def kill_first(self) -> None:
        """End the process that started the workers, and it alone."""
        self._process.kill()
        self._process.wait(10)

    def __exit__(self, *_: object) -> None:
        if self._process.poll() is None:
            self._process.terminate()
            try:
                self._process.wait(10)
            except subprocess.TimeoutExpired:
                self.kill()
        self._errors.close()
