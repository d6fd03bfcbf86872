"""PostgreSQL and Valkey without an installation: the default when no address is given.

`EmbeddedServers` starts both (or adopts those that a killed supervisor left behind), writes
their addresses into the data folder, and stops them when the last program that uses this
data folder is done.
"""

import fcntl
import json
import os
from pathlib import Path
from typing import IO, Self

from config.embedded.home import ServerProblem, open_home
from config.embedded.postgres import Postgres
from config.embedded.server import Server
from config.embedded.valkey import Valkey
from config.paths import ADDRESS_BOOK, Addresses, write_private

__all__ = ["EmbeddedServers", "ServerProblem"]


class EmbeddedServers:
    """Both servers of one data folder; a context manager.

    `quick` trades safety against power cuts for speed: for tests only.
    """

    def __init__(self, data: Path, quick: bool = False) -> None:
        self.data = data
        self.quick = quick
        self._servers: list[Server] = []
        self._in_use: IO[str] | None = None

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def start(self) -> Addresses:
        """Start or adopt what is not given by DATABASE_URL and REDIS_URL."""
        logs = self.data / "logs"
        logs.mkdir(parents=True, exist_ok=True)
        try:
            with self._lock("starting"):
                self._in_use = self._lock("in-use", fcntl.LOCK_SH)
                home = open_home(self.data)
                self._servers = [
                    kind(home, logs, self.quick)
                    for kind, given in ((Postgres, "DATABASE_URL"), (Valkey, "REDIS_URL"))
                    if not os.environ.get(given)
                ]
                return self._ensure()
        except BaseException:  # a Ctrl-C as well: leave nothing half-started behind
            self.stop()
            raise

    def ensure(self) -> list[str]:
        """Start again whatever died; the names of those."""
        dead = [server.name for server in self._servers if not server.is_alive()]
        if dead:
            with self._lock("starting"):
                self._ensure()
        return dead

    def addresses(self) -> Addresses:
        """Where the servers are: ours, or the given ones."""
        urls = {server.name: server.url() for server in self._servers}
        return Addresses(
            database=urls.get("postgres") or os.environ["DATABASE_URL"],
            redis=urls.get("valkey") or os.environ["REDIS_URL"],
        )

    def _ensure(self) -> Addresses:
        for server in self._servers:
            server.ensure()
        write_private(self.data / ADDRESS_BOOK, json.dumps(self.addresses()))
        return self.addresses()

    def stop(self) -> None:
        """Stop both, unless another program still uses this data folder."""
        if self._in_use is None:
            return
        with self._lock("starting"):
            try:
                fcntl.flock(self._in_use, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                pass
            else:
                (self.data / ADDRESS_BOOK).unlink(missing_ok=True)
                for server in reversed(self._servers):
                    server.stop()
            self._in_use.close()
            self._in_use = None

    def _lock(self, name: str, kind: int = fcntl.LOCK_EX) -> IO[str]:
        """A lock file, held until it is closed; the system frees it when a holder is killed."""
        file = os.fdopen(os.open(self.data / f"{name}.lock", os.O_RDWR | os.O_CREAT, 0o600), "w")
        fcntl.flock(file, kind)
        return file
