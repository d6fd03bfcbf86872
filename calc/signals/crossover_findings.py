"""Whether neighbouring ways stand in the right polarity, and their corners in the right order."""

from collections.abc import Iterator, Sequence

from calc.lookup import Lookup
from calc.prediction import CrossoverResult, Finding, LineResult, State
from calc.signals.crossovers import grouped
from calc.signals.pair_theory import middle_hz, missing_db, passes_of
from calc.signals.ways import DrivenWay, Pair, pairs_of
from calc.signals.words import filter_words, hz_words
from calc.system import SystemDescription
from calc.words import joined, level, number

POLARITY_SOURCE = "filter theory: the phase between the two passes where both are equally loud"
ORDER_SOURCE = (
    "each way begins where the one below ends; a hole from 3 dB missing: common practice, no source"
)
DEEP_DB = 3.0
"""dB. A dip, or what is missing between two ways, from which somebody must act. CP."""


def crossover_findings(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    results: Sequence[CrossoverResult],
    output: tuple[str, int] | None = None,
) -> Iterator[Finding]:
    """Polarity and order of every pair of ways, boxes set alike told once.

    Parameters
    ----------
    output : (processor place, number), optional
        Only the boxes that this output feeds; `results` are those of the same.
    """
    on_axis = {(one.subject, one.lower): one for one in results if not one.spot}
    before: dict[str, tuple[Pair, float]] = {}
    for alike in grouped(pairs_of(system, lookup, lines, output)):
        pair, also = alike[0], [one.placement.name for one in alike[1:]]
        name = _name(pair, also)
        unsaid = _unsaid(pair)
        if unsaid:
            yield _finding(pair, "crossover_polarity", "cannot check", f"{name}: {unsaid}")
            continue
        yield _polarity(pair, name, on_axis[pair.placement.name, pair.lower.way.name])
        yield _order(pair, name, before.get(pair.placement.name))
        for one in alike:
            before[one.placement.name] = one, middle_hz(one.lower, one.upper)


def _name(pair: Pair, also: Sequence[str]) -> str:
    ways = f"{pair.lower.way.name} and {pair.upper.way.name}"
    rest = f" ({len(also)} more set alike)" if also else ""
    return f"{pair.placement.name}{rest}, {ways}"


def _unsaid(pair: Pair) -> str:
    """Whose output nobody described, as a sentence; "" when all is said."""
    names = [f"{way.line.name}" for way in (pair.lower, pair.upper) if way.played.output is None]
    if not names:
        return ""
    return (
        f"nobody said what the processor does on {joined(names)}. Enter its output's filters, "
        "polarity and delay."
    )


def _polarity(pair: Pair, name: str, found: CrossoverResult) -> Finding:
    state, words = _judged(pair, found)
    working = [
        f"{way.way.name}: {_passes_words(way)}"
        + (", inverted" if way.played.output is not None and way.played.output.inverted else "")
        + "."
        for way in (pair.lower, pair.upper)
    ]
    if found.crossover_hz is not None and found.phase_deg is not None and found.sum_db is not None:
        working.append(
            f"Equally loud at {hz_words(found.crossover_hz)}: {number(found.phase_deg)} degrees "
            f"between them, the sum {level(found.sum_db)} re either."
        )
    return _finding(
        pair,
        "crossover_polarity",
        state,
        f"{name}: {words}",
        value=found.worst_dip_db,
        limit=-DEEP_DB,
        working=(*working, f"Curves: {found.basis}."),
        remedy="Inverting one of the two outputs, or taking an inversion back.",
    )


def _judged(pair: Pair, found: CrossoverResult) -> tuple[State, str]:
    dip = found.worst_dip_db
    deep = dip is not None and dip < -DEEP_DB
    falls = "how deep the sum falls is not known"
    if dip is not None:
        falls = f"the sum falls {_dip(dip)} below the louder way"
    if passes_of(pair.lower, pair.upper) is None:
        return "cannot check", "a low pass below and a high pass above are needed. Enter both."
    if found.crossover_hz is None:
        return "cannot check", "the two are nowhere equally loud. Check their gains and corners."
    if _measured(pair) and found.phase_deg is not None:
        return _by_measurement(found, falls, deep)
    if found.needed_inverted is not None and found.needed_inverted != found.is_inverted:
        what = "inverted against each other" if found.needed_inverted else "in the same polarity"
        return "fails", f"{found.kind} needs the two {what}, and they are not: {falls}. Change one."
    if found.kind == "":
        if deep:
            return "tight", f"the passes are no known pair, and {falls}. Try one inverted."
        return "holds", "the passes are no known pair, but they add up."
    if deep:
        return "tight", f"polarity suits {found.kind}, but {falls}. Look at delays and levels."
    either = "sums alike in both polarities" if found.needed_inverted is None else "is right"
    return "holds", f"polarity for {found.kind} {either}."


