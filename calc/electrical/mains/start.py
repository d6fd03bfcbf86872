"""The order of switching on, so that no two inrush currents ever add up."""

from collections.abc import Iterable, Mapping

from calc.prediction import AmplifierDraw
from calc.system import SystemDescription
from calc.words import number

PAUSE_S = 5
"""s. Long enough for an inrush to be over. Common practice, no source."""


def by_inrush(draws: Iterable[AmplifierDraw]) -> list[AmplifierDraw]:
    """Amplifiers in the order of switching on: the largest inrush first, unknown is the largest."""
    return sorted(draws, key=lambda d: -(float("inf") if d.inrush_a is None else d.inrush_a))


def start_order(
    system: SystemDescription,
    amplifier_draws: Iterable[AmplifierDraw],
    phases: Mapping[str, int] | None = None,
) -> list[str]:
    """Switching order as steps in words: processors, then amplifiers one by one.

    The largest inrush comes first among the amplifiers, while nothing else loads the supply
    yet; an unknown inrush is taken as the largest. Switching off goes backwards, so that the
    amplifiers are dead before anything ahead of them thumps.

    Parameters
    ----------
    phases : mapping, optional
        Phase (from 1) by amplifier place, said along with each step.
    """
    steps = [f"Processor {place.name}, its outputs muted" for place in system.processor_places]
    for draw in by_inrush(amplifier_draws):
        inrush = "unknown" if draw.inrush_a is None else f"{number(draw.inrush_a)} A"
        phase = None if phases is None else phases.get(draw.place)
        where = [draw.rack] if draw.rack else []
        where += [] if phase is None else [f"phase {phase}"]
        rack = f" ({', '.join(where)})" if where else ""
        steps.append(f"Amplifier {draw.place}{rack}: inrush {inrush}, then wait {PAUSE_S} s")
    if steps:
        steps.append("Switch off in the reverse order: amplifiers first, processors last")
    return steps
