"""Does the amplifier bear the load?"""

from calc.constants import MINIMUM_IMPEDANCE_SHARE
from calc.electrical.findings.missing import missing_sentence
from calc.electrical.impedance import lowest_of
from calc.electrical.line_figures import BoxFigures, LineFigures
from calc.electrical.loads import LeastLoad, LineLoad, channels_of, per_channel_ohm
from calc.figure import Figure
from calc.prediction import Finding, State
from calc.words import number

# Data sheets print loads with two or three figures: 2.67 stands for three 8 ohm boxes.
PRINTED_SHARE = 0.995


def load_finding(figures: LineFigures) -> Finding:
    """Load against the least that the amplifier accepts.

    A minimum stated as a rated load is compared with the rated load, and a true minimum below
    0.8 of it is tight; a minimum stated as a true impedance with the true minimum.
    """
    least = figures.least
    state, sentence = _judged(figures)
    limit = None if least is None else least.ohm
    by_true = least is not None and least.kind == "true"
    return Finding(
        subject=figures.line.name,
        check="load",
        title="Load on the amplifier",
        state=state,
        value=figures.load.minimum_ohm if by_true else figures.load.rated_ohm,
        limit=limit,
        unit="ohm",
        limit_source="amplifier data sheet" if least is None else least.source,
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(_working(figures)),
        assumed=figures.load.assumed + (() if least is None else least.assumed),
    )


def _judged(figures: LineFigures) -> tuple[State, str]:
    load, least = figures.load, figures.least
    if least is None or load.rated_ohm is None or load.minimum_ohm is None:
        return "cannot check", missing_sentence(figures, amplifier=True)
    if least.ohm is None:
        return (
            "cannot check",
            f"the {figures.line.mode} minimum load of this amplifier is unknown. "
            "Enter it on its data sheet before switching on.",
        )
    return _compared(figures, load.rated_ohm, load.minimum_ohm, least, least.ohm)


def _compared(
    figures: LineFigures, rated: float, true: float, least: LeastLoad, limit: float
) -> tuple[State, str]:
    by_true = least.kind == "true"
    if (true if by_true else rated) < limit * PRINTED_SHARE:
        return "fails", _too_low(figures, true if by_true else rated, limit)
    if not least.mode_stated:
        return (
            "cannot check",
            f"this amplifier's data sheet does not say that it can run {figures.line.mode}. "
            "Find out before switching on.",
        )
    seen = _seen(figures, true if by_true else rated) + (" at the lowest" if by_true else "")
    if not by_true and true < MINIMUM_IMPEDANCE_SHARE * limit * PRINTED_SHARE:
        return (
            "tight",
            f"{seen} is allowed, but the boxes dip to {number(true)} ohm, below 0.8 of the "
            f"{number(limit)} ohm minimum: the amplifier's current limit decides. "
            "Take one box off, or watch its protection lamps.",
        )
    return "holds", f"{seen}, this amplifier needs {_needs(figures, limit)}."


def _seen(figures: LineFigures, ohm: float) -> str:
    mode = figures.line.mode
    if mode == "per channel":
        return f"{number(ohm)} ohm on the channel"
    channel = number(per_channel_ohm(ohm, mode))
    return f"{number(ohm)} ohm {mode}, so that each channel sees {channel} ohm"


def _needs(figures: LineFigures, limit: float) -> str:
    mode = figures.line.mode
    return f"{number(limit)} ohm" + ("" if mode == "per channel" else f" {mode}")


def _too_low(figures: LineFigures, ohm: float, limit: float) -> str:
    mode = figures.line.mode
    channel, needed = per_channel_ohm(ohm, mode), per_channel_ohm(limit, mode)
    advice = "Drive fewer boxes per channel"
    if mode == "bridged":
        advice += " or run it unbridged"
    return (
        f"{number(channel)} ohm a channel, this amplifier needs {number(needed)}"
        f"{'' if mode == 'per channel' else f' ({number(limit)} ohm {mode})'}. {advice}."
    )


def _working(figures: LineFigures) -> list[str]:
    steps = [
        f"{box.name}: {_figure('rated impedance', box.way.rated_impedance_ohm)}, "
        f"{_figure('minimum impedance', box.way.minimum_impedance_ohm)}{_curve(box)}."
        for box in figures.boxes
    ]
    load, mode = figures.load, figures.line.mode
    if load.rated_ohm is not None and load.minimum_ohm is not None:
        steps.append(
            f"{_how(figures)}, no cable: rated {number(load.rated_ohm)} ohm, "
            f"minimum {number(load.minimum_ohm)} ohm{_where(load)}, by {load.basis}."
        )
        if channels_of(mode) == 2:
            how = "half of" if mode == "bridged" else "double"
            steps.append(
                f"{mode.capitalize()}: each channel sees {how} the line: "
                f"{number(per_channel_ohm(load.rated_ohm, mode))} ohm rated, "
                f"{number(per_channel_ohm(load.minimum_ohm, mode))} ohm minimum."
            )
    if figures.least is not None and figures.least.ohm is not None:
        reading = {
            "rated": "read as a rated load; the true impedance may dip to 0.8 of it",
            "true": "stated as a true impedance",
        }[figures.least.kind]
        steps.append(
            f"Least load {mode}: {number(figures.least.ohm)} ohm, {reading} "
            f"({figures.least.source})."
        )
    return steps


def _curve(box: BoxFigures) -> str:
    if box.way.impedance_curve is None:
        return ""
    lowest = lowest_of(box.way)
    if lowest.ohm is None:
        return ""
    return f", by its impedance curve {number(lowest.ohm)} ohm{_at(lowest.at_hz)}"


def _how(figures: LineFigures) -> str:
    if any(link.series_with_previous for link in figures.line.links):
        return "Series boxes added, then parallel impedance 1 / sum(1/Z)"
    return "Parallel impedance 1 / sum(1/Z)"


def _where(load: LineLoad) -> str:
    return _at(load.minimum_hz)


def _at(frequency_hz: float | None) -> str:
    return "" if frequency_hz is None else f" at {number(frequency_hz)} Hz"


def _figure(name: str, figure: Figure) -> str:
    if figure.value is None:
        return f"{name} not stated"
    return f"{name} {number(figure.value)} ohm ({figure.basis})"
