"""`bin/serve`: everything that Rigwright needs, in one terminal.

Starts the embedded servers, brings the data up to date, then runs web server and worker and
starts again what dies. Ctrl-C or SIGTERM stops it all. After a kill -9 the next start ends
the processes left behind and goes on with the same data.
"""

import argparse
import json
import os
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path

from config import processes
from config.embedded import EmbeddedServers, ServerProblem
from config.paths import data_folder, write_private

LONGEST_PAUSE_S = 30.0  # before a program that dies again and again is started again
STOP_S = 10.0


@dataclass
class Program:
    """A child of ours that should run all the time."""

    name: str
    command: list[str]
    pause: float = 0.0
    born: float = 0.0
    process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        # A session of its own: Ctrl-C reaches the supervisor alone, which then stops in order.
        self.process = subprocess.Popen(self.command, start_new_session=True)
        self.born = time.monotonic()

    def has_died(self) -> bool:
        return self.process is not None and self.process.poll() is not None

    def fact(self) -> dict[str, object]:
        assert self.process
        return {"pid": self.process.pid, "started": processes.started_at(self.process.pid)}


@dataclass
class Supervisor:
    """The one parent of all processes of one data folder."""

    data: Path
    host: str
    port: int
    reload: bool
    stopping: bool = False
    programs: list[Program] = field(default_factory=list)

    @property
    def address(self) -> str:
        shown = "localhost" if self.host in {"127.0.0.1", "0.0.0.0"} else self.host
        return f"http://{shown}:{self.port}/"

    @property
    def _record(self) -> Path:
        return self.data / "serve.json"

    def run(self) -> int:
        for sign in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(sign, self._on_signal)
        patience = 5.0 if self._end_leftovers() else 0.0  # a killed program's port frees late
        if not processes.wait_until(self._port_is_free, patience):
            return _say_no(
                f"Port {self.port} is taken by another program. "
                f"Use another one: bin/serve --port {self.port + 1}"
            )
        self._write_record()
        servers = EmbeddedServers(self.data)
        try:
            servers.start()
            return self._serve(servers)
        except ServerProblem as problem:
            return _say_no(str(problem))
        finally:
            self._stop_programs()
            servers.stop()
            self._record.unlink(missing_ok=True)

    def _port_is_free(self) -> bool:
        return processes.port_is_free(self.host, self.port)

    def _on_signal(self, *_: object) -> None:
        self.stopping = True

    def _serve(self, servers: EmbeddedServers) -> int:
        words = self._prepare()
        if words is None:
            return 0 if self.stopping else 1
        self.programs = [self._web(), self._worker()]
        for program in self.programs:
            program.start()
        self._write_record()
        if not self._wait_for_answer():
            return 0 if self.stopping else _say_no("The web server does not answer; see above.")
        print(f"Rigwright runs at {self.address}  (Ctrl-C stops it)\n{words}", end="", flush=True)
        return self._watch(servers)

    def _prepare(self) -> str | None:
        """Migrations, static files, demo data; what it printed, or None when it failed."""
        command = [sys.executable, "-m", "config.prepare"]
        work = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, start_new_session=True)
        while True:
            try:
                words, _ = work.communicate(timeout=0.1)
                return words if work.returncode == 0 else None
            except subprocess.TimeoutExpired:
                if self.stopping:
                    processes.send(work.pid, signal.SIGTERM, group=True)
                    work.communicate()
                    return None

    def _web(self) -> Program:
        command = [sys.executable, "-m", "gunicorn", "config.wsgi", "--bind", self._bind()]
        command += ["--workers", "2", "--threads", "4", "--graceful-timeout", "5"]
        command += ["--log-level", "warning", "--no-control-socket"]
        return Program("web server", command + (["--reload"] if self.reload else []))

    def _bind(self) -> str:
        return f"[{self.host}]:{self.port}" if ":" in self.host else f"{self.host}:{self.port}"

    def _worker(self) -> Program:
        # Its warning to root is about pickled messages, which this worker does not accept.
        command = [sys.executable, "-W", "ignore:You're running the worker with superuser"]
        command += ["-m", "celery", "--app", "config", "--quiet", "worker"]
        command += ["--beat", "--schedule", str(self.data / "clock"), "--concurrency", "2"]
        command += ["--without-gossip", "--without-mingle", "--loglevel", "WARNING"]
        return Program("worker", command)

    def _wait_for_answer(self) -> bool:
        web = self.programs[0]

        def settled() -> bool:
            return self.stopping or web.has_died() or _answers(self._health_url())

        return processes.wait_until(settled, 60, pause=0.05) and not (
            self.stopping or web.has_died()
        )

    def _health_url(self) -> str:
        host = {"0.0.0.0": "127.0.0.1", "::": "[::1]"}.get(self.host, self.host)
        return f"http://{host}:{self.port}/healthy/"

    def _watch(self, servers: EmbeddedServers) -> int:
        while not self.stopping:
            for name in servers.ensure():
                print(f"{name} had died and was started again.", file=sys.stderr, flush=True)
            for program in filter(Program.has_died, self.programs):
                self._revive(program)
            time.sleep(0.2)
        print("\nStopping ...", flush=True)
        return 0

    def _revive(self, program: Program) -> None:
        """Start a dead program again: at once, or after a growing pause if it dies quickly."""
        lived = time.monotonic() - program.born
        if lived < program.pause:
            return
        program.pause = 0.0 if lived > 60 else min(2 * program.pause + 2, LONGEST_PAUSE_S)
        print(f"The {program.name} died and is started again.", file=sys.stderr, flush=True)
        assert program.process
        processes.send(program.process.pid, signal.SIGKILL, group=True)  # orphans of the dead
        program.start()
        self._write_record()

    def _stop_programs(self) -> None:
        started = [p.process for p in self.programs if p.process is not None]
        for sign, seconds in ((signal.SIGTERM, STOP_S), (signal.SIGKILL, 5.0)):
            for process in started:
                # The parent passes a polite stop on to its children; the last word goes to all.
                processes.send(process.pid, sign, group=sign is signal.SIGKILL)
            processes.wait_until(lambda: all(p.poll() is not None for p in started), seconds)

    def _write_record(self) -> None:
        me = {"pid": os.getpid(), "started": processes.started_at(os.getpid())}
        children = [program.fact() for program in self.programs]
        record = {"address": self.address, "supervisor": me, "children": children}
        write_private(self._record, json.dumps(record))

    def _end_leftovers(self) -> bool:
        """End what a killed supervisor of this data folder left running; whether it was killed."""
        try:
            record = json.loads(self._record.read_text())
        except (OSError, ValueError):
            return False
        if processes.is_running(**record["supervisor"]):
            sys.exit(f"Rigwright already runs on this data folder: {record['address']}")
        for child in record["children"]:
            # A group keeps its number from being used again while any member lives. No polite
            # stop: whoever killed the parent was in a hurry, and unfinished jobs come back.
            if processes.started_at(child["pid"]) in (None, child["started"]):
                processes.send(child["pid"], signal.SIGKILL, group=True)
        return True


