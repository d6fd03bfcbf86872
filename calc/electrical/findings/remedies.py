"""What would change each finding: the other amplifier, the other cable, how many boxes."""

import math
from collections.abc import Callable

from calc.constants import NOISE_CREST_DB
from calc.electrical.findings.cable import WISHED_LOSS_DB, worst_damping, worst_loss
from calc.electrical.findings.power import WISHED_HIGH, WISHED_LOW
from calc.electrical.line_figures import LineFigures
from calc.electrical.loads import per_channel_ohm
from calc.prediction import Finding
from calc.words import number

ENTER = "Enter what is missing."
VOID = "Any change of amplifier, box, mode, gain or level control makes these figures void."


def remedy(figures: LineFigures, finding: Finding) -> str:
    """One sentence for a finding of a line, whatever its state: what makes it hold, or break."""
    if finding.check == "limiter":
        return f"{ENTER} {VOID}" if finding.value is None else VOID
    if finding.state == "cannot check":
        return ENTER
    words = {
        "load": _load,
        "power": _power,
        "peak": _peak,
        "cable_loss": _cable,
        "damping": _damping,
        "headroom": _headroom,
        "pole_pair": _poles,
    }
    return words[finding.check](figures)


def _poles(figures: LineFigures) -> str:
    return "A cable with at least the pole pair of the way, or the way on another pair."


def _load(figures: LineFigures) -> str:
    least = None if figures.least is None else figures.least.ohm
    if least is None:
        return ENTER
    mode = figures.line.mode
    words = f"Holds from {number(least)} ohm up"
    if mode != "per channel":
        words += f" {mode}, {number(per_channel_ohm(least, mode))} ohm a channel"
    rated = {box.way.rated_impedance_ohm.value for box in figures.boxes}
    series = any(link.series_with_previous for link in figures.line.links)
    if len(rated) == 1 and not series and (ohm := rated.pop()) is not None:
        most = math.floor(ohm / least * (1 + 1e-9))
        words += f": at most {most} of these boxes in parallel" if most else ": none of these boxes"
    return f"{words}."


def _power(figures: LineFigures) -> str:
    total, load = figures.noise_power_w, figures.load.rated_ohm
    if total is None or load is None:
        return ENTER
    return (
        f"Holds with an amplifier of {number(WISHED_LOW * total)} to "
        f"{number(WISHED_HIGH * total)} W into {number(load)} ohm {figures.line.mode}."
    )


def _peak(figures: LineFigures) -> str:
    if figures.rated_v is None:
        return "A smaller amplifier, another mode, or boxes with a higher peak rating."
    crest = number(NOISE_CREST_DB)
    return (
        f"Boxes rated with {crest} dB of crest bear the peaks of a sine of twice their noise "
        "power: a smaller amplifier, another mode, or boxes with a higher peak rating."
    )


def _times(now: float, wished: float) -> str:
    """How the cable's resistance would have to change, as a factor of copper."""
    if now <= 0:
        return "Holds with a longer cable too."
    factor = now / wished
    if factor > 1:
        return (
            f"Holds with about {number(_two_figures(factor, math.ceil))} times the conductor area "
            f"on the way, or {number(_two_figures(1 / factor, math.floor))} of the length."
        )
    return f"Holds up to about {number(_two_figures(1 / factor, math.floor))} times this length."


def _two_figures(value: float, rounded: Callable[[float], int]) -> float:
    """To the safe side: areas up, lengths down."""
    step = float(10.0 ** (math.floor(math.log10(value)) - 1))
    return rounded(value / step) * step


def _cable(figures: LineFigures) -> str:
    loss, _ = worst_loss(figures)
    if loss is None:
        return ENTER
    return _times(10 ** (loss / 20) - 1, 10 ** (WISHED_LOSS_DB / 20) - 1)


def _damping(figures: LineFigures) -> str:
    box, wished = worst_damping(figures)
    if box is None or box.damping is None or box.damping_at_best is None:
        return "A thicker or shorter cable."
    # In shares of the box's impedance: cable and amplifier now, what is wished, the cable alone.
    now, target, cable = 1 / box.damping, 1 / wished, 1 / box.damping_at_best
    amplifier = max(0.0, now - cable)
    if amplifier >= target:
        return (
            f"Not with any cable: this amplifier alone leaves {number(1 / amplifier)}. "
            "Fewer boxes on the line, or an amplifier with a higher damping factor."
        )
    return _times(cable, target - amplifier)


def _headroom(figures: LineFigures) -> str:
    rated, load = figures.rated_v, figures.load.rated_ohm
    loss, _ = worst_loss(figures)
    if rated is None or load is None or loss is None:
        return ENTER
    watts = WISHED_LOW * (rated * 10 ** (loss / 20)) ** 2 / load
    return (
        f"Holds with an amplifier of at least {number(watts)} W into {number(load)} ohm "
        f"{figures.line.mode} behind this cable."
    )
