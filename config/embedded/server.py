"""What an embedded server has in common with the other: start, adopt, watch, stop."""

import signal
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from config import processes
from config.embedded.home import Home, ServerProblem

STALE_LOCK_S = 15.0  # a killed server's children hold its locks for about 10 s
READY_S = 60.0  # recovery after a crash takes its time


@dataclass(frozen=True)
class Running:
    """A server process as its files describe it."""

    pid: int
    port: int
    started: str | None = None

    def is_alive(self) -> bool:
        return processes.is_running(self.pid, self.started)


class Server:
    """One server with its folder. Subclasses say how it is prepared, started and asked."""

    name = "server"
    stop_signal = signal.SIGTERM

    def __init__(self, home: Home, log_folder: Path, quick: bool) -> None:
        self.home = home
        self.folder = home.folder / self.name
        self.log = log_folder / f"{self.name}.log"
        self.quick = quick  # no waiting for the disk: for tests only
        self.running: Running | None = None
        self._child: subprocess.Popen[bytes] | None = None

    def prepare(self) -> None:
        """Make the server's folder ready for a start."""
        raise NotImplementedError

    def command(self, port: int) -> list[str]:
        raise NotImplementedError

    def answers(self, port: int) -> bool:
        """Whether our server, not a stranger, answers there."""
        raise NotImplementedError

    def recorded(self) -> Running | None:
        """The process that the files speak of, dead or alive."""
        raise NotImplementedError

    def record(self, running: Running) -> None:
        """Keep what `recorded` returns at the next start."""

    def url(self) -> str:
        raise NotImplementedError

    def is_alive(self) -> bool:
        if self._child is not None:
            return self._child.poll() is None
        return self.running is not None and self.running.is_alive()

    def ensure(self) -> None:
        """Adopt the live server of this folder, or start one. Safe to call again and again."""
        if self.is_alive():
            return
        self.prepare()
        give_up = time.monotonic() + STALE_LOCK_S
        while not (self._adopt() or self._start()):
            if time.monotonic() > give_up:
                raise ServerProblem(f"{self.name} does not start. {self._last_words()}")
            time.sleep(0.3)

    def _adopt(self) -> bool:
        known = self.recorded()
        if not known or not known.is_alive():
            return False
        processes.wait_until(
            lambda: self.answers(known.port) or not known.is_alive(), STALE_LOCK_S, pause=0.1
        )
        if not (known.is_alive() and self.answers(known.port)):
            return False
        self.running, self._child = known, None
        return True

    def _start(self) -> bool:
        port = processes.free_port()
        with self.log.open("ab") as log:
            child = subprocess.Popen(  # type: ignore[call-overload]
                self.command(port),
                stdout=log,
                stderr=log,
                start_new_session=True,  # Ctrl-C in the terminal is the supervisor's to handle
                **self.home.run_options(),
            )
        self.running = Running(child.pid, port, processes.started_at(child.pid))
        self._child = child
        self.record(self.running)
        # Watch the process as well as the port: one that died never answers.
        processes.wait_until(lambda: child.poll() is not None or self.answers(port), READY_S)
        return child.poll() is None

    def stop(self) -> None:
        """Stop the server; the hard way if it does not listen."""
        if self.running is None:
            return
        for sign, seconds in ((self.stop_signal, 15.0), (signal.SIGKILL, 5.0)):
            processes.send(self.running.pid, sign)
            if processes.wait_until(lambda: not self.is_alive(), seconds):
                break
        self.running, self._child = None, None

    def _last_words(self) -> str:
        lines = self.log.read_text(errors="replace").strip().splitlines()[-3:]
        return f"Its log {self.log} ends: {' / '.join(lines)}"
