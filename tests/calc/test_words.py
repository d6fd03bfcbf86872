"""Numbers in sentences."""

import pytest

from calc.words import joined, level, number


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (2.6667, "2.67"), (8.0, "8"), (1400.0, "1400"), (105.83, "106"), (0.016, "0.016"),
        (0, "0"), (-0.00001, "0"), (-3.5, "-3.5"), (9.999, "10"), (0.4788, "0.48"),
        (12345.6, "12346"),
    ],
)  # fmt: skip
def test_number(value: float, text: str) -> None:
    assert number(value) == text


def test_more_digits_on_demand() -> None:
    assert number(105.83, 4) == "105.8"


def test_level_and_names() -> None:
    assert level(-0.04) == "0.0 dB" and level(101.26, "dB(A)") == "101.3 dB(A)"
    assert joined([]) == "" and joined(["a"]) == "a" and joined("abc") == "a, b and c"
