"""A real worker process on the test database and the test queue."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

import redis
from django.conf import settings
from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper

from config.paths import PROJECT
from config.processes import free_port, send, wait_until
from rigs.packets.models import Packet, Run

COMMAND = [
    *(sys.executable, "-W", "ignore", "-m", "celery", "--app", "config", "--quiet", "worker"),
    *("--beat", "--concurrency", "2", "--without-gossip", "--without-mingle"),
    *("--loglevel", "WARNING"),
]


def database_url() -> str:
    """Where this test's database is."""
    facts = connection.settings_dict
    account = f"{quote(facts['USER'])}:{quote(facts['PASSWORD'])}"
    return f"postgresql://{account}@{facts['HOST']}:{facts['PORT']}/{facts['NAME']}"


def dead_queue() -> str:
    """An address where no queue answers."""
    return f"redis://127.0.0.1:{free_port()}/0"


def environment(folder: Path, queue: str = "") -> dict[str, str]:
    return os.environ | {
        "DATABASE_URL": database_url(),
        "REDIS_URL": queue or settings.REDIS_URL,
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "RIGWRIGHT_MODE": "test",
        "RIGWRIGHT_DATA": str(folder),
    }


@contextmanager
def worker(folder: Path) -> Iterator[subprocess.Popen[bytes]]:
    """A worker with a clock of its own; killed with all its children at the end."""
    with (folder / "worker.log").open("ab") as log:
        process = subprocess.Popen(
            [*COMMAND, "--schedule", str(folder / f"clock-{free_port()}")],
            cwd=PROJECT,
            env=environment(folder),
            stdout=log,
            stderr=log,
            start_new_session=True,
        )
    try:
        yield process
    finally:
        kill(process)


def kill(process: subprocess.Popen[bytes]) -> None:
    """kill -9 for the worker and its children alike."""
    send(process.pid, signal.SIGKILL, group=True)
    process.wait(10)


def run_python(code: str, folder: Path, queue: str) -> subprocess.CompletedProcess[str]:
    """A short program beside the test, with Django set up."""
    return subprocess.run(
        [sys.executable, "-c", f"import django; django.setup()\n{code}"],
        cwd=PROJECT,
        env=environment(folder, queue),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


@contextmanager
def locked(packet: Packet) -> Iterator[None]:
    """Hold the packet's row, so that a worker gets as far as filling it and no further."""
    other: BaseDatabaseWrapper = connection.copy()  # type: ignore[no-untyped-call]
    try:
        other.set_autocommit(False)
        with other.cursor() as cursor:
            cursor.execute("SELECT 1 FROM packets_packet WHERE id = %s FOR UPDATE", [packet.pk])
        yield
    finally:
        other.rollback()
        other.close()


def wait_for_state(run_id: int, seconds: float = 30, **fields: object) -> bool:
    return wait_until(lambda: Run.objects.filter(pk=run_id, **fields).exists(), seconds, pause=0.05)


def queue_is_empty() -> bool:
    """Nothing waits in the queue and nothing is in a worker's hands."""
    with redis.Redis.from_url(settings.REDIS_URL) as client:
        return not client.llen("celery") and not client.hlen("unacked")


def empty_queue() -> None:
    """Forget what earlier tests have queued."""
    with redis.Redis.from_url(settings.REDIS_URL) as client:
        client.flushdb()
