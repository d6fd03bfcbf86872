"""Two ways added up: flat where theory says so, null where it says so."""

import dataclasses

import numpy as np
import pytest
from scipy.signal import bessel, freqs_zpk

from calc.check import check
from calc.system import AmplifierPlace, AxisResponse, Filter, ListeningSpot
from tests.calc.builders import drive_line, known, link, output, processor, way
from tests.calc.signals.two_way import findings, of_kind, passes, replaced, results, two_way, ways


@pytest.mark.parametrize(
    ("family", "order", "needed"),
    [  # checks.md 5: null or not at the corner; BW3 sums alike either way (its 90 degrees)
        ("Butterworth", 2, True),
        ("Butterworth", 3, None),
        ("Butterworth", 4, False),
        ("Butterworth", 6, True),  # MATH: n x 90 degrees
        ("Butterworth", 8, False),
        ("Linkwitz-Riley", 2, True),
        ("Linkwitz-Riley", 4, False),
        ("Linkwitz-Riley", 6, True),
        ("Linkwitz-Riley", 8, False),
    ],
)
def test_polarity_that_each_kind_needs(family, order, needed) -> None:
    (found,) = results(of_kind(family, order))
    assert found.needed_inverted is needed
    assert found.kind == f"{family} {6 * order} dB/octave"
    assert found.crossover_hz == pytest.approx(1000, rel=1e-3)
    right = findings(of_kind(family, order, inverted=bool(needed)))["crossover_polarity"]
    assert right.state == "holds"
    wrong = findings(of_kind(family, order, inverted=not needed))["crossover_polarity"]
    assert wrong.state == ("holds" if needed is None else "fails")
    if needed is not None:
        assert (
            wrong.value is not None
            and wrong.value < -30
            and "dB below the louder" in wrong.sentence
        )


def test_a_linkwitz_riley_pair_is_flat_and_turns_by_its_all_pass() -> None:
    """checks.md 5: 0 dB everywhere; group delay 0.52960 ms at 500 Hz, 0.45016 ms at the corner."""
    (found,) = results(of_kind("Linkwitz-Riley", 4))
    curve = np.array(found.sum_db_curve)
    assert np.ptp(curve) < 2e-3
    assert found.worst_dip_db == 0 and found.sum_db == pytest.approx(6.0206, abs=1e-3)
    delays = dict(zip(found.frequency_hz, found.group_delay_ms, strict=True))
    assert delays[500.0] == pytest.approx(0.52960, abs=1e-4)
    assert delays[1000.0] == pytest.approx(0.45016, abs=1e-4)


def test_butterworth_of_third_order_is_flat_both_ways() -> None:
    for inverted in (False, True):
        (found,) = results(of_kind("Butterworth", 3, inverted))
        assert np.ptp(found.sum_db_curve) < 2e-3
        assert abs(found.phase_deg) == pytest.approx(90, abs=0.2)


def test_gain_moves_the_crossover_and_delay_turns_it() -> None:
    """The upper way 6 dB up: they meet lower. 0.25 ms later: a quarter turn at 1 kHz (MATH)."""
    plain = of_kind("Linkwitz-Riley", 4)
    (louder,) = results(replaced(plain, 2, gain_db=6.0))
    assert louder.crossover_hz < 950
    (later,) = results(replaced(plain, 2, delay_ms=0.25))
    assert later.phase_deg == pytest.approx(-90, abs=0.2)
    both = replaced(replaced(plain, 1, delay_ms=7.0), 2, delay_ms=7.25)
    assert results(both)[0].phase_deg == later.phase_deg


def test_measured_phases_decide_before_theory() -> None:
    """An upper driver wired the other way round: by the rule it is right, by its phase it fails."""
    hz, level = (20.0, 20_000.0), (97.0, 97.0)
    plain, turned = (AxisResponse(hz, level, (deg, deg)) for deg in (0.0, 180.0))
    drivers = ways({"axis_response": plain}, {"axis_response": turned})
    described = two_way(of_ways=drivers)
    assert findings(described)["crossover_polarity"].state == "fails"
    mended = findings(replaced(described, 2, inverted=True))["crossover_polarity"]
    assert mended.state == "holds" and "the drivers turn it" in mended.sentence


def test_boxes_set_alike_are_answered_once_and_the_nearest_at_a_spot() -> None:
    spot = ListeningSpot("Right", 2.0, 6.0, 1.6)
    axis, there = results(two_way(boxes=3, spots=(spot,)))
    assert (axis.subject, axis.also, axis.spot) == ("Top 1", ("Top 2", "Top 3"), "")
    assert (there.subject, there.also, there.spot) == ("Top 3", (), "Right")
    assert max(there.sum_db_curve) < max(axis.sum_db_curve) - 12


def test_only_the_boxes_of_one_output() -> None:
    described = two_way(boxes=2)
    assert len(results(described, output=("FOH", 2))) == 1
    assert results(described, output=("FOH", 5)) == ()


def test_nobody_said_what_an_output_does() -> None:
    described = two_way(settings=(output(1, filters=passes()[:1]),))
    assert results(described) == ()
    found = findings(described)["crossover_polarity"]
    assert found.state == "cannot check" and "on high" in found.sentence


