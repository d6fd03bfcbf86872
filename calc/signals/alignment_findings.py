"""Statements about every alignment: does it run together, drift away, or hide behind polarity?"""

from collections.abc import Iterator, Sequence

from calc.lookup import Lookup
from calc.prediction import AlignmentResult, Finding, State
from calc.signals.alignment import verb
from calc.signals.delays import Ways
from calc.signals.outputs import played_by
from calc.system import Alignment, SystemDescription
from calc.words import joined, level, number

WISHED_DEG, MOST_DEG = 60.0, 90.0
"""Degrees between the sides: up to 60 the sum keeps 4.8 dB of its 6, up to 90 still 3. CP."""

WISHED_OFF_MS, MOST_OFF_MS = 1.0, 5.0
"""ms that a fill or tower may come off its wished time. CP."""

MOST_DRIFT_MS = 2.0
"""ms between set-up and show. CP."""

SWING_K = 15.0
"""Kelvin between set-up and show that may well be where nobody said. Own choice."""

PHASE_SOURCE = "common practice, no source (within 60 degrees through the overlap)"
TIME_SOURCE = "common practice, no source (within 1 ms of the wished time, never before)"
DRIFT_SOURCE = "common practice, no source (2 ms between set-up and show)"


def alignment_findings(
    system: SystemDescription, lookup: Lookup, results: Sequence[AlignmentResult]
) -> Iterator[Finding]:
    """The findings on all alignments; `results` as `alignment_results` gives them."""
    for part, result in zip(system.alignments, results, strict=True):
        yield _together(part, result)
        yield _drift(system, lookup, part, result)
        if result.kind == "sub to top":
            yield from _inversion(lookup, result)


def _together(part: Alignment, result: AlignmentResult) -> Finding:
    by_phase = result.kind == "sub to top"
    state, sentence = _phase_state(result) if by_phase else _time_state(result, part.offset_ms)
    value = result.worst_phase_deg if by_phase else result.add_ms
    return Finding(
        subject=result.name,
        check="alignment",
        title="Runs together",
        state=state,
        value=None if state == "cannot check" else value,
        limit=WISHED_DEG if by_phase else WISHED_OFF_MS,
        unit="degrees" if by_phase else "ms",
        limit_source=PHASE_SOURCE if by_phase else TIME_SOURCE,
        sentence=f"{result.name}: {sentence}",
        working=tuple(_working(result)),
        assumed=result.unknown,
        remedy="" if state == "holds" else _remedy(result),
    )


def _phase_state(result: AlignmentResult) -> tuple[State, str]:
    worst, best = result.worst_phase_deg, result.best_worst_phase_deg
    if worst is None or best is None:
        return "cannot check", result.sentences[0]
    if result.unknown:
        return "cannot check", " ".join(result.unknown)
    low, high = result.overlap_hz
    where = f"between {number(low)} and {number(high)} Hz at {result.spot}"
    if worst <= WISHED_DEG:
        return "holds", f"the phases run within {number(worst)} degrees {where}."
    parts = f"the phases part by up to {number(worst)} degrees {where}"
    if best >= worst - 1:
        sentence = f"{parts}; no delay does better. Choose other filters for the two sides."
    else:
        gained = _gained(result)
        sentence = f"{parts}. {result.sentences[0]} That leaves {number(best)} degrees{gained}."
    return ("tight" if worst <= MOST_DEG else "fails"), sentence


def _gained(result: AlignmentResult) -> str:
    if result.sum_db is None or result.best_sum_db is None:
        return ""
    more = result.best_sum_db - result.sum_db
    return f" and gives {level(more)} more there" if more >= 0.1 else ""


def _time_state(result: AlignmentResult, offset_ms: float) -> tuple[State, str]:
    moved, reference = result.moved_arrival_ms, result.reference_arrival_ms
    if result.unknown or moved is None or reference is None or result.add_ms is None:
        return "cannot check", " ".join(result.unknown)
    later = moved - reference
    who, main = joined(result.moved), joined(result.reference)
    order = "after" if later >= 0 else "before"
    arrives = f"{who} {verb(result.moved, 'arrive')} {number(abs(later))} ms {order} {main}"
    wished = f"{number(offset_ms)} ms after were wished" if offset_ms else "together was wished"
    off = abs(result.add_ms)
    if off <= WISHED_OFF_MS:
        return "holds", f"{arrives} at {result.spot}; {wished}."
    sentence = f"{arrives} at {result.spot}; {wished}. {result.sentences[0]}"
    return ("tight" if off <= MOST_OFF_MS and later >= 0 else "fails"), sentence