def _answers(url: str) -> bool:
    request = urllib.request.Request(url, headers={"Host": "localhost"})
    try:
        with urllib.request.urlopen(request, timeout=5) as answer:
            return bool(answer.status == 200)
    except (OSError, urllib.error.URLError):
        return False


def _say_no(sentence: str) -> int:
    print(sentence, file=sys.stderr, flush=True)
    return 1


def main() -> int:
    parser = argparse.ArgumentParser(prog="bin/serve", description="Run Rigwright here.")
    parser.add_argument("--port", type=int, default=8000, help="where to listen (8000)")
    parser.add_argument("--host", default="127.0.0.1", help="0.0.0.0 opens it to the network")
    parser.add_argument(
        "--reload", action="store_true", help="for developers: load changed code and styles at once"
    )
    wanted = parser.parse_args()
    os.environ.setdefault("RIGWRIGHT_MODE", "demo")
    if wanted.reload:
        os.environ["RIGWRIGHT_DEBUG"] = "1"
    if wanted.host not in {"127.0.0.1", "localhost", "::1"}:
        os.environ.setdefault("RIGWRIGHT_HOSTS", "*")
    return Supervisor(data_folder(), wanted.host, wanted.port, wanted.reload).run()


if __name__ == "__main__":
    sys.exit(main())