def test_levels_that_nobody_knows_are_said() -> None:
    (found,) = results(of_kind("Linkwitz-Riley", 4, gain_db=None))
    assert "own full drive" in found.basis and "no response on the axis" in found.basis
    (unknown,) = results(two_way(of_ways=ways({}, {"sensitivity": None})))
    assert "equally loud where they meet, as a level is unknown" in unknown.basis
    assert unknown.crossover_hz == pytest.approx(1000, rel=1e-3)
    assert unknown.worst_dip_db == 0


@pytest.mark.parametrize(
    ("low", "high", "state", "words"),
    [
        (1000.0, 1000.0, "holds", "they meet at 1 kHz"),
        (500.0, 2000.0, "fails", "a hole lies between"),
        (2000.0, 900.0, "holds", "they meet at"),
    ],
)
def test_holes(low, high, state, words) -> None:
    one, other = passes(low=low, high=high)
    described = two_way((output(1, filters=(one,)), output(2, filters=(other,))))
    found = findings(described)["crossover_order"]
    assert found.state == state and words in found.sentence


def test_a_way_whose_passes_cross_each_other() -> None:
    low, high = passes()
    above = dataclasses.replace(high, frequency_hz=3000.0)
    described = two_way((output(1, filters=(low, above)), output(2, filters=(high,))))
    assert "next to nothing passes" in findings(described)["crossover_order"].sentence


def test_a_missing_pass_is_told() -> None:
    described = two_way((output(1), output(2, filters=passes()[1:])))
    found = findings(described)
    assert found["crossover_order"].state == "tight"
    assert "low has no low-pass" in found["crossover_order"].sentence
    assert found["crossover_polarity"].state == "cannot check"


@pytest.mark.parametrize(("corner", "norm"), [("-3 dB", "mag"), ("phase", "phase")])
@pytest.mark.parametrize("order", [2, 3, 4, 6, 8])
def test_a_bessels_needed_polarity_follows_from_its_phase(order, corner, norm) -> None:
    """Against scipy's Bessel in both normalisations: the louder of two sums is the right one."""
    unit = processor(bessel_corner=corner)
    described = dataclasses.replace(of_kind("Bessel", order), processors=(unit,))
    (found,) = results(described)
    w = 2 * np.pi * 1000.0
    near = np.geomspace(0.5 * w, 2 * w, 2001)
    low, high = (
        freqs_zpk(*bessel(order, w, kind, analog=True, norm=norm, output="zpk"), near)[1]
        for kind in ("low", "high")
    )
    meeting = int(np.argmin(np.abs(np.abs(low) - np.abs(high))))
    same, turned = abs(low + high)[meeting], abs(low - high)[meeting]
    if found.needed_inverted is None:
        assert same == pytest.approx(turned, rel=0.35)
    else:
        assert found.needed_inverted == (turned > same)


def test_three_ways_in_rising_order() -> None:
    """The mid meets the high below where it meets the low: told as a crossover out of order."""
    drivers = (
        way("low", low_hz=known(50), high_hz=known(400)),
        way("mid", low_hz=known(200), high_hz=known(4000)),
        way("high", low_hz=known(1500), high_hz=known(16_000)),
    )

    def rig(upper_hz: float, low_hz: float = 300.0, mid_hz: float = 300.0):
        def pair(kind: str, hz: float) -> Filter:
            return Filter(kind, hz, "Linkwitz-Riley", 4)

        filters = (
            (pair("low-pass", low_hz),),
            (pair("high-pass", mid_hz), pair("low-pass", upper_hz)),
            (pair("high-pass", upper_hz),),
        )
        lines = tuple(
            drive_line(
                one.name, (link(way_name=one.name),), channel=n % 2 + 1, output=n + 1,
                amplifier_place=f"Amp {n // 2}",
            )
            for n, one in enumerate(drivers)
        )  # fmt: skip
        return two_way(
            tuple(output(n, filters=each) for n, each in enumerate(filters, 1)),
            of_ways=drivers,
            drive_lines=lines,
            amplifier_places=tuple(AmplifierPlace(f"Amp {n}", "Rack 1", "Amp") for n in range(2)),
        )

    right, wrong = rig(2500.0), rig(300.0, low_hz=2000.0, mid_hz=200.0)
    assert [one.lower for one in results(right)] == ["low", "mid"]
    states = [
        (found.state, found.sentence)
        for found in check(wrong).findings
        if found.check == "crossover_order"
    ]
    assert states[0][0] == "holds" and states[1][0] == "fails"
    assert "at 300 Hz, below the crossover before, 632.5 Hz" in states[1][1]
    assert {f.state for f in check(right).findings if f.check == "crossover_order"} == {"holds"}


def test_off_axis_the_balloon_of_each_way_counts() -> None:
    """90 degrees to the side the narrow upper way is quieter: they meet higher than on the axis."""
    narrow = ways(
        {"coverage_h_deg": known(360), "coverage_v_deg": known(360)},
        {"coverage_h_deg": known(40), "coverage_v_deg": known(40)},
    )
    aside = ListeningSpot("Aside", 6.0, 4.0, 2.5)
    axis, there = results(two_way(of_ways=narrow, spots=(aside,)))
    assert there.crossover_hz is None or there.crossover_hz > 1.2 * axis.crossover_hz
    low_falls = max(axis.lower_db) - max(there.lower_db)
    high_falls = max(axis.upper_db) - max(there.upper_db)
    assert high_falls > low_falls + 3
