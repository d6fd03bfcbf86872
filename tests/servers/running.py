"""Helpers that run the real programs in a data folder of their own (Linux only)."""

import json
import os
import shutil
import signal
import subprocess
import tempfile
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from config.paths import PROJECT
from config.processes import send, wait_until

OURS = ("DATABASE_URL", "REDIS_URL", "DJANGO_SETTINGS_MODULE", "RIGWRIGHT_MODE", "SECRET_KEY")


@contextmanager
def data_folder() -> Iterator[Path]:
    """A fresh data folder that the servers' unprivileged user can reach."""
    folder = Path(tempfile.mkdtemp(prefix="rigwright-test-"))
    folder.chmod(0o755)
    try:
        yield folder
    finally:
        for pid in processes_of(folder):  # only after a failure
            send(pid, signal.SIGKILL)
        shutil.rmtree(folder, ignore_errors=True)


def environment(folder: Path, **more: str) -> dict[str, str]:
    """This process's environment without the test run's own servers and settings."""
    plain = {key: value for key, value in os.environ.items() if key not in OURS}
    return plain | {"RIGWRIGHT_DATA": str(folder)} | more


def serve(folder: Path, port: int) -> subprocess.Popen[str]:
    """Start `bin/serve`; its words go to the file `serve.out` in the folder."""
    with (folder / "serve.out").open("a") as out:
        return subprocess.Popen(
            [PROJECT / "bin" / "serve", "--port", str(port)],
            env=environment(folder),
            stdout=out,
            stderr=out,
            text=True,
        )


def words(folder: Path) -> str:
    return (folder / "serve.out").read_text()


def status(url: str, headers: Mapping[str, str] | None = None) -> int:
    """HTTP status of a GET; 0 when nobody answers."""
    try:
        request = urllib.request.Request(url, headers=dict(headers or {}))
        with urllib.request.urlopen(request, timeout=10) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as refusal:
        return refusal.code
    except OSError:
        return 0


def wait_for_page(url: str, process: subprocess.Popen[str], seconds: float = 60) -> None:
    done = wait_until(lambda: status(url) == 200 or process.poll() is not None, seconds, pause=0.1)
    assert done and process.poll() is None, f"{url} does not answer"


def processes_of(folder: Path) -> list[int]:
    """Processes whose command, environment or working folder speaks of the data folder."""
    found = []
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit() or int(entry.name) == os.getpid():
            continue
        try:
            facts = (entry / "cmdline").read_bytes() + (entry / "environ").read_bytes()
            place = os.readlink(entry / "cwd")
        except OSError:
            continue
        if str(folder).encode() in facts or place.startswith(str(folder)):
            found.append(int(entry.name))
    return found


def recorded_children(folder: Path) -> list[int]:
    """Process numbers of web server and worker, as the supervisor wrote them down."""
    record = json.loads((folder / "serve.json").read_text())
    return [child["pid"] for child in record["children"]]
