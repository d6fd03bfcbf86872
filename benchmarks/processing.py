"""Processing: responses of many filters at once, and what an edit of one output costs."""

import dataclasses
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.signal import sosfreqz

from benchmarks.figures import Figure, benchmark, median_seconds, paired_medians
from calc.check import check_lines, validate
from calc.figure import Figure as Value
from calc.lookup import Lookup
from calc.signals.crossover_findings import crossover_findings
from calc.signals.crossovers import crossover_results
from calc.signals.dial_in import output_sheet
from calc.signals.filters import sections_of
from calc.signals.protection import protection_findings
from calc.signals.response import many_responses, output_response
from calc.system import (
    AmplifierPlace,
    AmplifierSheet,
    CableSheet,
    Dial,
    DriveLine,
    Filter,
    Link,
    ListeningSpot,
    LoudspeakerSheet,
    Placement,
    ProcessorAbilities,
    ProcessorOutput,
    ProcessorPlace,
    ProcessorSheet,
    Rating,
    Slope,
    SystemDescription,
    Way,
)

OUTPUTS, FILTERS, LINES = 16, 10, 500
SAMPLING_HZ = 48_000.0

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


def _filters(rng: np.random.Generator) -> tuple[Filter, ...]:
    """A high and a low pass of second order, peaks and shelves: one section each."""
    hz = np.sort(rng.uniform(60, 14_000, FILTERS))
    middle = tuple(
        Filter("peak", float(f), gain_db=float(rng.uniform(-9, 6)), q=float(rng.uniform(0.7, 8)))
        for f in hz[2:-2]
    )
    return (
        Filter("high-pass", float(hz[0]), "Butterworth", 2),
        Filter("low shelf", float(hz[1]), gain_db=3.0),
        *middle,
        Filter("high shelf", float(hz[-2]), gain_db=-2.0),
        Filter("low-pass", float(hz[-1]), "Butterworth", 2),
    )


def _sos(filters: tuple[Filter, ...]) -> Floats:
    """The same filters as digital sections for scipy, by the textbook's bilinear transform."""
    rows = []
    for part in filters:
        k = 1 / np.tan(np.pi * part.frequency_hz / SAMPLING_HZ)
        for section in sections_of(part):
            sides = [
                (c0 + c1 * k + c2 * k * k, 2 * (c0 - c2 * k * k), c0 - c1 * k + c2 * k * k)
                for c0, c1, c2 in (section[:3], section[3:])
            ]
            rows.append(np.array(sides).ravel() / sides[1][0])
    return np.array(rows)


def _loop(sections: list[Floats], hz: Floats) -> Complex:
    return np.array([sosfreqz(one, worN=hz, fs=SAMPLING_HZ)[1] for one in sections])


@benchmark("processing.response")
def response() -> Iterator[Figure]:
    """From filters as people type them; scipy's sections are made before its clock starts."""
    rng = np.random.default_rng(1)
    hz = np.geomspace(20, 20_000, LINES)
    sets = [_filters(rng) for _ in range(OUTPUTS)]
    sections = [_sos(one) for one in sets]
    ours, loop = paired_medians(
        lambda: many_responses(sets, hz, SAMPLING_HZ), lambda: _loop(sections, hz), runs=21
    )
    off = np.max(np.abs(many_responses(sets, hz, SAMPLING_HZ) - _loop(sections, hz)))
    yield Figure(
        "processing.response",
        1000 * ours,
        "ms",
        loop / ours,
        f"scipy sosfreqz output by output, {1000 * loop:.1f} ms",
        f"{OUTPUTS} outputs x {FILTERS} filters x {LINES} frequencies; furthest apart {off:.0e}",
    )


def _way(name: str, low: float, high: float) -> Way:
    return Way(
        name=name,
        rated_impedance_ohm=Value(8.0),
        minimum_impedance_ohm=Value(6.4),
        noise_power_w=Value(300.0),
        peak_power_w=Value(1200.0),
        sensitivity_db=Value(98.0),
        sensitivity_basis="1 W",
        low_hz=Value(low),
        high_hz=Value(high),
        coverage_h_deg=Value(90.0),
        coverage_v_deg=Value(60.0),
        least_high_pass_hz=Value(low),
        least_high_pass_order=4,
    )


