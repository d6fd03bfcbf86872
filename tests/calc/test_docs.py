"""The page on the description's form names every field that there is."""

import dataclasses
import re
from pathlib import Path

import pytest

from calc import system

PAGE = Path(__file__).parents[2] / "docs" / "system-description.md"
PARTS = [
    part
    for part in vars(system).values()
    if isinstance(part, type) and dataclasses.is_dataclass(part)
]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.__name__)
def test_every_field_is_described(part: type) -> None:
    words = set(re.findall(r"\w+", PAGE.read_text()))
    missing = [field.name for field in dataclasses.fields(part) if field.name not in words]
    assert not missing
