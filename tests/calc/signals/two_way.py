"""A two-way box on two outputs: change one thing, see what follows."""

import dataclasses
from typing import Any

from calc.check import check_lines
from calc.lookup import Lookup
from calc.prediction import CrossoverResult, Finding
from calc.signals.crossover_findings import crossover_findings
from calc.signals.crossovers import crossover_results
from calc.system import AmplifierPlace, Filter, ProcessorOutput, SystemDescription, Way
from tests.calc.builders import (
    amplifier,
    drive_line,
    known,
    link,
    loudspeaker,
    output,
    placement,
    processor,
    system,
    way,
)


def passes(family: str = "Linkwitz-Riley", order: int = 4, low=1000.0, high=1000.0):
    """Low pass of the lower way and high pass of the upper one."""
    return Filter("low-pass", low, family, order), Filter("high-pass", high, family, order)


def ways(low: dict[str, Any] | None = None, high: dict[str, Any] | None = None) -> tuple[Way, Way]:
    """Low 80 Hz to 1.5 kHz, high 800 Hz to 16 kHz, equally sensitive."""
    return (
        way("low", low_hz=known(80), high_hz=known(1500), **(low or {})),
        way("high", low_hz=known(800), high_hz=known(16_000), **(high or {})),
    )


def two_way(
    settings: tuple[ProcessorOutput, ...] | None = None,
    of_ways: tuple[Way, ...] | None = None,
    boxes: int = 1,
    **changes: Any,
) -> SystemDescription:
    """Boxes side by side, each way on an output of its own that all boxes share."""
    low, high = passes()
    names = [f"Top {i + 1}" for i in range(boxes)]
    lines = tuple(
        drive_line(
            one, tuple(link(n, from_amplifier=i == 0, way_name=one) for i, n in enumerate(names)),
            channel=number, output=number,
        )
        for number, one in enumerate(("low", "high"), start=1)
    )  # fmt: skip
    plain: dict[str, Any] = {
        "loudspeakers": (loudspeaker(ways=of_ways or ways()),),
        "amplifiers": (amplifier(ratings={8: 400, 4: 700, 2: 900}, minimum=2),),
        "amplifier_places": (AmplifierPlace("Rack 1 A", "Rack 1", "Amp"),),
        "placements": tuple(placement(name, x_m=float(i)) for i, name in enumerate(names)),
        "drive_lines": lines,
        "outputs": (output(1, filters=(low,)), output(2, filters=(high,)))
        if settings is None
        else settings,
        "processors": (processor(),),
    }
    return system(**(plain | changes))


def of_kind(family: str, order: int, inverted: bool = False, **upper: Any) -> SystemDescription:
    """A pair of one kind at 1 kHz."""
    low, high = passes(family, order)
    return two_way(
        (output(1, filters=(low,)), output(2, filters=(high,), inverted=inverted, **upper))
    )


def results(described: SystemDescription, **changes: Any) -> tuple[CrossoverResult, ...]:
    """Every crossover of a rig."""
    return crossover_results(described, Lookup.of(described), check_lines(described), **changes)


def findings(described: SystemDescription) -> dict[str, Finding]:
    """The first finding by its key."""
    lookup, lines = Lookup.of(described), check_lines(described)
    found = crossover_results(described, lookup, lines)
    first: dict[str, Finding] = {}
    for one in crossover_findings(described, lookup, lines, found):
        first.setdefault(one.check, one)
    return first


def replaced(described: SystemDescription, number: int, **changes: Any) -> SystemDescription:
    """The same with one output changed."""
    outputs = tuple(
        dataclasses.replace(part, **changes) if part.output == number else part
        for part in described.outputs
    )
    return dataclasses.replace(described, outputs=outputs)
