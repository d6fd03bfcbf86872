"""Reads one AES69 (SOFA) file in a process of its own: from standard input to standard output.

It is started by `transfer.py`, knows no other module of ours, and may die of a bad file. It
writes one byte, `F` and a sentence about what is wrong, or `D` and the arrays as an npz archive.
"""

import io
import resource
import sys
from typing import Any

MOST_VALUES = 6_000_000
MOST_MEMORY, MOST_SECONDS = 2 << 30, 20
LONGEST_WORD = 200
CONVENTION = "FreeFieldDirectivityTF"
NEEDED = ("N", "Data.Real", "Data.Imag", "ReceiverPosition")


def main() -> None:
    """Answer for the file on standard input."""
    for limit, most in (
        (resource.RLIMIT_AS, MOST_MEMORY),
        (resource.RLIMIT_CPU, MOST_SECONDS),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(limit, (most, most))
    try:
        answer = b"D" + read(sys.stdin.buffer.read())
    except ValueError as fault:
        answer = b"F" + str(fault).encode()
    sys.stdout.buffer.write(answer)


def read(content: bytes) -> bytes:
    """The arrays of a file as npz. Raises ValueError with a sentence."""
    import netCDF4

    try:
        file = netCDF4.Dataset("upload", memory=content)
    except (OSError, RuntimeError, MemoryError):
        raise ValueError("It is no netCDF-4 file, which SOFA files are.") from None
    with file:
        return _arrays(file)


def _arrays(file: Any) -> bytes:
    import numpy as np

    convention = _word(file, "SOFAConventions")
    if _word(file, "Conventions") != "SOFA" or convention != CONVENTION:
        named = f"its convention is “{convention}”" if convention else "it names no convention"
        raise ValueError(f"It is no SOFA file of directivity: {named}; {CONVENTION} is needed.")
    missing = [name for name in NEEDED if name not in file.variables]
    if missing:
        raise ValueError(f"The file lacks its field {missing[0]}.")
    real, place = file.variables["Data.Real"], file.variables["ReceiverPosition"]
    words = {
        "convention": convention,
        "frequency_units": _word(file.variables["N"], "Units"),
        "receiver_position_type": _word(place, "Type"),
        "receiver_position_units": _word(place, "Units"),
    }
    values: dict[str, Any] = {
        "frequency": _numbers(file, "N"),
        "real": _numbers(file, "Data.Real"),
        "imag": _numbers(file, "Data.Imag"),
        "receiver_position": _numbers(file, "ReceiverPosition"),
    }
    if real.ndim != 3:
        raise ValueError("Data.Real must be measurements x receivers x frequencies.")
    for name, key in (("SourceView", "source_view"), ("SourceUp", "source_up")):
        if name in file.variables:
            values[key] = _direction(file, name)
    archive = io.BytesIO()
    values |= {name: np.array(word) for name, word in words.items()}
    np.savez(archive, **values)
    return archive.getvalue()


def _word(holder: Any, name: str) -> str:
    """An attribute as a short printable word; "" if there is none."""
    try:
        word = str(holder.getncattr(name))
    except (AttributeError, RuntimeError, OSError, UnicodeError):
        return ""
    return "".join(c for c in word[:LONGEST_WORD] if c.isprintable())


def _numbers(file: Any, name: str) -> Any:
    """A field's numbers, NaN where one is missing. Sizes are looked at before anything is read."""
    import numpy as np

    variable = file.variables[name]
    count = 1
    for length in variable.shape:
        count *= length
    if count > MOST_VALUES:
        raise ValueError(f"{name} has {count} values; at most {MOST_VALUES} can be used.")
    if not count:
        raise ValueError(f"The field {name} is empty.")
    if getattr(variable.dtype, "kind", "") not in "fiu":
        raise ValueError(f"The field {name} holds no numbers.")
    try:
        found = np.ma.asarray(variable[:], dtype=np.float64)
    except (OSError, RuntimeError, MemoryError, ValueError):
        raise ValueError(f"The field {name} is damaged.") from None
    numbers = np.ma.filled(found, np.nan)
    if not np.isfinite(numbers).all():
        raise ValueError(f"The field {name} has values that are missing or no numbers.")
    return numbers


def _direction(file: Any, name: str) -> Any:
    """A direction of the source, cartesian."""
    import numpy as np

    found = _numbers(file, name).reshape(-1)[:3]
    kind = _word(file.variables[name], "Type").strip().lower()
    if len(found) == 3 and kind == "spherical":
        turn, lift = np.radians(found[:2])
        flat = np.cos(lift)
        return np.array([flat * np.cos(turn), flat * np.sin(turn), np.sin(lift)])
    return found


if __name__ == "__main__":
    main()
