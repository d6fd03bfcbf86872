"""Where the project and its data live, and the address book of the embedded servers.

No Django in here: the supervisor uses it before Django can start.
"""

import json
import os
from pathlib import Path
from typing import TypedDict

PROJECT = Path(__file__).resolve().parent.parent
ADDRESS_BOOK = "servers.json"


class Addresses(TypedDict):
    """URLs of the embedded servers that are running."""

    database: str
    redis: str


def data_folder() -> Path:
    """Folder for everything that must outlive a restart (RIGWRIGHT_DATA, else ./var)."""
    return Path(os.environ.get("RIGWRIGHT_DATA") or PROJECT / "var").absolute()


def read_addresses(folder: Path) -> Addresses | None:
    """Addresses that a running supervisor left in `folder`; None when none runs."""
    try:
        book = json.loads((folder / ADDRESS_BOOK).read_text())
        return Addresses(database=book["database"], redis=book["redis"])
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_private(path: Path, text: str) -> None:
    """Write `text` so that only this user can read it, and never half of it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w") as file:
        file.write(text)
    draft.replace(path)
