"""Starting the page: a listening socket, one or more worker processes, one line to the shop."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.web.folder import Folder
from advisor.web.settings import Settings


def serve(settings: Settings, port: int, workers: int) -> None:
    """Serve until stopped. Raises AdvisorError before anything is served."""
    import uvicorn

    settings.phrase()
    Folder(settings.cases)
    # workers share the arithmetic among cores themselves
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    settings.to_environment()
    shown = f"[{settings.host}]" if ":" in settings.host else settings.host
    sys.stdout.write(f"Cases in {Path(settings.cases).resolve()}; stop with Ctrl-C.\n")
    sys.stdout.write(f"The page: http://{shown}:{port}/\n")
    sys.stdout.flush()
    config = uvicorn.Config(
        "advisor.web.app:from_environment", factory=True, host=settings.host, port=port,
        workers=workers, log_level="warning", access_log=False, server_header=False,
        date_header=False, timeout_keep_alive=30, h11_max_incomplete_event_size=64_000,
    )  # fmt: skip
    if workers == 1:
        uvicorn.Server(config).run()
        return
    from uvicorn.supervisors import Multiprocess

    try:
        socket = config.bind_socket()
    except SystemExit:
        raise AdvisorError(f"{shown}:{port} cannot be listened on; is it in use?") from None
    Multiprocess(config, target=uvicorn.Server(config).run, sockets=[socket]).run()