def _by_measurement(found: CrossoverResult, falls: str, deep: bool) -> tuple[State, str]:
    """Both phases are stated: the sum itself tells."""
    assert found.phase_deg is not None
    apart = abs(found.phase_deg)
    if apart > 120:
        return "fails", f"with the phases as stated {falls}. Change the polarity of one."
    by_theory = found.needed_inverted in (None, found.is_inverted)
    odd = "" if by_theory else f" (against the rule of {found.kind}: the drivers turn it)"
    if apart > 60 or deep:
        return "tight", f"{number(apart)} degrees lie between the two at the crossover{odd}."
    return "holds", f"the two add up with the phases as stated{odd}."


def _measured(pair: Pair) -> bool:
    """Whether the phases of both ways are stated."""
    axes = [way.way.axis_response for way in (pair.lower, pair.upper)]
    return all(axis is not None and axis.phase_deg for axis in axes)


def _dip(dip: float) -> str:
    return "more than 59 dB" if dip < -59 else level(-dip)


def _passes_words(way: DrivenWay) -> str:
    passes = [part for part in (way.pass_of("high-pass"), way.pass_of("low-pass")) if part]
    return joined(filter_words(part) for part in passes) or "no high or low pass"


def _order(pair: Pair, name: str, below: tuple[Pair, float] | None) -> Finding:
    lower, upper = pair.lower, pair.upper
    middle = middle_hz(lower, upper)
    missing = missing_db(lower, upper)
    state: State = "holds"
    words = f"they meet at {hz_words(middle)}."
    crossed = _backwards(lower) or _backwards(upper)
    low, high = lower.pass_of("low-pass"), upper.pass_of("high-pass")
    if crossed:
        state, words = "fails", crossed
    elif below is not None and below[1] >= middle:
        state = "fails"
        words = (
            f"they meet at {hz_words(middle)}, below the crossover before, "
            f"{hz_words(below[1])}. Put them in rising order."
        )
    elif low is None or high is None:
        lacking = [
            f"{way.way.name} has no {kind}"
            for way, part, kind in ((lower, low, "low-pass"), (upper, high, "high-pass"))
            if part is None
        ]
        state, words = "tight", f"{joined(lacking)}: both play on in the other's band."
    elif missing is not None and missing > DEEP_DB:
        state = "fails"
        words = (
            f"a hole lies between {filter_words(low)} and {filter_words(high)}: "
            f"{level(missing)} are missing at best. Bring the corners together."
        )
    return _finding(
        pair, "crossover_order", state, f"{name}: {words}", value=missing, limit=DEEP_DB,
        remedy="Corners that meet, in rising order from way to way.",
    )  # fmt: skip


def _backwards(way: DrivenWay) -> str:
    """A high pass above the same way's low pass, as a sentence."""
    high, low = way.pass_of("high-pass"), way.pass_of("low-pass")
    if high is None or low is None or high.frequency_hz < low.frequency_hz:
        return ""
    return (
        f"the high pass of {way.way.name} at {hz_words(high.frequency_hz)} lies above its low "
        f"pass at {hz_words(low.frequency_hz)}: next to nothing passes. Exchange them."
    )


def _finding(
    pair: Pair,
    check: str,
    state: State,
    sentence: str,
    value: float | None = None,
    limit: float | None = None,
    working: tuple[str, ...] = (),
    remedy: str = "",
) -> Finding:
    polarity = check == "crossover_polarity"
    return Finding(
        subject=pair.placement.name,
        check=check,
        title="Polarity at the crossover" if polarity else "Order of the crossovers",
        state=state,
        value=value,
        limit=limit,
        unit="dB",
        limit_source=POLARITY_SOURCE if polarity else ORDER_SOURCE,
        sentence=sentence,
        working=working,
        remedy=remedy,
    )
