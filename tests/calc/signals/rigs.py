"""A sub and a top on one processor, and a tower: change one thing, see what follows."""

import dataclasses
from typing import Any

import numpy as np
from scipy.signal import butter, freqs

from calc.check import check_lines
from calc.lookup import Lookup
from calc.prediction import AlignmentResult, Finding
from calc.signals.alignment import alignment_results
from calc.signals.alignment_findings import alignment_findings
from calc.system import (
    Alignment,
    AmplifierPlace,
    AxisResponse,
    Filter,
    ListeningSpot,
    ProcessorAbilities,
    ProcessorOutput,
    ProcessorPlace,
    ProcessorSheet,
    Surroundings,
    SystemDescription,
)
from tests.calc.builders import (
    amplifier,
    cable,
    drive_line,
    known,
    link,
    loudspeaker,
    placement,
    way,
)

CROSSOVER_HZ = 90.0
SPOT = ListeningSpot("Middle", 0.0, 20.0, 1.6)
LEVEL = AxisResponse((10.0, 20_000.0), (97.0, 97.0), (0.0, 0.0))
"""A box that changes nothing: then theory says what two filters give."""


def linkwitz_riley(kind: str, order: int = 4, hz: float = CROSSOVER_HZ) -> Filter:
    return Filter(kind, hz, "Linkwitz-Riley", order)


def outputs(**changes: Any) -> tuple[ProcessorOutput, ...]:
    """Output 1 the sub (low pass), output 2 the top (high pass), output 3 a tower."""
    order = changes.pop("order", 4)
    plain = {
        "sub": ProcessorOutput("FOH", 1, (1,), 0.0, filters=(linkwitz_riley("low-pass", order),)),
        "top": ProcessorOutput("FOH", 2, (1,), 0.0, filters=(linkwitz_riley("high-pass", order),)),
        "tower": ProcessorOutput("FOH", 3, (1,), 0.0),
    }
    return tuple(dataclasses.replace(part, **changes.get(name, {})) for name, part in plain.items())


def placements(sub_y: float = 0.0, tower_y: float = 60.0, **sub: Any):
    """The boxes at one height on the axis, so that distances are differences of y."""
    return (
        placement("Sub", "Sub box", y_m=sub_y, z_m=1.6, tilt_deg=0.0, **sub),
        placement("Top", "Top box", y_m=0.0, z_m=1.6, tilt_deg=0.0),
        placement("Tower", "Top box", y_m=tower_y, z_m=1.6, tilt_deg=0.0),
    )


def rig(**changes: Any) -> SystemDescription:
    """20 degC; the sub and the top are to run together 20 m ahead."""
    wide = {"axis_response": LEVEL, "low_hz": known(10), "high_hz": known(20_000)}
    abilities = ProcessorAbilities(latency_ms=known(1.5))
    names = ("Sub", "Top", "Tower")
    plain = SystemDescription(
        event="Evening",
        loudspeakers=(
            loudspeaker("Sub box", "sub", (way(**wide),)),
            loudspeaker("Top box", "top", (way(**wide),)),
        ),
        amplifiers=(amplifier(),),
        cables=(cable(),),
        processors=(ProcessorSheet("Proc", 2, 6, abilities=abilities),),
        amplifier_places=tuple(AmplifierPlace(f"Amp {n}", "Rack 1", "Amp") for n in names),
        processor_places=(ProcessorPlace("FOH", "Proc"),),
        placements=placements(),
        drive_lines=tuple(
            drive_line(f"{name} line", (link(name),), amplifier_place=f"Amp {name}", output=i)
            for i, name in enumerate(names, 1)
        ),
        outputs=outputs(),
        spots=(SPOT, ListeningSpot("At the tower", 0.0, 60.0, 1.6)),
        alignments=(Alignment("Sub to top", "sub to top", ("Sub line",), ("Top line",), "Middle"),),
    )
    return dataclasses.replace(plain, **changes)


def tower_rig(set_c: float | None, show_c: float, offset: float = 10.0, **changes: Any):
    """A tower 60 m from the stage, heard right at it."""
    part = Alignment(
        "Tower", "fill or tower", ("Tower line",), ("Top line",), "At the tower", offset, set_c
    )
    return rig(alignments=(part,), surroundings=Surroundings(temperature_c=show_c), **changes)


def aligned(system: SystemDescription) -> AlignmentResult:
    """The first alignment's answer."""
    return alignment_results(system, Lookup.of(system), check_lines(system))[0]


def found(system: SystemDescription, check: str) -> Finding | None:
    """The first finding of that key."""
    lookup = Lookup.of(system)
    results = alignment_results(system, lookup, check_lines(system))
    findings = alignment_findings(system, lookup, results)
    return next((finding for finding in findings if finding.check == check), None)


def analogue_box(low_hz: float, order: int, high_hz: float, phase: bool = True) -> AxisResponse:
    """A box like a high pass with a soft top end (scipy): minimum phase, as drivers nearly are."""
    hz = np.geomspace(10, 20_000, 300)
    whole = np.ones(len(hz), dtype=complex)
    for corner, kind, steep in ((low_hz, "highpass", order), (high_hz, "lowpass", 2)):
        b, a = butter(steep, 2 * np.pi * corner, kind, analog=True)
        whole *= freqs(b, a, 2 * np.pi * hz)[1]
    level = 97 + 20 * np.log10(np.abs(whole))
    turned = tuple(np.degrees(np.unwrap(np.angle(whole))).tolist()) if phase else ()
    return AxisResponse(tuple(hz.tolist()), tuple(level.tolist()), turned)
