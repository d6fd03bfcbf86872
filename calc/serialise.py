"""Descriptions and predictions as plain JSON data, and back with every fault named.

The form is described in docs/system-description.md. Files come from people, so that reading
one trusts nothing: types, counts, lengths and sizes of numbers are all checked, and the first
fault is told with its place ("drive_lines[2].mode: must be one of ...").
"""

import dataclasses
import hashlib
import json
import math
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from calc import VERSION
from calc.differences import differences
from calc.prediction import Prediction
from calc.system import FORMAT, SystemDescription
from calc.upgrade import upgraded

__all__ = [
    "canonical_json",
    "differences",
    "fingerprint",
    "prediction_from_plain",
    "system_from_plain",
    "to_plain",
]

LONGEST_TEXT = 300
LONGEST_SENTENCE = 5000
LARGEST_NUMBER = 1e9
MOST_ITEMS = 500
MOST_ITEMS_IN_PREDICTION = 20_000
Kind = TypeVar("Kind")

FEWER_ITEMS = {"corners": 200, "links": 64, "areas": 50, "ways": 12, "ratings": 40, "modes": 3}
FEWER_ITEMS |= {"filters": 40, "inputs": 64, "slopes": 40, "kinds": 20}


def to_plain(obj: Any) -> Any:
    """Turn a description, a prediction or a part of one into dicts, lists and numbers.

    Parameters
    ----------
    obj : dataclass of `calc.system`, `calc.prediction` or `calc.figure`

    Returns
    -------
    dict
        Ready for `json.dumps`; numbers in real-valued fields are floats, so that 8 and 8.0
        give the same text.

    Raises
    ------
    ValueError
        A number is NaN or infinite.
    """
    return _plain(type(obj), obj)


def system_from_plain(data: Any) -> SystemDescription:
    """Read a `SystemDescription` from plain data, as `to_plain` wrote it.

    Fields that have a default may be left out, except `format`. Files of format 1 are read too.

    Raises
    ------
    ValueError
        With the place and the fault in words.
    """
    if not isinstance(data, dict):
        raise ValueError("description: must be an object with named fields")
    if "format" not in data:
        raise ValueError("format: is missing")
    data = upgraded(data)
    if data["format"] != FORMAT or isinstance(data["format"], bool):
        raise ValueError(f"format: must be {FORMAT}; this file has {_shown(data['format'])}")
    system: SystemDescription = _Reader(MOST_ITEMS, LONGEST_TEXT).read(SystemDescription, data, "")
    return system


def prediction_from_plain(data: Any) -> Prediction:
    """Read a `Prediction` from plain data, as `to_plain` wrote it.

    Raises
    ------
    ValueError
        With the place and the fault in words.
    """
    prediction: Prediction = _Reader(MOST_ITEMS_IN_PREDICTION, LONGEST_SENTENCE).read(
        Prediction, data, ""
    )
    return prediction


def from_plain(kind: type[Kind], data: Any) -> Kind:
    """Read a dataclass of `calc` from plain data, as `to_plain` wrote it.

    Raises
    ------
    ValueError
        With the place and the fault in words.
    """
    found: Kind = _Reader(MOST_ITEMS, LONGEST_SENTENCE).read(kind, data, "")
    return found


def canonical_json(obj: Any) -> str:
    """One text for one value: sorted names, no spaces, ASCII only."""
    return json.dumps(
        to_plain(obj), sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False
    )


def fingerprint(system: SystemDescription) -> str:
    """SHA-256 (64 hex digits) over the canonical description and `calc.VERSION`."""
    return hashlib.sha256(f"{VERSION}\n{canonical_json(system)}".encode()).hexdigest()


@cache
def _fields_of(cls: type) -> dict[str, tuple[Any, bool]]:
    """Per field its type and whether it may be left out."""
    hints = get_type_hints(cls)
    return {
        f.name: (
            hints[f.name],
            f.default is not dataclasses.MISSING or f.default_factory is not dataclasses.MISSING,
        )
        for f in dataclasses.fields(cls)
    }


