"""Processor outputs that feed several drive lines, and amplifiers with linked inputs."""

from collections import defaultdict
from collections.abc import Sequence

from calc.prediction import Finding, LineResult, State
from calc.system import DriveLine, SystemDescription
from calc.words import joined, level

SAME_DB = 1e-6
OUTPUT_SOURCE = "one limiter serves all lines of an output: the lowest threshold counts"
LINK_SOURCE = "linked inputs carry one signal"


def output_findings(system: SystemDescription, lines: Sequence[LineResult]) -> tuple[Finding, ...]:
    """One statement for every shared output and for every amplifier with linked inputs."""
    results = {line.name: line for line in lines}
    shared: dict[tuple[str, int], list[DriveLine]] = defaultdict(list)
    for line in system.drive_lines:
        if line.processor and line.output is not None:
            shared[line.processor, line.output].append(line)
    found = [
        _shared(f"{processor}, output {output}", [results[line.name] for line in mine])
        for (processor, output), mine in shared.items()
        if len(mine) > 1
    ]
    linked = [place.name for place in system.amplifier_places if place.linked_inputs]
    found += [
        _linked(name, mine)
        for name in linked
        if len(mine := [line for line in system.drive_lines if line.amplifier == name]) > 1
    ]
    return tuple(found)


def _shared(name: str, lines: Sequence[LineResult]) -> Finding:
    thresholds = [line.limiter_rms_dbu for line in lines]
    known = [one for one in thresholds if one is not None]
    lowest = min(known, default=None)
    names = joined(line.name for line in lines)
    state: State
    if lowest is None or len(known) < len(thresholds):
        state, lowest = "cannot check", None
        open_lines = joined(line.name for line in lines if line.limiter_rms_dbu is None)
        sentence = f"it drives {names}, and the limiter of {open_lines} is not known."
    elif max(known) - lowest > SAME_DB:
        state = "tight"
        peaks = [line.limiter_peak_dbu for line in lines if line.limiter_peak_dbu is not None]
        sentence = (
            f"it drives {names}, whose limiters differ. Set it to the lowest of them, "
            f"{level(lowest, 'dBu')} rms and {level(min(peaks), 'dBu')} peak."
        )
    else:
        state, sentence = "holds", f"it drives {names}, with one limiter setting for all."
    return Finding(
        subject=name,
        check="shared_output",
        title="Lines on one processor output",
        state=state,
        value=max(known) if lowest is not None else None,
        limit=lowest,
        unit="dBu",
        limit_source=OUTPUT_SOURCE,
        sentence=f"{name}: {sentence}",
        working=tuple(
            f"{line.name}: "
            + (
                "unknown."
                if line.limiter_rms_dbu is None
                else f"{line.limiter_rms_dbu:.2f} dBu rms."
            )
            for line in lines
        ),
        remedy="An output for each line, or level controls that bring the thresholds together.",
    )


def _linked(place: str, lines: Sequence[DriveLine]) -> Finding:
    sources = {(line.processor, line.output) for line in lines}
    names = joined(line.name for line in lines)
    state: State
    if any(not line.processor or line.output is None for line in lines):
        state = "cannot check"
        sentence = f"its inputs are linked; say which processor output feeds {names}."
    elif len(sources) > 1:
        state = "fails"
        sentence = (
            f"its inputs are linked, but {names} come from different processor outputs. "
            "Feed them from one, or take the link off."
        )
    else:
        state, sentence = "holds", f"its inputs are linked and one output feeds {names}."
    return Finding(
        subject=place,
        check="linked_inputs",
        title="Linked inputs",
        state=state,
        value=float(len(sources)) if state != "cannot check" else None,
        limit=1.0,
        unit="outputs",
        limit_source=LINK_SOURCE,
        sentence=f"{place}: {sentence}",
        remedy="The link switch off, or one processor output for all of its channels.",
    )
