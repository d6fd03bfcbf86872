"""Does the cable reach the pole pair that the way hangs on?"""

from collections.abc import Sequence

from calc.electrical.line_figures import BoxFigures, LineFigures
from calc.prediction import Finding, State
from calc.system import CableSheet
from calc.words import number

POLE_SOURCE = "pole pair of the way and pole pairs of the cable, by their data sheets"


def pole_pair_finding(figures: LineFigures) -> Finding:
    """Every cable has at least as many pole pairs as the pair that its box's way hangs on."""
    short = [box for box in figures.boxes if box.cable is not None and _lacks(box, box.cable)]
    unnamed = [box for box in figures.boxes if box.cable is None and box.way.pole_pair > 1]
    box = next(iter(short or unnamed or figures.boxes), None)
    state, sentence = _judged(figures, box, bool(short), bool(unnamed))
    cable = None if box is None else box.cable
    return Finding(
        subject=figures.line.name,
        check="pole_pair",
        title="Pole pairs of the cable",
        state=state,
        value=None if cable is None else float(cable.pole_pairs),
        limit=None if box is None else float(box.way.pole_pair),
        unit="pole pairs",
        limit_source=POLE_SOURCE,
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(_working(figures.boxes)),
    )


def fitting_cable(figures: LineFigures, box: BoxFigures) -> CableSheet | None:
    """The shortest cable of the description that has the pole pair and is long enough."""
    reach = box.run.length_m or 0.0
    known = [
        (cable.length_m.value, cable.name, cable)
        for cable in figures.cables
        if not _lacks(box, cable) and cable.length_m.value is not None
    ]
    fitting = [one for one in known if one[0] >= reach]
    return min(fitting)[2] if fitting else None


def advice(figures: LineFigures, box: BoxFigures) -> str:
    """Which cable to take."""
    fitting, pair = fitting_cable(figures, box), box.way.pole_pair
    if fitting is not None:
        return f"Take '{fitting.name}', which has {number(fitting.pole_pairs)} pole pairs."
    return f"Take a cable with at least {number(pair)} pole pairs ({2 * pair} poles)."


def _lacks(box: BoxFigures, cable: CableSheet) -> bool:
    return cable.pole_pairs < box.way.pole_pair


def _judged(
    figures: LineFigures, box: BoxFigures | None, short: bool, unnamed: bool
) -> tuple[State, str]:
    if box is None:
        return "cannot check", "no box hangs on it. Say which boxes it drives."
    hangs = f"{box.name} hangs on pole pair {box.way.pole_pair}"
    if short and box.cable is not None:
        return "fails", (
            f"{hangs}, but cable '{box.cable.name}' has only {_pairs(box.cable.pole_pairs)}: no "
            f"signal arrives. {advice(figures, box)}"
        )
    if unnamed:
        return "cannot check", (
            f"{hangs}, and no cable is named to it. Name one with at least {box.way.pole_pair} "
            "pole pairs."
        )
    return "holds", "every cable carries the pole pair that its way hangs on."


def _pairs(count: int) -> str:
    return f"{count} pole pair" + ("" if count == 1 else "s")


def _working(boxes: Sequence[BoxFigures]) -> list[str]:
    return [
        f"{box.name}: pole pair {box.way.pole_pair}, "
        + ("no cable named." if box.cable is None else f"cable of {_pairs(box.cable.pole_pairs)}.")
        for box in boxes
    ]
