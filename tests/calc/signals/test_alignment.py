"""Subs and tops that run together, against theory and the traps of the trade."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.figure import UNKNOWN
from calc.system import ProcessorOutput
from tests.calc.builders import amplifier, known, link, loudspeaker, placement, way
from tests.calc.signals.rigs import (
    LEVEL,
    aligned,
    analogue_box,
    linkwitz_riley,
    outputs,
    placements,
    rig,
)

SPEED = 343.2


def boxes(sub, top):
    """Sheets with these responses on the axis."""
    wide = {"low_hz": known(10), "high_hz": known(20_000)}
    return (
        loudspeaker("Sub box", "sub", (way(axis_response=sub, **wide),)),
        loudspeaker("Top box", "top", (way(axis_response=top, **wide),)),
    )


@pytest.mark.parametrize(("order", "needed"), [(2, True), (4, False), (6, True), (8, False)])
def test_linkwitz_riley_needs_what_theory_says(order: int, needed: bool) -> None:
    """checks.md 5 (RUN scipy): order 2 nulls in the same polarity and is flat inverted; order 4
    and 8 are flat as they are. MATH for order 6: 3 x 180 degrees between the two."""
    found = aligned(rig(outputs=outputs(order=order)))
    assert found.invert is needed
    assert found.add_ms == pytest.approx(0, abs=1e-6)
    assert found.best_worst_phase_deg == pytest.approx(0, abs=1e-3)
    steady = np.array(found.best_sum_db_curve)
    assert np.ptp(steady) < 0.05  # all-pass: level, but for 20 m of air
    if needed:
        assert found.sum_db is not None and found.sum_db < -8


@pytest.mark.parametrize("nearer_m", [-4.0, -2.5, -1.0, 0.5, 2.5, 6.0])
def test_the_delay_is_the_distance(nearer_m: float) -> None:
    """Equal boxes, LR4: whatever the sub stands nearer by, at 343.2 m/s."""
    found = aligned(rig(placements=placements(nearer_m)))
    assert found.add_ms == pytest.approx(1000 * nearer_m / SPEED, abs=1e-4)
    assert found.delay_ms == pytest.approx(found.add_ms)
    assert found.invert is False
    assert found.best_worst_phase_deg == pytest.approx(0, abs=0.01)
    if nearer_m < 0:
        assert "delay Top line by" in found.sentences[0]


def test_subs_2_5_m_nearer() -> None:
    """Trap: 7.3 ms = 236 degrees at 90 Hz."""
    found = aligned(rig(placements=placements(2.5)))
    at = np.interp(90.0, found.frequency_hz, np.degrees(np.unwrap(np.radians(found.phase_deg))))
    assert at % 360 == pytest.approx(236, abs=0.5)
    assert found.add_ms == pytest.approx(7.28, abs=0.01)
    assert not found.as_inversion


def test_inverted_subs_look_right_at_one_frequency_and_are_named() -> None:
    """Trap: inverted instead, +4.9 of 6 dB at 90 Hz. The answer: 7.3 ms, not inversion."""
    found = aligned(rig(placements=placements(2.5), outputs=outputs(sub={"inverted": True})))
    place = int(np.abs(np.array(found.frequency_hz) - 90).argmin())
    lost = found.best_sum_db_curve[place] - found.sum_db_curve[place]
    assert 6.02 - lost == pytest.approx(4.9, abs=0.1)
    assert found.as_inversion == "Sub line needs 7.3 ms, not inversion."
    assert found.invert is True and found.add_ms == pytest.approx(7.28, abs=0.01)
    assert found.worst_phase_deg is not None and found.worst_phase_deg > 90
    assert found.best_worst_phase_deg == pytest.approx(0, abs=0.01)


def test_phases_that_only_meet_at_one_frequency_are_not_the_answer() -> None:
    """Inverted and 7.28 - 5.56 = 1.73 ms later both meet at 90 Hz, and part beside it."""
    meeting = rig(
        placements=placements(2.5),
        outputs=outputs(sub={"inverted": True, "delay_ms": 2500 / SPEED - 1000 / 180}),
    )
    found = aligned(meeting)
    at = np.interp(90.0, found.frequency_hz, found.phase_deg)
    assert at == pytest.approx(0, abs=1)
    assert found.worst_phase_deg is not None and found.worst_phase_deg > 40
    assert found.add_ms == pytest.approx(1000 / 180, abs=0.01) and found.invert is True


def test_an_inversion_that_the_filters_need_is_not_blamed() -> None:
    found = aligned(rig(outputs=outputs(order=2, sub={"inverted": True})))
    assert found.invert is False and found.as_inversion == ""
    assert found.worst_phase_deg == pytest.approx(0, abs=1e-3)


delays = st.floats(0, 30)


@settings(max_examples=20, deadline=None)
@given(delays, st.floats(-3, 3), st.booleans())
def test_a_known_delay_of_the_moved_side_changes_the_answer_by_itself(
    more: float, nearer: float, inverted: bool
) -> None:
    plain = aligned(rig(placements=placements(nearer), outputs=outputs(sub={"inverted": inverted})))
    changed = {"inverted": inverted, "delay_ms": more}
    later = aligned(rig(placements=placements(nearer), outputs=outputs(sub=changed)))
    assert plain.add_ms is not None and later.add_ms is not None
    assert plain.add_ms - later.add_ms == pytest.approx(more, abs=1e-6)
    assert later.delay_ms == pytest.approx(plain.delay_ms, abs=1e-6)
    assert later.invert == plain.invert
    assert later.moved_arrival_ms == pytest.approx(plain.moved_arrival_ms + more, abs=1e-9)


@settings(max_examples=15, deadline=None)
@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(0, 20), st.floats(0, 30))
def test_moving_everything_together_changes_nothing(x: float, y: float, z: float, late) -> None:
    """All boxes and the spot by one vector, and one more delay on both outputs."""
    plain = rig(placements=placements(1.7), outputs=outputs(sub={"delay_ms": 2.0}))
    moved = dataclasses.replace(
        plain,
        placements=tuple(_by(p, x, y, z) for p in plain.placements),
        spots=tuple(_by(s, x, y, z) for s in plain.spots),
        outputs=outputs(sub={"delay_ms": 2.0 + late}, top={"delay_ms": late}),
    )
    one, other = aligned(plain), aligned(moved)
    assert other.add_ms == pytest.approx(one.add_ms, abs=1e-6)
    assert other.worst_phase_deg == pytest.approx(one.worst_phase_deg, abs=1e-6)
    assert other.overlap_hz == one.overlap_hz
    assert other.sum_db == pytest.approx(one.sum_db, abs=1e-6)


def _by(part, x: float, y: float, z: float):
    return dataclasses.replace(part, x_m=part.x_m + x, y_m=part.y_m + y, z_m=part.z_m + z)


def test_changed_as_told_nothing_is_left_to_change() -> None:
    """Real-looking boxes: enter the answer, ask again."""
    sheets = boxes(analogue_box(38, 4, 400), analogue_box(60, 2, 15_000))
    before = aligned(rig(loudspeakers=sheets, placements=placements(1.2)))
    assert before.delay_ms is not None and before.delay_ms >= 0
    told = {"delay_ms": before.delay_ms, "inverted": bool(before.invert)}
    after = aligned(rig(loudspeakers=sheets, placements=placements(1.2), outputs=outputs(sub=told)))
    assert after.add_ms == pytest.approx(0, abs=1e-3) and after.invert is False
    assert after.worst_phase_deg == pytest.approx(before.best_worst_phase_deg, abs=0.01)
    assert after.sum_db == pytest.approx(before.best_sum_db, abs=1e-3)


def test_no_other_delay_sums_better_through_the_overlap() -> None:
    """Against a plain search with numpy alone over delays and both polarities."""
    sheets = boxes(analogue_box(38, 4, 400), analogue_box(60, 2, 15_000))
    found = aligned(rig(loudspeakers=sheets, placements=placements(1.2)))
    hz = np.array(found.frequency_hz)
    inside = (hz >= found.overlap_hz[0]) & (hz <= found.overlap_hz[1])
    one = 10 ** (np.array(found.moved_db) / 20) * np.exp(1j * np.radians(found.phase_deg))
    other = 10 ** (np.array(found.reference_db) / 20)
    louder = np.maximum(np.abs(one), other)
    sums = [
        np.mean(
            20 * np.log10(np.abs(s * one * np.exp(-2j * np.pi * hz * t) + other) / louder)[inside]
        )
        for s in (1, -1)
        for t in np.arange(-0.02, 0.02, 0.00005)
    ]
    assert found.best_sum_db is not None
    assert found.best_sum_db > max(sums) - 0.15


def test_a_phase_worked_out_from_the_level_leads_to_nearly_the_same_delay() -> None:
    """0.3 ms are 10 degrees at 90 Hz; and it is said that the phase is an estimate."""
    stated, estimated = (
        aligned(
            rig(loudspeakers=boxes(analogue_box(38, 4, 400, p), analogue_box(60, 2, 15_000, p)))
        )
        for p in (True, False)
    )
    assert estimated.add_ms == pytest.approx(stated.add_ms, abs=0.3)
    assert estimated.invert == stated.invert
    assert any("an estimate" in sentence for sentence in estimated.sentences)
    assert not any("an estimate" in sentence for sentence in stated.sentences)


def test_two_subs_add_up_where_somebody_listens() -> None:
    """MATH: two equal ones at equal distances are 6.02 dB more than one; apart they are not."""
    alone, both, apart = (
        np.interp(90.0, found.frequency_hz, found.moved_db)
        for found in (aligned(_with_subs(*p)) for p in ((3.0,), (3.0, -3.0), (3.0, -9.0)))
    )
    assert both - alone == pytest.approx(6.02, abs=0.01)
    assert apart < both - 0.2


def _with_subs(*places: float):
    plain = rig()
    names = [f"Sub {i}" for i in range(len(places))]
    stands = tuple(
        placement(name, "Sub box", x_m=x, z_m=1.6, tilt_deg=0.0)
        for name, x in zip(names, places, strict=True)
    )
    links = tuple(link(name, from_amplifier=True) for name in names)
    bare = way(axis_response=LEVEL, coverage_h_deg=UNKNOWN, low_hz=known(10), high_hz=known(20_000))
    strong = amplifier("Amp", {2: 400, 4: 400, 8: 400})
    return dataclasses.replace(
        plain,
        amplifiers=(strong,),
        loudspeakers=(loudspeaker("Sub box", "sub", (bare,)), plain.loudspeakers[1]),
        placements=(*stands, *plain.placements[1:]),
        drive_lines=(
            dataclasses.replace(plain.drive_lines[0], links=links),
            *plain.drive_lines[1:],
        ),
    )


def test_sides_that_never_meet() -> None:
    """A sub low-passed at 40 Hz under a top high-passed at 400: a hole, and it is said."""
    narrow = (
        ProcessorOutput("FOH", 1, (1,), 0.0, filters=(linkwitz_riley("low-pass", 8, 40),)),
        ProcessorOutput("FOH", 2, (1,), -60.0, filters=(linkwitz_riley("high-pass", 8, 400),)),
    )
    found = aligned(rig(outputs=narrow))
    assert found.overlap_hz == () and found.add_ms is None
    assert "nowhere within 10 dB" in found.sentences[0]


def test_latency_counts_where_two_processors_differ() -> None:
    """The top runs through another processor, 3 ms slower: the sub needs 3 ms more."""
    plain = rig()
    slow = dataclasses.replace(
        plain.processors[0],
        name="Slow",
        abilities=dataclasses.replace(plain.processors[0].abilities, latency_ms=known(4.5)),
    )
    through = dataclasses.replace(plain.drive_lines[1], processor="Side")
    found = aligned(
        dataclasses.replace(
            plain,
            processors=(*plain.processors, slow),
            processor_places=(
                *plain.processor_places,
                dataclasses.replace(plain.processor_places[0], name="Side", sheet="Slow"),
            ),
            drive_lines=(plain.drive_lines[0], through, plain.drive_lines[2]),
            outputs=(plain.outputs[0], dataclasses.replace(plain.outputs[1], processor="Side")),
        )
    )
    assert found.add_ms == pytest.approx(3.0, abs=1e-6)


def test_gains_move_the_overlap() -> None:
    """A sub 6 dB louder meets the top higher up."""
    plain = aligned(rig())
    louder = aligned(rig(outputs=outputs(sub={"gain_db": 6.0})))
    assert louder.overlap_hz[0] > plain.overlap_hz[0] and louder.overlap_hz[1] > plain.overlap_hz[1]
    assert louder.moved_db[0] - louder.reference_db[0] == pytest.approx(
        6.0 + _at(plain, louder.frequency_hz[0]), abs=0.05
    )


def _at(result, hz: float) -> float:
    over = np.array(result.moved_db) - np.array(result.reference_db)
    return float(np.interp(np.log(hz), np.log(result.frequency_hz), over))
