"""Measured responses: read between their points, timed, and used for an alignment."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.signals.measured import arrival_ms, measured_at
from calc.system import MeasuredResponse
from tests.calc.signals.rigs import aligned, analogue_box, outputs, rig

SUB, TOP = analogue_box(38, 4, 400), analogue_box(60, 2, 15_000)


def measured(line: str, box, late_ms: float, removed_ms: float = 0.0, sign: int = 1, **noise):
    """A box's own response, `late_ms` later, on 1 Hz lines; phases wrapped as files hold them."""
    hz = np.arange(15.0, 4000.0, noise.get("every", 1.0))
    if noise.get("per_octave"):
        hz = 15.0 * 2 ** (np.arange(8 * noise["per_octave"]) / noise["per_octave"])
    level = np.interp(np.log(hz), np.log(box.frequency_hz), box.level_db)
    phase = np.interp(np.log(hz), np.log(box.frequency_hz), box.phase_deg)
    phase = phase - 360 * hz * (late_ms - removed_ms) / 1000 + (180 if sign < 0 else 0)
    rng = np.random.default_rng(noise.get("seed", 1))
    level = level + rng.normal(0, noise.get("db", 0), len(hz))
    phase = phase + rng.normal(0, noise.get("deg", 0), len(hz))
    wrapped = (phase + 180) % 360 - 180
    columns = (tuple(part.tolist()) for part in (hz, level, wrapped))
    return MeasuredResponse(line, "Middle", *columns, removed_ms=removed_ms)


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 120), st.floats(0, 60), st.sampled_from([1, -1]))
def test_the_arrival_is_found_whatever_was_taken_off(late: float, removed: float, sign) -> None:
    response = measured("Top line", TOP, late, removed, sign)
    assert arrival_ms(response) == pytest.approx(late, abs=0.05)


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 100), st.floats(0, 100))
def test_the_arrival_from_points_in_equal_ratios(late: float, removed: float) -> None:
    """48 to the octave: the highest lie 55 Hz apart and turn several times in between."""
    response = measured("Top line", TOP, late, removed, per_octave=48)
    assert arrival_ms(response) == pytest.approx(late, abs=0.1)


@pytest.mark.parametrize("seed", range(1, 11))
def test_the_arrival_of_a_noisy_sub(seed: int) -> None:
    """1 dB and 10 degrees of scatter on every line: still within 1 ms (its own phase counts)."""
    response = measured("Sub line", SUB, 60.0, 20.0, db=1, deg=10, seed=seed)
    assert arrival_ms(response) == pytest.approx(60, abs=1.0)


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 80), st.floats(0, 80))
def test_between_the_points_it_turns_with_the_arrival(late: float, removed: float) -> None:
    """2 Hz lines, asked for in between: the box's own phase and the whole arrival."""
    response = measured("Top line", TOP, late, removed, every=2.0)
    at = np.array([50.7, 91.3, 250.9])
    own = np.interp(np.log(at), np.log(TOP.frequency_hz), TOP.phase_deg)
    wanted = np.exp(1j * np.radians(own - 360 * at * late / 1000))
    found = measured_at(response, at)
    assert np.degrees(np.abs(np.angle(found * wanted.conj()))).max() < 1.0


def test_beyond_its_ends_it_is_silent() -> None:
    response = measured("Top line", TOP, 10.0)
    assert measured_at(response, np.array([10.0, 5000.0])).tolist() == [0, 0]


@pytest.mark.parametrize("removed", [0.0, 30.0, 61.2])
def test_measured_or_worked_out_the_answer_is_one(removed: float) -> None:
    """The same boxes at the same places: from geometry, and from what a microphone would hear."""
    plain = rig(
        loudspeakers=_sheets(),
        outputs=outputs(sub={"delay_ms": 3.0}),
    )
    worked = aligned(plain)
    flight = 1000 * 20 / 343.2
    heard = aligned(
        dataclasses.replace(
            plain,
            measured=(
                measured("Sub line", SUB, flight, removed),
                measured("Top line", TOP, flight, 0.0),
            ),
        )
    )
    assert heard.measured and not worked.measured
    assert heard.add_ms == pytest.approx(worked.add_ms, abs=0.05)
    assert heard.invert == worked.invert
    assert heard.moved_arrival_ms == pytest.approx(worked.moved_arrival_ms, abs=0.2)
    assert heard.reference_arrival_ms == pytest.approx(worked.reference_arrival_ms, abs=0.2)


@pytest.mark.parametrize("seed", range(1, 6))
def test_a_noisy_measurement_moves_the_answer_little(seed: int) -> None:
    """1 dB and 10 degrees of scatter: within 0.2 ms (6 degrees at 90 Hz)."""
    plain = rig(loudspeakers=_sheets())
    noise = {"db": 1, "deg": 10}
    scattered = dataclasses.replace(
        plain,
        measured=(
            measured("Sub line", SUB, 58.3, seed=seed, **noise),
            measured("Top line", TOP, 60.1, seed=seed + 100, **noise),
        ),
    )
    clean = dataclasses.replace(
        plain, measured=(measured("Sub line", SUB, 58.3), measured("Top line", TOP, 60.1))
    )
    assert aligned(scattered).add_ms == pytest.approx(aligned(clean).add_ms, abs=0.2)


def test_a_box_wired_backwards_is_found_by_measuring() -> None:
    """Geometry cannot know; the microphone does: turn the polarity, no delay."""
    pair = (measured("Sub line", SUB, 58.3, sign=-1), measured("Top line", TOP, 58.3))
    right = (measured("Sub line", SUB, 58.3), pair[1])
    wrong, plain = (aligned(rig(loudspeakers=_sheets(), measured=part)) for part in (pair, right))
    assert wrong.invert is not plain.invert
    assert wrong.add_ms == pytest.approx(plain.add_ms, abs=1e-3)


def test_half_measured_counts_as_not_measured() -> None:
    """Levels of a measurement and of a data sheet cannot be held against each other."""
    found = aligned(rig(measured=(measured("Sub line", SUB, 70.0),)))
    assert not found.measured
    assert found.add_ms == pytest.approx(0, abs=1e-6)


def _sheets():
    plain = rig()
    return tuple(
        dataclasses.replace(sheet, ways=(dataclasses.replace(sheet.ways[0], axis_response=box),))
        for sheet, box in zip(plain.loudspeakers, (SUB, TOP), strict=True)
    )
