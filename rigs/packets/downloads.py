"""The file that holds what a packet was computed from, and reading one back."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from rigs.packets.compute import CannotCompute, SystemDescription, read_description
from rigs.packets.models import Run

LARGEST_FILE = 20_000_000


@dataclass(frozen=True)
class DescriptionFile:
    """A description with the mark that it was downloaded with; "" where the file had none."""

    system: SystemDescription
    fingerprint: str
    calc_version: str


def description_file(run: Run) -> dict[str, Any]:
    """What is downloaded (docs/packet-format.md)."""
    return {
        "fingerprint": run.fingerprint,
        "calc_version": run.calc_version,
        "description": run.description,
    }


def read_description_file(path: Path) -> DescriptionFile:
    """Read such a file, or a bare description. Trusts nothing in it.

    Raises
    ------
    CannotCompute
        With a sentence that says what is wrong with the file.
    """
    data = _read_json(path)
    if isinstance(data, dict) and "description" in data:
        marks = [_word(data, "fingerprint"), _word(data, "calc_version")]
        return DescriptionFile(read_description(data["description"]), *marks)
    return DescriptionFile(read_description(data), "", "")


def _read_json(path: Path) -> Any:
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise CannotCompute(f"{path} is larger than {LARGEST_FILE // 1_000_000} MB.")
        return json.loads(path.read_text(encoding="utf-8"), parse_constant=_refuse)
    except OSError as fault:
        raise CannotCompute(f"{path} can't be read: {fault.strerror}.") from fault
    except (ValueError, RecursionError) as fault:
        if isinstance(fault, CannotCompute):
            raise
        raise CannotCompute(f"{path} is not a JSON file: {fault}") from fault


def _refuse(constant: str) -> NoReturn:
    raise CannotCompute(f"The file has {constant} where a number should stand.")


def _word(data: dict[str, Any], name: str) -> str:
    value = data.get(name, "")
    if not isinstance(value, str) or len(value) > 100:
        raise CannotCompute(f"{name}: must be a short text.")
    return value
