"""Small truths about processes and ports that the standard library does not tell."""

import contextlib
import os
import signal
import socket
import subprocess
import time
from collections.abc import Callable
from pathlib import Path


def started_at(pid: int) -> str | None:
    """When process `pid` started, as an opaque word; None when it is gone or a zombie.

    A process number is used again sooner or later; number and start together are not.
    """
    if Path("/proc/self/stat").exists():
        try:
            fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
        except OSError:
            return None
        return None if fields[0] in "ZX" else fields[19]
    answer = subprocess.run(
        ["ps", "-o", "stat=,lstart=", "-p", str(pid)], capture_output=True, text=True, check=False
    ).stdout.split(maxsplit=1)
    return answer[1].strip() if len(answer) == 2 and answer[0][0] != "Z" else None


def is_running(pid: int, started: str | None = None) -> bool:
    """Whether `pid` runs (and, where `started` is given, is still the same process)."""
    now = started_at(pid)
    return now is not None and (started is None or now == started)


def wait_until(done: Callable[[], bool], seconds: float, pause: float = 0.02) -> bool:
    """Poll `done` until it is true (True) or the time is up (False)."""
    end = time.monotonic() + seconds
    while not done():
        if time.monotonic() > end:
            return False
        time.sleep(pause)
    return True


def send(pid: int, sign: signal.Signals, group: bool = False) -> None:
    """Signal a process or its group; one that is gone already is fine."""
    with contextlib.suppress(ProcessLookupError):
        (os.killpg if group else os.kill)(pid, sign)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def port_is_free(host: str, port: int) -> bool:
    """Whether a server could listen there now."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return False
    return True
