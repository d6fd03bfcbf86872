"""Polar diagrams and responses read from tables."""

import numpy as np
import pytest

from calc.acoustics.bands import mid_bands_hz
from calc.acoustics.directivity.axis import axis_levels_db, axis_of_csv
from calc.acoustics.directivity.nominal import half_angles_deg, nominal_table
from calc.acoustics.directivity.polars import balloon_of_polars, polars_of_csv
from calc.acoustics.directivity.table import balloon_faults, table_of


def rows(angles, fall: float) -> list[list[float]]:
    return [[-fall * abs(a), -2 * fall * abs(a)] for a in angles]


HALF5, HALF10, ROUND10 = range(0, 181, 5), range(0, 181, 10), range(-180, 180, 10)


@pytest.mark.parametrize("angles", [HALF5, HALF10, ROUND10, range(0, 360, 10)])
def test_planes_keep_their_levels(angles) -> None:
    near = [a if a <= 180 else a - 360 for a in angles]
    balloon = balloon_of_polars([500, 1000], angles, rows(near, 0.05), HALF5, rows(HALF5, 0.1))
    assert not list(balloon_faults(balloon))
    table = 20 * np.log10(np.abs(table_of(balloon)))
    for azimuth, fall in ((0, 0.05), (36, 0.05), (18, 0.1), (54, 0.1)):
        assert table[16, azimuth, [0, 3, 36]] == pytest.approx(
            [0, -30 * fall, -360 * fall], abs=1e-3
        )


def test_between_the_planes_lies_an_ellipse() -> None:
    """The shape of nominal angles is that ellipse: 6 (angle / b)^2, made from its two planes."""
    hz = np.array([8000.0])
    across, up = (half_angles_deg(a, None, hz, 343.2) for a in (120, 100))
    rule = 20 * np.log10(np.abs(nominal_table(across, up)))[0]
    polar = np.arange(0.0, 181, 5)
    planes = [[[-6 * (a / b) ** 2] for a in polar] for b in (60, 50)]
    table = table_of(balloon_of_polars([8000], polar, planes[0], polar, planes[1]))
    found = 20 * np.log10(np.abs(table))[25]
    inside = rule > -19.9
    assert found[inside] == pytest.approx(rule[inside], abs=1e-3)


def test_right_and_left_may_differ() -> None:
    level = [[-6.0 if a < 0 else 0.0] for a in ROUND10]
    table = np.abs(table_of(balloon_of_polars([1000], ROUND10, level, HALF10, [[0.0]] * 19)))[
        16, :, 10
    ]
    assert table[0] == 1 and 20 * np.log10(table[36]) == pytest.approx(-6)


@pytest.mark.parametrize(
    ("angles", "words"),
    [
        (range(0, 171, 5), "lacks angles after 170"),
        ([0, 5, 10, 20, *range(25, 181, 5)], "lacks angles after 10"),
        (range(0, 181, 15), "steps of 5 or 10"),
        (range(10, 181, 10), "lacks its axis"),
    ],
)
def test_missing_angles_are_told(angles, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        balloon_of_polars([500, 1000], angles, rows(angles, 0.05), HALF5, rows(HALF5, 0.1))


def test_what_is_no_number_is_told() -> None:
    spoilt = rows(HALF5, 0.05)
    spoilt[3][1] = float("nan")
    with pytest.raises(ValueError, match="horizontal polar holds something that is no number"):
        balloon_of_polars([500, 1000], HALF5, spoilt, HALF5, rows(HALF5, 0.1))
    spoilt[3] = [1.0]
    with pytest.raises(ValueError, match="horizontal polar needs one level for each band"):
        balloon_of_polars([500, 1000], HALF5, spoilt, HALF5, rows(HALF5, 0.1))


def csv(**changes: str) -> str:
    lines = ["plane,angle,500,1000"]
    lines += [f"{p},{a},{-a / 10},{-a / 5}" for p in "hv" for a in HALF10]
    return "\n".join(lines)


def test_polars_from_text() -> None:
    balloon = polars_of_csv(csv() + "\n\n")
    assert balloon.band_hz == (500, 1000)
    assert balloon.level_db[1][0][2] == pytest.approx(-2)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "row 1: must read plane,angle"),
        (csv().replace("h,20,", "x,20,"), "row 4: the plane must be h or v"),
        (csv().replace("h,20,-2.0", "h,20,loud"), "row 4: 'loud' is no number"),
        (csv().replace("h,20,-2.0,", "h,20,"), "row 4: has 1 levels for 2 bands"),
        (csv().split("v,0")[0], "the vertical polar is missing"),
    ],
)
def test_faults_in_text_are_told_with_their_row(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        polars_of_csv(text)


def test_response_from_text() -> None:
    levels = axis_levels_db(axis_of_csv("frequency,level\n100,90\n1000,100\n10000,100\n"))
    at = dict(zip(np.round(mid_bands_hz()), levels, strict=True))
    assert at[1995] == pytest.approx(100)
    assert at[316] == pytest.approx(95, abs=0.05)  # half way on the logarithm
    assert at[50] == -np.inf and at[16] if 13 in at else True
    assert at[79] == -np.inf and np.isfinite(at[100])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("100,90", "row 1: must read"),
        ("frequency,level\n100", "row 2: needs two numbers"),
        ("frequency,level\n100,90", "at least two points"),
        ("frequency,level\n100,90\n50,90", "must rise"),
        ("frequency,level\n100,90\n200,nan", "no numbers"),
    ],
)
def test_faults_in_a_response_are_told(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        axis_of_csv(text)
