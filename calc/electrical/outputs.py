"""Processor outputs that feed several ways or drive lines, and amplifiers with linked inputs."""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from operator import itemgetter

from calc.electrical.findings.limiter import setting_words
from calc.electrical.same_signal import FedWay, first_pair
from calc.lookup import Lookup
from calc.prediction import Finding, LineResult, State
from calc.system import DriveLine, SystemDescription
from calc.words import joined

SAME_DB = 1e-6
OUTPUT_SOURCE = (
    "circuit theory: one crossover and one limiter serve all that an output feeds; the same band "
    "from 60 % of the octaves in common: common practice, no source"
)
LINK_SOURCE = "linked inputs carry one signal"


def output_findings(
    system: SystemDescription, lookup: Lookup, lines: Sequence[LineResult]
) -> tuple[Finding, ...]:
    """What is wrong with outputs that feed several ways or lines, and with linked inputs.

    One way, or lines that need one and the same limiter, are no matter: nothing is said.
    """
    results = {line.name: line for line in lines}
    found = []
    for name, mine in _outputs(system).items():
        fed = [
            FedWay(line.name, lookup.placements[link.placement].sheet, way)
            for line in mine
            for link in line.links
            for way in (lookup.way(link.placement, link.way),)
        ]
        found.append(_shared(name, fed, [results[line.name] for line in mine]))
    linked = [place.name for place in system.amplifier_places if place.linked_inputs]
    said = [one for one in found if one is not None]
    said += [
        _linked(name, mine)
        for name in linked
        if len(mine := [line for line in system.drive_lines if line.amplifier == name]) > 1
    ]
    return tuple(said)


def with_shared_limiters(
    system: SystemDescription, lines: Sequence[LineResult]
) -> tuple[LineResult, ...]:
    """The lines, told by their limiter's sentence where another line on their output needs less.

    The line's own thresholds stay: they are what its boxes bear.
    """
    results = {line.name: line for line in lines}
    for name, mine in _outputs(system).items():
        found = [results[line.name] for line in mine]
        pairs = [pair for line in found if (pair := _thresholds(line)) is not None]
        if len(pairs) < 2:
            continue
        lowest = (min(pair[0] for pair in pairs), min(pair[1] for pair in pairs))
        for line in found:
            own = _thresholds(line)
            if own is not None and (own[0] > lowest[0] + SAME_DB or own[1] > lowest[1] + SAME_DB):
                results[line.name] = _told(
                    line,
                    f"{name} feeds other lines too, which bear less: "
                    f"there {setting_words(*lowest)} is the most.",
                )
    return tuple(results[line.name] for line in lines)


def _told(line: LineResult, words: str) -> LineResult:
    findings = tuple(
        replace(one, sentence=f"{one.sentence} {words}") if one.check == "limiter" else one
        for one in line.findings
    )
    return replace(line, findings=findings)


def _outputs(system: SystemDescription) -> dict[str, list[DriveLine]]:
    """Drive lines by the output that feeds them; a line without one stands for itself."""
    shared: dict[str, list[DriveLine]] = defaultdict(list)
    for line in system.drive_lines:
        if line.processor and line.output is not None:
            shared[f"{line.processor}, output {line.output}"].append(line)
        else:
            shared[f"Line {line.name}"].append(line)
    return shared


def _shared(name: str, fed: Sequence[FedWay], lines: Sequence[LineResult]) -> Finding | None:
    different, unknown = first_pair(fed)
    finding = partial(_finding, name, lines)
    if different is not None:
        one, other = different
        return finding(
            "fails",
            f"it feeds {one.name} and {other.name}, which play different bands: one of them gets "
            "what it cannot bear. Give each way an output of its own, with its own crossover and "
            "limiter.",
        )
    if unknown is not None:
        one, other = unknown
        return finding(
            "cannot check",
            f"it feeds {one.name} and {other.name}, and whether they play the same band is not "
            "known. Enter their lowest and highest frequencies.",
        )
    return _limiters(lines, finding)


def _limiters(
    lines: Sequence[LineResult], finding: Callable[[State, str], Finding]
) -> Finding | None:
    """Lines that play the same band: do they need the same limiter?"""
    if len(lines) < 2:
        return None
    names = joined(line.name for line in lines)
    unknown = [line.name for line in lines if _thresholds(line) is None]
    if unknown:
        return finding(
            "cannot check",
            f"it feeds {names}, and the limiter of {joined(unknown)} is not known. Enter what "
            "that line lacks.",
        )
    known = [(pair, line) for line in lines if (pair := _thresholds(line)) is not None]
    (rms, by_rms) = min(((pair[0], line.name) for pair, line in known), key=itemgetter(0))
    (peak, by_peak) = min(((pair[1], line.name) for pair, line in known), key=itemgetter(0))
    if all(abs(p[0] - rms) <= SAME_DB and abs(p[1] - peak) <= SAME_DB for p, _ in known):
        return None
    whose = by_rms if by_rms == by_peak else f"{by_rms} (rms) and {by_peak} (peak)"
    return finding(
        "tight",
        f"it feeds {names}, whose limiters differ, and has one for all. Set the lowest, that of "
        f"{whose}: {setting_words(rms, peak)}. The others then play below what they could.",
    )


def _thresholds(line: LineResult) -> tuple[float, float] | None:
    if line.limiter_rms_dbu is None or line.limiter_peak_dbu is None:
        return None
    return line.limiter_rms_dbu, line.limiter_peak_dbu


def _finding(name: str, lines: Sequence[LineResult], state: State, sentence: str) -> Finding:
    pairs = [_thresholds(line) for line in lines]
    rms = [pair[0] for pair in pairs if pair is not None]
    complete = len(rms) == len(pairs)
    return Finding(
        subject=name,
        check="shared_output",
        title="What one processor output feeds",
        state=state,
        value=max(rms) if complete else None,
        limit=min(rms) if complete else None,
        unit="dBu",
        limit_source=OUTPUT_SOURCE,
        sentence=f"{name}: {sentence}",
        working=tuple(
            f"{line.name}: " + ("limiter unknown." if p is None else f"{setting_words(*p)}.")
            for line, p in zip(lines, pairs, strict=True)
        ),
        remedy="An output for each, or level controls that bring equal ways' thresholds together.",
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
