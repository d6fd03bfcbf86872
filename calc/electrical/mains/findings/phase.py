"""What each phase of a supply carries, and how it could be plugged better."""

from collections.abc import Iterator, Sequence

from calc.constants import CONTINUOUS_SHARE
from calc.electrical.mains.findings.words import ELECTRICIAN, amps
from calc.electrical.mains.plugging import Plugged
from calc.electrical.mains.programme import SHARE_SOURCE, share_words
from calc.prediction import Finding, State, SupplyResult
from calc.system import Supply
from calc.words import joined, number

PHASE_SOURCE = (
    f"the breaker's rating; generator 80 %: common practice, no source; currents: {SHARE_SOURCE}"
)
EVEN_SHARE = 1.2


def phase_finding(
    supply: Supply, result: SupplyResult, plugged: Sequence[Plugged], crest_factor_db: float
) -> Finding:
    """The fullest phase with the event's programme, as plugged or as planned."""
    usable = result.phases[0].usable_a
    state, sentence, remedy = _phase_state(result, usable, plugged)
    value, limit = _deciding(result, usable, state)
    told = dict.fromkeys(text for one in plugged for text in one.assumed)
    return Finding(
        subject=supply.name,
        check="phase",
        title="Current per phase",
        state=state,
        value=value,
        limit=limit,
        unit="A",
        limit_source=PHASE_SOURCE,
        sentence=f"{supply.name}: {sentence}",
        working=(share_words(crest_factor_db), *_phase_working(result, usable)),
        assumed=("Currents are added as if all were in step, which is never too low.", *told),
        remedy=f"{remedy} {ELECTRICIAN}".strip(),
    )


def _deciding(
    result: SupplyResult, usable: float | None, state: State
) -> tuple[float | None, float | None]:
    """The current and the limit that the state rests on."""
    highest = result.highest_a
    if state != "tight" or usable is None or highest is None:
        return highest, usable
    third = [phase.third_power_a for phase in result.phases if phase.third_power_a is not None]
    if highest > CONTINUOUS_SHARE * usable:
        return highest, CONTINUOUS_SHARE * usable
    if third and max(third) > usable:
        return max(third), usable
    return sum(phase.programme_a or 0.0 for phase in result.phases), CONTINUOUS_SHARE * usable


def _phase_state(
    result: SupplyResult, usable: float | None, plugged: Sequence[Plugged]
) -> tuple[State, str, str]:
    plan = _plan_words(result)
    overloaded = _overloaded(result, usable, plugged)
    if overloaded:
        return "fails", overloaded, _better(result, usable, plan)
    unknown = [one.name for one in plugged if one.programme_a is None]
    if usable is None:
        return "cannot check", "its current is unknown. Ask for it before plugging in.", ""
    if unknown or result.highest_a is None:
        return (
            "cannot check",
            f"the mains current of {joined(unknown)} is unknown. Enter it on the data sheet.",
            "",
        )
    highest = f"{number(result.highest_a)} A of {number(usable)} A on the fullest phase"
    third = [p.third_power_a for p in result.phases if p.third_power_a is not None]
    open_racks = [one.name for one in plugged if one.given is None]
    whole = sum(phase.programme_a or 0.0 for phase in result.phases)
    if open_racks and whole > CONTINUOUS_SHARE * usable:
        return (
            "tight",
            f"not plugged yet: {joined(open_racks)}. Plug them as planned, {plan}: {highest}.",
            "Plug as planned and say so here.",
        )
    if third and max(third) > usable:
        return (
            "tight",
            f"{highest}, but a dense programme (1/3 power) draws {number(max(third))} A there.",
            _better(result, usable, plan),
        )
    if result.highest_a > CONTINUOUS_SHARE * usable:
        return (
            "tight",
            f"{highest}: more than 80 %, so that little is left for peaks and other loads.",
            _better(result, usable, plan),
        )
    return "holds", f"{highest}.", _better(result, usable, plan)


def _overloaded(result: SupplyResult, usable: float | None, plugged: Sequence[Plugged]) -> str:
    """The sentence about phases whose known currents alone are too much; else ""."""
    if usable is None:
        return ""
    over = []
    for phase in result.phases:
        known = sum(one.programme_a or 0.0 for one in plugged if one.phase == phase.phase)
        if known > usable * (1 + 1e-9):
            over.append(f"phase {phase.phase} carries {number(known)} A")
    return f"{joined(over)}, {number(usable)} A is the most." if over else ""


def _better(result: SupplyResult, usable: float | None, plan: str) -> str:
    best, now = result.best_highest_a, result.highest_a
    if best is None or now is None or now <= best * EVEN_SHARE:
        if usable is not None and now is not None and now > usable:
            return "Bring another supply or fewer amplifiers: no plugging is better."
        return ""
    words = f"Plug {plan}: then the fullest phase carries {number(best)} A"
    if usable is not None and best > usable:
        return f"{words}, still too much. Bring another supply or fewer amplifiers."
    return words + "."


def _plan_words(result: SupplyResult) -> str:
    phases: dict[int, list[str]] = {}
    for planned in result.best_plan:
        phases.setdefault(planned.phase, []).append(planned.rack)
    return "; ".join(f"phase {phase}: {joined(phases[phase])}" for phase in sorted(phases))


def _phase_working(result: SupplyResult, usable: float | None) -> Iterator[str]:
    for phase in result.phases:
        currents = [
            f"{what} {amps(a)}"
            for what, a in (
                ("idle", phase.idle_a),
                ("1/8 power", phase.eighth_power_a),
                ("1/3 power", phase.third_power_a),
                ("with the programme", phase.programme_a),
            )
        ]
        racks = joined(phase.racks) or "nothing"
        yield f"Phase {phase.phase}: {racks}: {', '.join(currents)}."
    if usable is not None:
        yield f"Usable all the time: {number(usable)} A a phase."
    if result.best_highest_a is not None and len(result.phases) > 1:
        how = "the best of all plans" if result.exact else "found by a rule of thumb"
        yield (
            f"Best plugging ({how}): {_plan_words(result)}; fullest phase "
            f"{number(result.best_highest_a)} A."
        )
    if result.neutral_a is not None and result.neutral_rectifier_a is not None:
        yield (
            f"Neutral: {number(result.neutral_a)} A by the vector sum; up to "
            f"{number(result.neutral_rectifier_a)} A where amplifiers draw short pulses, whose "
            "third harmonics add up in the neutral instead of cancelling."
        )
