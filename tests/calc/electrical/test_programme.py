"""Mains current by the programme's crest factor."""

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.check import check
from calc.electrical.mains.programme import power_share, programme_power
from calc.figure import UNKNOWN
from calc.system import Choices, RackFeed, Supply
from tests.calc.builders import amplifier, known, system

FULL = {"idle_w": known(60), "eighth_power_w": known(400), "third_power_w": known(900)}


@pytest.mark.parametrize(
    ("crest", "share"),
    [(18, 1 / 8), (12, 1 / 8), (9.0309, 1 / 4), (7.7815, 1 / 3), (6.0206, 1 / 2), (3.0103, 1)],
)
def test_share_of_the_rated_power(crest: float, share: float) -> None:
    """A sine has 3.01 dB and all of its power; 6.02 dB more is a quarter of it (MATH)."""
    assert power_share(crest) == pytest.approx(share, rel=1e-4)


@given(st.floats(3, 29), st.floats(0.001, 1))
def test_a_denser_programme_never_draws_less(crest: float, denser: float) -> None:
    assert power_share(crest) <= power_share(max(3, crest - denser))


@pytest.mark.parametrize(
    ("share", "watts", "assumed"),
    [(1 / 8, 400, 0), (11 / 48, 650, 0), (1 / 3, 900, 0), (13 / 24, 1400, 1)],
)
def test_between_the_stated_powers(share: float, watts: float, assumed: int) -> None:
    """Half-way from 1/8 to 1/3 is 11/48; as far again beyond 1/3 is 13/24."""
    power, told = programme_power(amplifier(**FULL), share)
    assert power.value == pytest.approx(watts) and len(told) == assumed


def test_without_the_power_at_a_third_it_is_told_and_high() -> None:
    """60 W idle and 400 W at 1/8: 340 W for each 1/8 more, 740 W at 1/4."""
    power, (told,) = programme_power(amplifier(idle_w=known(60)), 1 / 4)
    assert power.value == pytest.approx(740) and "assumed" in told and "740 W" in told
    without_idle, (told,) = programme_power(amplifier(idle_w=UNKNOWN), 1 / 4)
    assert without_idle.value == pytest.approx(800) and "idle is unknown" in told
    assert programme_power(amplifier(eighth_power_w=UNKNOWN, third_power_w=known(9)), 0.3) == (
        UNKNOWN, (),
    )  # fmt: skip


def dense(crest: float, supply: Supply, **figures):
    described = system(
        amplifiers=(amplifier(**(FULL | figures)),),
        supplies=(supply,),
        rack_feeds=(RackFeed("Rack 1", supply.name, 1, known(30), known(2.5)),),
    )
    choices = dataclasses.replace(described.choices, crest_factor_db=crest)
    return check(dataclasses.replace(described, choices=choices))


def of_rig(prediction, name: str):
    return next(f for f in prediction.findings if f.check == name)


def test_the_crest_factor_reaches_every_statement_on_the_mains() -> None:
    """8 dB: 0.317 of the power, 860.9 W, 5.758 A at 230 V and 0.65; 12 dB: 400 W, 2.676 A."""
    supply = Supply("Board", 3, known(5), known(230), False)
    live, playback = dense(12, supply), dense(8, supply)
    assert live.draws[0].programme_a == pytest.approx(2.676, abs=5e-4)
    assert playback.draws[0].programme_a == pytest.approx(5.758, abs=5e-4)
    assert playback.draws[0].eighth_power_a == live.draws[0].eighth_power_a
    assert of_rig(live, "supply").state == "holds"
    assert of_rig(playback, "supply").state == "tight"
    assert of_rig(playback, "phase").state == "fails"
    assert any("0.317" in step for step in of_rig(playback, "phase").working)
    assert any("8 dB crest factor" in step for step in of_rig(playback, "supply").working)
    ratio = playback.feeds[0].drop_v / live.feeds[0].drop_v
    assert ratio == pytest.approx(5.758 / 2.676, rel=1e-3)
    assert playback.supplies[0].highest_a == pytest.approx(5.758, abs=5e-4)


def test_an_assumed_draw_is_told_where_it_counts() -> None:
    supply = Supply("Board", 3, known(32), known(230), False)
    prediction = dense(8, supply, third_power_w=UNKNOWN)
    for name in ("supply", "phase", "volt_drop"):
        assert any("through 1/8 power" in text for text in of_rig(prediction, name).assumed)
    assert not of_rig(dense(12, supply, third_power_w=UNKNOWN), "supply").assumed


def test_the_limit_is_the_one_that_decides() -> None:
    """16.3 A of 112 A would be no reason to worry: the smallest phase has 16 A."""
    wall = Supply("Wall", 1, known(16), known(230), False)
    board = Supply("Board", 3, known(32), known(230), False)
    thirsty = amplifier(eighth_power_w=known(16.3 * 230 * 0.65))
    found = of_rig(check(system(amplifiers=(thirsty,), supplies=(wall, board))), "supply")
    assert found.state == "tight" and found.value == pytest.approx(16.3)
    assert found.limit == pytest.approx(16) and "16 A" in found.sentence
    over = amplifier(eighth_power_w=known(120 * 230 * 0.65))
    found = of_rig(check(system(amplifiers=(over,), supplies=(wall, board))), "supply")
    assert found.state == "fails" and found.limit == pytest.approx(112)


@pytest.mark.parametrize(("amps", "limit"), [(20, 32), (27, 25.6), (33, 32)])
def test_the_phase_limit_is_the_one_that_decides(amps: float, limit: float) -> None:
    board = Supply("Board", 3, known(32), known(230), False)
    prediction = dense(12, board, eighth_power_w=known(amps * 230 * 0.65), third_power_w=UNKNOWN)
    assert of_rig(prediction, "phase").limit == pytest.approx(limit)
    assert math.isclose(of_rig(prediction, "phase").value, amps)


def test_the_event_chooses_twelve_decibels_by_default() -> None:
    assert power_share(Choices().crest_factor_db) == pytest.approx(1 / 8)