def _plain(hint: Any, value: Any) -> Any:
    if value is None or isinstance(value, (str, bool)):
        return value
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = _fields_of(type(value))
        return {name: _plain(kind, getattr(value, name)) for name, (kind, _) in fields.items()}
    if isinstance(value, (tuple, list)):
        inner = get_args(hint)[0] if get_args(hint) else Any
        return [_plain(inner, item) for item in value]
    if hint is int:
        return int(value)
    if isinstance(value, int) and get_args(hint) and float not in get_args(hint):
        return value
    number = float(value)
    if not math.isfinite(number):
        raise ValueError("a number is not finite: it cannot be written")
    return number + 0.0  # turns -0.0 into 0.0


def _shown(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _count(kind: str, value: float) -> str:
    return f"must be at most {value:g} {kind}"


@dataclasses.dataclass(frozen=True, slots=True)
class _Reader:
    """Reads plain data by the type hints of the dataclasses."""

    most_items: int
    longest_text: int

    def read(self, hint: Any, data: Any, path: str) -> Any:
        if dataclasses.is_dataclass(hint):
            return self._record(hint, data, path)
        origin = get_origin(hint)
        if origin is tuple:
            return self._items(hint, data, path)
        if origin is Literal:
            return self._choice(hint, data, path)
        if origin in (Union, UnionType):
            if data is None:
                return None
            inner = next(arg for arg in get_args(hint) if arg is not NoneType)
            return self.read(inner, data, path)
        return self._scalar(hint, data, path)

    def _record(self, cls: Any, data: Any, path: str) -> Any:
        where = path or "description"
        if not isinstance(data, dict):
            raise ValueError(f"{where}: must be an object with named fields")
        fields = _fields_of(cls)
        for key in data:
            if key not in fields:
                raise ValueError(f"{where}: has an unknown field {_shown(key)}")
        values = {}
        for name, (kind, optional) in fields.items():
            inner = f"{path}.{name}" if path else name
            if name in data:
                values[name] = self.read(kind, data[name], inner)
            elif not optional:
                raise ValueError(f"{inner}: is missing")
        try:
            return cls(**values)
        except ValueError as fault:
            raise ValueError(f"{where}: {fault}") from None

    def _items(self, hint: Any, data: Any, path: str) -> tuple[Any, ...]:
        if not isinstance(data, (list, tuple)):
            raise ValueError(f"{path}: must be a list")
        args = get_args(hint)
        if args[-1] is Ellipsis:
            most = min(self.most_items, FEWER_ITEMS.get(path.rpartition(".")[2], self.most_items))
            if len(data) > most:
                raise ValueError(f"{path}: {_count('items', most)}; this has {len(data)}")
            kinds = (args[0],) * len(data)
        else:
            if len(data) != len(args):
                raise ValueError(f"{path}: must have {len(args)} items; this has {len(data)}")
            kinds = args
        return tuple(
            self.read(kind, item, f"{path}[{i}]")
            for i, (kind, item) in enumerate(zip(kinds, data, strict=True))
        )

    def _choice(self, hint: Any, data: Any, path: str) -> Any:
        allowed = get_args(hint)
        if not isinstance(data, str) or data not in allowed:
            listed = ", ".join(f"'{word}'" for word in allowed)
            raise ValueError(f"{path}: must be one of {listed}; this is {_shown(data)}")
        return data

    def _scalar(self, hint: Any, data: Any, path: str) -> Any:
        if hint is str:
            return self._text(data, path)
        if hint is bool:
            if not isinstance(data, bool):
                raise ValueError(f"{path}: must be true or false; this is {_shown(data)}")
            return data
        if isinstance(data, bool) or not isinstance(data, (int, float)):
            raise ValueError(f"{path}: must be a number; this is {_shown(data)}")
        if hint is int and not isinstance(data, int):
            raise ValueError(f"{path}: must be a whole number; this is {_shown(data)}")
        if isinstance(data, float) and not math.isfinite(data):
            raise ValueError(f"{path}: must be a finite number; this is {_shown(data)}")
        if abs(data) > LARGEST_NUMBER:
            raise ValueError(f"{path}: must lie within +-{LARGEST_NUMBER:g}")
        return data if hint is int else float(data)

    def _text(self, data: Any, path: str) -> str:
        if not isinstance(data, str):
            raise ValueError(f"{path}: must be text; this is {_shown(data)}")
        if len(data) > self.longest_text:
            raise ValueError(f"{path}: {_count('characters', self.longest_text)}")
        if any(ord(c) < 32 and c not in "\n\t" for c in data) or not _encodable(data):
            raise ValueError(f"{path}: has characters that cannot be shown")
        return data


def _encodable(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True