def _abilities() -> ProcessorAbilities:
    pitch = Dial(20.0, 20_000.0, 48, "steps per octave")
    return ProcessorAbilities(
        filters_per_output=FILTERS,
        slopes=tuple(Slope("Linkwitz-Riley", order) for order in (2, 4, 8)),
        mixes_inputs=True,
        sampling_hz=Value(SAMPLING_HZ),
        gain_db=Dial(-60.0, 12.0, 0.1),
        delay_ms=Dial(0.0, 500.0, 0.02),
        pass_hz=pitch,
        filter_hz=pitch,
        filter_gain_db=Dial(-15.0, 15.0, 0.1),
        filter_q=Dial(0.4, 30.0, 0.1),
        limiter_dbu=Dial(-20.0, 20.0, 0.1),
    )


def _rig() -> SystemDescription:
    """16 outputs of two processors: eight two-way boxes, each way on an output of its own."""
    rng = np.random.default_rng(2)
    lines, outputs, placed = [], [], []
    for number in range(OUTPUTS // 2):
        name = f"top {number}"
        placed.append(Placement(name, "two-way", float(number), 0.0, 3.0, 0.0, -5.0))
        for side, (way, kind) in enumerate((("low", "low-pass"), ("high", "high-pass"))):
            index = 2 * number + side
            processor, output = f"rack {index // 8}", index % 8 + 1
            lines.append(
                DriveLine(
                    f"{name} {way}", processor, output, f"amplifier {number}", side + 1,
                    "per channel", 0.0, (Link(name, way, "cable", 1, True),),
                )
            )  # fmt: skip
            passes = (Filter(kind, 1100.0, "Linkwitz-Riley", 4),)  # type: ignore[arg-type]
            outputs.append(
                ProcessorOutput(
                    processor,
                    output,
                    (1,),
                    -3.0,
                    0.1 * number,
                    filters=passes + _filters(rng)[1:-1],
                )
            )
    ways = (_way("low", 70.0, 1400.0), _way("high", 900.0, 17_000.0))
    amplifier = AmplifierSheet(
        "amplifier", 2, (Rating("per channel", 8.0, Value(600.0)),), (), gain_db=Value(32.0)
    )
    return SystemDescription(
        event="benchmark",
        loudspeakers=(LoudspeakerSheet("two-way", "top", ways),),
        amplifiers=(amplifier,),
        cables=(CableSheet("cable", Value(2.5), "5", Value(15.0), 1),),
        processors=(ProcessorSheet("processor", 4, 8, abilities=_abilities()),),
        processor_places=tuple(ProcessorPlace(f"rack {i}", "processor") for i in range(2)),
        amplifier_places=tuple(
            AmplifierPlace(f"amplifier {i}", "rack", "amplifier") for i in range(OUTPUTS // 2)
        ),
        placements=tuple(placed),
        drive_lines=tuple(lines),
        outputs=tuple(outputs),
        spots=(ListeningSpot("middle", 0.0, 20.0, 1.7),),
    )  # fmt: skip


@benchmark("processing.edit_ms")
def edit() -> Iterator[Figure]:
    """One output's delay changes: check the rig's lines, its curve, crossovers, findings, sheet."""
    rig = _rig()
    hz = np.geomspace(20, 20_000, LINES)
    first, *others = rig.outputs
    edited = dataclasses.replace(first, delay_ms=first.delay_ms + 0.5)
    after = dataclasses.replace(rig, outputs=(edited, *others))
    key = (edited.processor, edited.output)

    def work() -> None:
        assert not validate(after)
        lookup, lines = Lookup.of(after), check_lines(after)
        results = crossover_results(after, lookup, lines, output=key)
        assert results and list(crossover_findings(after, lookup, lines, results, output=key))
        assert list(protection_findings(after, lookup))
        assert output_sheet(after, lookup, lines, edited).rounding_db is not None
        output_response(edited, lookup.abilities_of(edited.processor), hz)

    yield Figure(
        "processing.edit_ms",
        1000 * median_seconds(work, runs=11),
        "ms",
        note=f"rig of {OUTPUTS} outputs with {FILTERS} filters each: validity, lines, curve, "
        "crossovers on the axis and at a spot, findings, sheet of that output; no page",
    )
