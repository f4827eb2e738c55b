"""Starting the page: a listening socket, one or more worker processes, one line to the shop."""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.web.settings import Settings
from advisor.web.shop import Shop


def serve(settings: Settings, port: int, workers: int) -> None:
    """Serve until stopped. Raises AdvisorError before anything is served."""
    import uvicorn

    settings.phrase()
    Shop(settings)  # what is wrong with folder or rules is said once, not by every worker
    _free(settings.host, port)
    # workers share the arithmetic among cores themselves
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    settings.to_environment()
    shown = f"[{settings.host}]" if ":" in settings.host else settings.host
    sys.stdout.write(f"Cases in {Path(settings.cases).resolve()}; stop with Ctrl-C.\n")
    sys.stdout.write(f"The page: http://{shown}:{port}/\n")
    sys.stdout.flush()
    uvicorn.run(
        "advisor.web.app:from_environment", factory=True, host=settings.host, port=port,
        workers=workers, log_level="warning", access_log=False, server_header=False,
        date_header=False, timeout_keep_alive=30, loop="advisor.web.even:EvenLoop",
    )  # fmt: skip


def _free(host: str, port: int) -> None:
    """One clear message where somebody else listens, instead of one from every worker."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        with socket.socket(family, socket.SOCK_STREAM) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind((host, port))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise AdvisorError(f"{host} port {port}: cannot listen there: {reason}") from None
