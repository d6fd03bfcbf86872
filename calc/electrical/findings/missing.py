"""Which figure a check lacks, and where to enter it."""

from calc.electrical.cables import NO_CABLE
from calc.electrical.line_figures import BoxFigures, LineFigures


def missing_sentence(
    figures: LineFigures,
    *,
    amplifier: bool = False,
    ratings: bool = False,
    cables: bool = False,
    volts: bool = False,
    gain: bool = False,
    damping: bool = False,
) -> str:
    """The first thing that a check lacks, of those that it needs, and what to do about it.

    Every check needs boxes with rated impedances; the flags name what else it needs.
    """
    if not figures.boxes:
        return "no box hangs on it. Say which boxes it drives."
    if figures.sheet is None and (amplifier or volts or gain or damping):
        return "no amplifier is named. Say which one drives it."
    for box in figures.boxes:
        missing = _missing_at(box, ratings, cables)
        if missing:
            return missing
    if volts and figures.bounds.missing:
        return f"{figures.bounds.missing} is unknown. Enter it on its data sheet."
    if gain and figures.gain.missing:
        return f"{figures.gain.missing} is unknown. Enter it on its data sheet."
    return "the amplifier's damping factor is unknown. Enter it on its data sheet."


def _missing_at(box: BoxFigures, ratings: bool, cables: bool) -> str:
    if box.way.rated_impedance_ohm.value is None:
        return f"the rated impedance of {box.name} is unknown. Enter it on its data sheet."
    if ratings and box.way.noise_power_w.value is None:
        return f"the noise power of {box.name} is unknown. Enter it on its data sheet."
    if cables and box.run.missing == NO_CABLE:
        return f"no cable is named to {box.placement}. Name it in the drive line."
    if cables and box.run.missing:
        return f"{box.run.missing} is unknown, on the way to {box.placement}. Enter it there."
    return ""
