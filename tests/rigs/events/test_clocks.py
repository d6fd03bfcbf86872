"""Local times around clock changes. Zones and dates: IANA time zone database, rule EU/US/AU."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from rigs.events import clocks

LISBON, BERLIN, SYDNEY = (
    ZoneInfo(z) for z in ("Europe/Lisbon", "Europe/Berlin", "Australia/Sydney")
)


def test_an_ordinary_time() -> None:
    assert clocks.to_utc(datetime(2026, 7, 1, 20), BERLIN) == datetime(2026, 7, 1, 18, tzinfo=UTC)


def test_a_time_that_the_clocks_jump_over() -> None:
    with pytest.raises(clocks.NoSuchTime) as told:
        clocks.to_utc(datetime(2026, 3, 29, 2, 30), BERLIN)
    assert str(told.value) == (
        "There is no 02:30 on Sun 29 Mar in Europe/Berlin: the clocks go forward from 02:00 to "
        "03:00."
    )


def test_a_time_that_comes_twice_asks_which() -> None:
    typed = datetime(2026, 10, 25, 2, 30)
    with pytest.raises(clocks.TwiceThatDay, match="02:30 comes twice on Sun 25 Oct"):
        clocks.to_utc(typed, BERLIN)
    first = clocks.to_utc(typed, BERLIN, "first")
    second = clocks.to_utc(typed, BERLIN, "second")
    assert first == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert second - first == timedelta(hours=1)
    assert clocks.comes_twice(first, BERLIN) == "first"
    assert clocks.comes_twice(second, BERLIN) == "second"
    assert clocks.comes_twice(second + timedelta(hours=1), BERLIN) == ""


@pytest.mark.parametrize(
    ("zone", "out", "back", "note"),
    [
        (
            BERLIN,
            datetime(2026, 10, 24, 8),
            datetime(2026, 10, 25, 14),
            "Clocks go back on Sun 25 Oct 03:00: from kit out to kit back the event lasts 31 h, "
            "not 30 h.",
        ),
        (
            LISBON,
            datetime(2026, 3, 28, 20, 15),
            datetime(2026, 3, 29, 4),
            "Clocks go forward on Sun 29 Mar 01:00: from kit out to kit back the event lasts "
            "6 h 45 min, not 7 h 45 min.",
        ),
        (
            SYDNEY,
            datetime(2026, 4, 4, 12),
            datetime(2026, 4, 5, 12),
            "Clocks go back on Sun 5 Apr 03:00: from kit out to kit back the event lasts 25 h, "
            "not 24 h.",
        ),
    ],
)
def test_a_clock_change_inside_an_event_is_announced(zone, out, back, note) -> None:
    moments = (clocks.to_utc(out, zone), clocks.to_utc(back, zone))
    assert clocks.clock_notes(zone, *moments) == [note]


def test_no_note_without_a_change() -> None:
    start = datetime(2026, 6, 1, tzinfo=UTC)
    assert clocks.clock_notes(BERLIN, start, start + timedelta(days=60)) == []
    assert len(list(clocks.clock_changes(BERLIN, start, start + timedelta(days=365)))) == 2


def test_a_century_has_no_more_notes_than_a_year() -> None:
    start = datetime(2027, 1, 1, tzinfo=UTC)
    century = clocks.clock_notes(BERLIN, start, start + timedelta(days=36_500))
    assert len(century) == 2