def _working(result: AlignmentResult) -> Iterator[str]:
    if result.moved_arrival_ms is not None and result.reference_arrival_ms is not None:
        basis = "measured responses" if result.measured else "where the boxes stand"
        yield (
            f"First arrivals with delay and latency, from {basis}: "
            f"{joined(result.moved)} {number(result.moved_arrival_ms, 4)} ms, "
            f"{joined(result.reference)} {number(result.reference_arrival_ms, 4)} ms."
        )
    if result.kind == "sub to top" and result.overlap_hz:
        yield (
            "The delay whose phases lie nearest together over all of the overlap (both sides "
            "within 10 dB), every octave counting alike; an inversion only where it is clearly "
            "better."
        )
    yield from result.sentences


def _remedy(result: AlignmentResult) -> str:
    return result.sentences[0] if result.sentences else ""


def _drift(
    system: SystemDescription, lookup: Lookup, part: Alignment, result: AlignmentResult
) -> Finding:
    state, drift, sentence = _drift_state(system, lookup, part, result)
    return Finding(
        subject=result.name,
        check="delay_drift",
        title="Set-up and show temperature",
        state=state,
        value=drift,
        limit=MOST_DRIFT_MS,
        unit="ms",
        limit_source=DRIFT_SOURCE,
        sentence=f"{result.name}: {sentence}",
        working=("Way through the air of the first box on either side, ISO 9613-1 speed.",),
        remedy="" if state == "holds" else "Set the delay anew at the show's temperature.",
    )


def _drift_state(
    system: SystemDescription, lookup: Lookup, part: Alignment, result: AlignmentResult
) -> tuple[State, float | None, str]:
    show = result.show_temperature_c
    if part.set_temperature_c is None:
        swing = abs(_swing_ms(system, lookup, part))
        said = f"{number(SWING_K)} °C between set-up and show move it by {number(swing)} ms"
        if swing <= MOST_DRIFT_MS:
            return "holds", swing, f"even {said}."
        return (
            "cannot check",
            None,
            f"nobody said how warm it is when the delays are set, and {said}. Enter it.",
        )
    drift = result.drift_ms or 0.0
    between = f"from {number(part.set_temperature_c)} °C at set-up to {number(show)} °C at the show"
    who = joined(result.moved)
    how = "later" if drift >= 0 else "earlier"
    comes = verb(result.moved, "come")
    moves = f"{who} {comes} {number(abs(drift))} ms {how} against the rest, {between}"
    if abs(drift) <= MOST_DRIFT_MS:
        return "holds", drift, f"{moves}."
    after = ""
    if part.kind == "fill or tower" and part.offset_ms:
        becomes = part.offset_ms + drift
        after = f": the {number(part.offset_ms)} ms wished become {number(becomes)} ms"
    return "tight", drift, f"{moves}{after}. Set the delay anew for the show."


def _swing_ms(system: SystemDescription, lookup: Lookup, part: Alignment) -> float:
    spot = next(spot for spot in system.spots if spot.name == part.spot)
    show = system.surroundings.temperature_c
    ways = Ways(lookup, spot)
    return max((ways.drift_ms(part, show + k, show) for k in (SWING_K, -SWING_K)), key=abs)


def _inversion(lookup: Lookup, result: AlignmentResult) -> Iterator[Finding]:
    """Only where one whole side is inverted against the other."""
    signs = [
        {played_by(lookup.lines[name], lookup).inverted for name in side}
        for side in (result.moved, result.reference)
    ]
    if len(signs[0]) != 1 or len(signs[1]) != 1 or signs[0] == signs[1]:
        return
    state: State = "holds"
    turned = result.moved if signs[0] == {True} else result.reference
    sentence = f"{joined(turned)}: inverted, as these filters need it."
    if result.worst_phase_deg is None or result.unknown:
        state = "cannot check"
        sentence = " ".join(result.unknown) or result.sentences[0]
    elif result.as_inversion:
        state, sentence = "fails", result.as_inversion
    elif result.worst_phase_deg > WISHED_DEG:
        # The inversion belongs to another delay than the one that is set: it proves nothing yet.
        state = "tight"
        sentence = (
            f"{joined(turned)}: inverted, which suits these filters with another delay only. "
            f"As set the phases part by up to {number(result.worst_phase_deg)} degrees."
        )
    yield Finding(
        subject=result.name,
        check="delay_as_inversion",
        title="Polarity or delay",
        state=state,
        value=None if state == "cannot check" else result.add_ms,
        limit=0.0,
        unit="ms",
        limit_source="phases through the overlap: an inversion meets a delay at one frequency only",
        sentence=f"{result.name}: {sentence}",
        working=tuple(_working(result)),
        assumed=result.unknown,
        remedy="" if state == "holds" else _remedy(result),
    )
