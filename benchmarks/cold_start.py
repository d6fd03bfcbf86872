"""`bin/serve` from nothing: a fresh data folder, until the sign-in page answers."""

import os
import shutil
import signal
import statistics
import subprocess
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

from benchmarks.figures import RUNS, Figure, benchmark
from config.paths import PROJECT
from config.processes import free_port, wait_until

LIMIT_S = 120
GIVEN = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "RIGWRIGHT_MODE")


@benchmark("main.cold_start_s")
def cold_start() -> Iterator[Figure]:
    seconds = statistics.median(_start_once() for _ in range(RUNS))
    yield Figure(
        "main.cold_start_s",
        seconds,
        "s",
        note=f"median of {RUNS}; .venv there, data folder new, with demo data",
    )


def _start_once() -> float:
    data = Path(tempfile.mkdtemp(prefix="rigwright-bench-"))
    data.chmod(0o755)
    port = free_port()
    environment = {key: value for key, value in os.environ.items() if key not in GIVEN}
    start = time.perf_counter()
    server = subprocess.Popen(
        [PROJECT / "bin" / "serve", "--port", str(port)],
        env=environment | {"RIGWRIGHT_DATA": str(data)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        url = f"http://localhost:{port}/sign-in/"
        if not wait_until(lambda: server.poll() is not None or _is_there(url), LIMIT_S):
            raise TimeoutError(f"no 200 from /sign-in/ within {LIMIT_S} s")
        if server.poll() is not None:
            raise RuntimeError(f"bin/serve ended with {server.returncode}")
        return time.perf_counter() - start
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(60)
        shutil.rmtree(data, ignore_errors=True)


def _is_there(url: str) -> bool:
    try:
        with urllib.request.urlopen(url, timeout=10) as answer:
            return bool(answer.status == 200)
    except OSError:
        return False
