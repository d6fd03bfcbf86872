"""Settings of the test run, on embedded servers of its own unless addresses are given.

The servers start here, before Django reads where its database is.
"""

import atexit
import fcntl
import os
import signal

from config.embedded import EmbeddedServers
from config.paths import data_folder

os.environ["RIGWRIGHT_MODE"] = "test"
TEST_FOLDER = data_folder() / "test"


def _one_session_at_a_time() -> None:
    """Hold a lock until this process ends: two sessions would share one test database."""
    TEST_FOLDER.mkdir(parents=True, exist_ok=True)
    handle = os.open(TEST_FOLDER / "session.lock", os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        print(f"Another test session uses {TEST_FOLDER}; waiting until it ends ...", flush=True)
        fcntl.flock(handle, fcntl.LOCK_EX)


def _interrupt(*_: object) -> None:
    raise KeyboardInterrupt  # which pytest takes as the wish to stop in order


_one_session_at_a_time()
signal.signal(signal.SIGTERM, _interrupt)
_servers = EmbeddedServers(TEST_FOLDER, quick=True)
_addresses = _servers.start()
atexit.register(_servers.stop)
os.environ.setdefault("DATABASE_URL", _addresses["database"])
os.environ.setdefault("REDIS_URL", _addresses["redis"])

from config.settings import *  # noqa: E402, F403
