"""The one door in: a description becomes a prediction.

Pure and deterministic: nothing is read but the description, and the same description gives
the same prediction to the last digit.
"""

from collections.abc import Callable

from calc.acoustics.answers import acoustics
from calc.acoustics.gain_before_feedback.answers import microphone_results
from calc.acoustics.gain_before_feedback.findings import feedback_findings
from calc.acoustics.sources import field_of
from calc.electrical.lines import line_result
from calc.electrical.mains import draws, mains_findings, plugging, plugging_unchecked, start_order
from calc.electrical.outputs import output_findings, with_shared_limiters
from calc.lookup import Lookup
from calc.prediction import Finding, LineResult, Prediction
from calc.rig_findings import pole_findings, supply_findings, way_findings
from calc.safety import ALWAYS_UNCHECKED, cautions
from calc.signals.alignment import alignment_results
from calc.signals.alignment_findings import alignment_findings
from calc.signals.crossover_findings import crossover_findings
from calc.signals.crossovers import crossover_results
from calc.signals.dial_in import dialled, fit_findings
from calc.signals.line_up import line_up_steps
from calc.signals.protection import protection_findings
from calc.system import SystemDescription
from calc.validate import validate
from calc.weights import support_results, weight_findings, weights_unchecked

Progress = Callable[[int, int, str], None]

__all__ = ["Progress", "check", "check_lines", "check_microphones", "validate"]


def check(system: SystemDescription, progress: Progress | None = None) -> Prediction:
    """Check a whole sound system.

    Parameters
    ----------
    system : SystemDescription
    progress : callable, optional
        Called as `progress(done, total, what)` before each step and once at the end, when
        `done == total`. It cannot change the result; what it raises stops the check.

    Returns
    -------
    Prediction
        Never holds NaN or infinity: what is unknown is None or said in `unchecked`.

    Raises
    ------
    ValueError
        The description makes no sense; the text is what `validate` found.
    """
    _demand_valid(system)
    steps = _Steps(len(system.drive_lines) + len(system.areas), progress)
    lookup = Lookup.of(system)
    lines = _lines(system, lookup, steps)
    sound = acoustics(system, lookup, lines, lambda name: steps.next(f"area {name}"))
    microphones = microphone_results(system, lookup, lines, sound.field)
    alignments = alignment_results(system, lookup, lines)
    crossovers = crossover_results(system, lookup, lines)
    currents = draws(system, lookup)
    plugged = plugging(system, currents)
    order = tuple(start_order(system, currents, plugged.phases_of_places()))
    made_sheets = dialled(system, lookup, lines)
    supply, supply_unchecked = supply_findings(system, currents)
    steps.end()
    return Prediction(
        lines=lines,
        areas=sound.areas,
        draws=currents,
        start_order=order,
        findings=tuple(way_findings(system, lookup))
        + tuple(pole_findings(system, lookup))
        + output_findings(system, lookup, lines)
        + sound.findings
        + supply
        + mains_findings(system, plugged)
        + weight_findings(system, lookup)
        + tuple(alignment_findings(system, lookup, alignments))
        + tuple(crossover_findings(system, lookup, lines, crossovers))
        + tuple(protection_findings(system, lookup))
        + tuple(fit_findings(made_sheets))
        + feedback_findings(system, microphones),
        cautions=cautions(system),
        unchecked=sound.unchecked
        + supply_unchecked
        + tuple(plugging_unchecked(system, plugged))
        + tuple(weights_unchecked(system))
        + (ALWAYS_UNCHECKED if system.areas else ()),
        supplies=plugged.supplies,
        feeds=plugged.feeds,
        supports=support_results(system, lookup),
        places=sound.places,
        levels=sound.levels,
        room=sound.room,
        exposures=sound.exposures,
        alignments=alignments,
        crossovers=crossovers,
        sheets=tuple(one.sheet for one in made_sheets),
        line_up=line_up_steps(system, lookup, order),
        microphones=microphones,
    )


def check_lines(system: SystemDescription) -> tuple[LineResult, ...]:
    """Check the drive lines only: electrical figures, no map. Fast.

    Raises
    ------
    ValueError
        As `check`.
    """
    _demand_valid(system)
    return _lines(system, Lookup.of(system), _Steps(len(system.drive_lines), None))


def check_microphones(
    system: SystemDescription, lines: tuple[LineResult, ...]
) -> tuple[Finding, ...]:
    """Findings about the stage microphones only, from lines that `check_lines` answered. Fast."""
    if not system.microphones:
        return ()
    lookup = Lookup.of(system)
    results = microphone_results(system, lookup, lines, field_of(system, lookup, lines))
    return feedback_findings(system, results)


class _Steps:
    """Counts the steps of a check and tells them."""

    def __init__(self, total: int, progress: Progress | None) -> None:
        self.done, self.total, self.progress = 0, total, progress

    def next(self, what: str) -> None:
        if self.progress is not None:
            self.progress(self.done, self.total, what)
        self.done += 1

    def end(self) -> None:
        if self.progress is not None:
            self.progress(self.total, self.total, "done")


def _demand_valid(system: SystemDescription) -> None:
    faults = validate(system)
    if faults:
        raise ValueError(" ".join(faults))


def _lines(system: SystemDescription, lookup: Lookup, steps: _Steps) -> tuple[LineResult, ...]:
    results = []
    for line in system.drive_lines:
        steps.next(f"drive line {line.name}")
        results.append(line_result(line, lookup, system.choices))
    return with_shared_limiters(system, results)
