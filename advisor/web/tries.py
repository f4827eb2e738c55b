"""Wrong access phrases of the last minute, counted for all worker processes together.

They stand in a table of the index database of the folder: a moment and a keyed digest of the
address, never what was said. Where that cannot be written, each process counts for itself.
"""

from __future__ import annotations

import contextlib
import hashlib
import hmac
import sqlite3
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from advisor.web.index import NAME

T = TypeVar("T")
TRIES, WINDOW_S = 5, 60.0
AHEAD_S = 5.0  # a count from farther ahead was made before the clock was set back
MOST_HELD = 10_000
TABLE = "create table if not exists wrong (address text, at real)"


class Tries:
    """The counts of one folder. secret: that of the entrance, which its workers share."""

    def __init__(self, cases: str, secret: bytes):
        self._file = Path(cases).resolve() / NAME
        self._secret = secret
        self._lock = threading.Lock()
        self._own = _opened(":memory:")

    def wait(self, address: str) -> int:
        """Seconds until this address may try again; 0 for now."""
        return self._ask(lambda db: _wait(db, self._key(address), time.time()))

    def wrong(self, address: str) -> int:
        """Count one wrong phrase; or, where others used up the tries meanwhile, the seconds to
        wait."""
        return self._ask(lambda db: _counted(db, self._key(address)))

    def _key(self, address: str) -> str:
        return hmac.new(self._secret, address.encode(), hashlib.sha256).hexdigest()[:32]

    def _ask(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """Opened anew each time: the file may be deleted any time, and wrong phrases are rare."""
        with self._lock:
            try:
                with contextlib.closing(_opened(str(self._file))) as db:
                    return work(db)
            except sqlite3.Error:
                return work(self._own)


def _opened(target: str) -> sqlite3.Connection:
    return sqlite3.connect(target, timeout=5, check_same_thread=False, isolation_level=None)


def _wait(db: sqlite3.Connection, key: str, now: float) -> int:
    if not db.execute("select 1 from sqlite_master where name = 'wrong'").fetchone():
        return 0
    find = "select at from wrong where address = ? and at > ? and at <= ? order by at"
    seen = [at for (at,) in db.execute(find, (key, now - WINDOW_S, now + AHEAD_S))]
    return int(WINDOW_S - (now - seen[-TRIES])) + 1 if len(seen) >= TRIES else 0


def _counted(db: sqlite3.Connection, key: str) -> int:
    db.execute("pragma synchronous = off")
    db.execute("begin immediate")  # nobody counts between looking and writing
    try:
        db.execute(TABLE)
        now = time.time()
        wait = _wait(db, key, now)
        if not wait:
            db.execute("delete from wrong where at <= ? or at > ?", (now - WINDOW_S, now + AHEAD_S))
            db.execute("insert into wrong values (?, ?)", (key, now))
            newest = "select rowid from wrong order by rowid desc limit ?"
            db.execute(f"delete from wrong where rowid not in ({newest})", (MOST_HELD,))
    except sqlite3.Error:
        db.execute("rollback")
        raise
    db.execute("commit")
    return wait
