"""Names on plans and sections: none lies on another, none runs off the drawing."""

from itertools import combinations
from xml.etree import ElementTree

import pytest

from venues.free import FreeSpace
from venues.pictures import Mark, Outline, plan, section

SVG = "{http://www.w3.org/2000/svg}"
NARROW = 0.45  # of the height: mean width of a character, on the narrow side of usual faces

HALL = [
    Outline("Stage", [(-6, -7), (6, -7), (6, 0), (-6, 0)], 1.1, ear_height_m=1.6, kind="stage"),
    Outline("Stalls", [(-8, 4), (8, 4), (8, 13), (-8, 13)], ear_height_m=1.6),
    Outline("Rear stalls", [(-8, 13), (8, 13), (8, 21), (-8, 21)], ear_height_m=1.2),
    Outline("Balcony", [(-8, 17), (8, 17), (8, 24), (-8, 24)], 4.6, 24.0, ear_height_m=1.2),
]
MARKS = [
    Mark("Front left", (-6.5, 0.8), 8.4),
    Mark("Centre", (0, 0.8), 8.6),
    Mark("Front right", (6.5, 0.8), 8.4),
    Mark("Stage left wing", (-7, -3), 2.7, "place"),
    Mark("Front row, middle", (0, 4.5), 1.6, "place"),
    Mark("Pit security", (0, 3.2), 1.6, "place"),
]


def texts(svg: str) -> list[tuple[float, float, float, float, str]]:
    found = []
    for each in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        x, y, words = float(each.get("x")), float(each.get("y")), each.text or ""
        wide = 14 * NARROW * len(words)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[each.get("text-anchor")]
        found.append((left, y - 10, left + wide, y + 3, words))
    return found


@pytest.mark.parametrize("drawing", [plan, section])
def test_names_keep_off_each_other(drawing):
    found = texts(drawing("Hall", HALL, MARKS))
    names = {each[4] for each in found}
    assert {area.name for area in HALL} | {mark.name for mark in MARKS} <= names
    lying = [
        (a[4], b[4])
        for a, b in combinations(found, 2)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]
    assert lying == []
    assert all(each[0] >= 0 and each[2] <= 640 for each in found)


def test_what_is_needed_is_written_even_where_nothing_is_free():
    free = FreeSpace(100, 40)
    free.keep(50, 20, 60)
    spots = [(-40.0, 20.0, "start"), (10.0, 20.0, "start")]
    assert free.choose("Mix", spots, needed=False) is None
    assert free.choose("Mix", spots) == (10.0, 20.0, "start")
