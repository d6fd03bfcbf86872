"""Times and doses against WHO 2022, 2003/10/EC and NIOSH."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.acoustics.exposure import (
    action_minutes,
    lex_8h,
    niosh_dose_pct,
    niosh_minutes,
    who_minutes,
)
from calc.check import check
from calc.prediction import Exposure
from calc.system import ListeningPlace, Show, SystemDescription
from tests.calc.builders import (
    known,
    loudspeaker,
    output,
    system,
    way,
)


@pytest.mark.parametrize(
    ("level", "minutes"),
    [(85, 480), (88, 240), (91, 120), (94, 60), (97, 30), (100, 15), (103, 7.5), (105, 4.725)],
)
def test_niosh_times(level: float, minutes: float) -> None:
    """READ: NIOSH noise page; 103 and 105 by its formula."""
    assert niosh_minutes(level) == pytest.approx(minutes, rel=1e-3)


def test_niosh_dose() -> None:
    """97 dBA for an hour are 200 %."""
    assert niosh_dose_pct(97, 1) == pytest.approx(200)


def test_daily_exposure_level() -> None:
    """2003/10/EC: 94 dB over 4 h are 90.990 dB LEX,8h."""
    assert lex_8h(94, 4) == pytest.approx(90.990, abs=1e-3)


@pytest.mark.parametrize(
    ("level", "minutes"), [(90, 240), (93, 120), (96, 60), (99, 30), (102, 15), (107, 5)]
)
def test_times_to_a_daily_level_of_87(level: float, minutes: float) -> None:
    """READ: equal-energy table of the EU scientific committee, 4.8 printed as 5."""
    assert action_minutes(level, 87) == pytest.approx(minutes, abs=1.3, rel=0.01)


def test_equal_energy_of_the_audience() -> None:
    """100 dB lasts its 15 minutes; 10 dB more a tenth."""
    assert who_minutes(100) == 15
    assert who_minutes(110) == pytest.approx(1.5)


@given(st.floats(60, 130), st.floats(0.1, 16))
def test_when_the_time_is_up_the_level_is_reached(level: float, hours: float) -> None:
    assert lex_8h(level, action_minutes(level, 85) / 60) == pytest.approx(85)
    assert niosh_dose_pct(level, niosh_minutes(level) / 60) == pytest.approx(100)


DESK = ListeningPlace("Desk", 0.0, 14.0, 1.7)
FRONT = ListeningPlace("Rail", 0.0, 3.5, 1.6, "front row")


def of(described: SystemDescription) -> dict[str, Exposure]:
    return {found.subject: found for found in check(described).exposures}


def test_the_show_runs_at_the_wished_level() -> None:
    found = of(system(places=(DESK, FRONT), show=Show(target_dba=known(98), hours=known(3))))
    assert set(found) == {"Floor", "Floor, loudest", "Desk", "Rail"}
    assert found["Floor"].laeq_dba == pytest.approx(98, abs=0.01)
    assert found["Floor"].level_basis == "wished level" and found["Floor"].who_exceeded is False
    assert found["Floor, loudest"].who_exceeded is True
    assert found["Rail"].kind == "front row" and found["Rail"].laeq_dba > found["Desk"].laeq_dba
    desk = found["Desk"]
    assert desk.lex_8h_dba == pytest.approx(lex_8h(desk.laeq_dba, 3))
    assert desk.eu_value == "limit" and "must be worn" in desk.sentence
    assert all("estimate" in e.sentence.lower() for e in found.values())


def test_own_hours_of_a_place_count() -> None:
    short = ListeningPlace("Desk", 0.0, 14.0, 1.7, hours=known(0.05))
    found = of(system(places=(short,), show=Show(target_dba=known(85), hours=known(8))))["Desk"]
    assert found.hours == 0.05 and found.eu_value == "below all"


def test_a_quiet_place_lasts_the_whole_day() -> None:
    faint = loudspeaker(ways=(way(sensitivity=20),))
    found = of(system(loudspeakers=(faint,), places=(DESK,)))
    assert all(e.minutes_left == e.niosh_minutes == 1440 for e in found.values())


def test_unknown_hours_are_said() -> None:
    found = of(system(places=(DESK,)))["Desk"]
    assert found.lex_8h_dba is None and found.niosh_dose_pct is None
    assert found.eu_value == "cannot check" and "Nobody said how long" in found.sentence
    assert found.level_basis == "full drive"


def test_the_programmes_own_level_counts_first() -> None:
    show = Show(known(98), known(3), known(-20))
    prediction = check(system(outputs=(output(),), show=show, places=(DESK,)))
    found = {e.subject: e for e in prediction.exposures}
    assert found["Floor"].level_basis == "programme"
    assert found["Floor"].laeq_dba == prediction.areas[0].mean_present_a_db
    assert found["Desk"].laeq_dba == prediction.places[0].present_a_db


def test_a_rig_too_weak_for_the_wish_is_told_at_what_it_can() -> None:
    weak = loudspeaker(ways=(way(sensitivity=70),))
    found = of(system(loudspeakers=(weak,), show=Show(target_dba=known(110))))
    assert found["Floor"].laeq_dba < 90
