"""Can the amplifier's peaks harm the boxes, and does it reach the programme's peaks?"""

import math

from calc.electrical.amplifiers import peak_bounds
from calc.electrical.findings.missing import missing_sentence
from calc.electrical.limiters import lowest_volts, rated_volts, stated_peak_volts
from calc.electrical.line_figures import LineFigures
from calc.prediction import Finding, State
from calc.words import level, number

MOST_DB = 20 * math.log10(2)
"""dB. Twice the peak rating's volts: no limiter should have to hold back that much."""

SAME = 1e-9
PEAK_SOURCE = "peak rating of the weakest box; 6 dB above it: common practice, no source"


def peak_margin_db(figures: LineFigures) -> float | None:
    """20 lg (highest peak volts of the amplifier / peak rating of the weakest box)."""
    peak, rating = _highest(figures), _rating(figures)
    return None if peak is None or rating is None else 20 * math.log10(peak / rating)


def crest_headroom_db(figures: LineFigures) -> float | None:
    """The amplifier's peak volts over the peaks that a programme needs at the boxes' rating.

    The programme has the rated rms volts and the event's crest factor at the box that is worst
    off, its cable included. None if one figure is unknown.
    """
    low, _ = _bounds(figures)
    if low is None or not figures.boxes:
        return None
    found = []
    for box in figures.boxes:
        rated = rated_volts(box.way)
        if rated is None or box.share is None:
            return None
        found.append(20 * math.log10(low * box.share / rated))
    return min(found) - figures.choices.crest_factor_db


def peak_finding(figures: LineFigures) -> Finding:
    """The highest peak that the amplifier can give against the boxes' peak rating."""
    margin = peak_margin_db(figures)
    if margin is None:
        state: State = "cannot check"
        sentence = missing_sentence(figures, ratings=True, volts=True)
    else:
        state, sentence = _judged(margin)
    return Finding(
        subject=figures.line.name,
        check="peak",
        title="Amplifier's peaks",
        state=state,
        value=margin,
        limit=MOST_DB if state == "fails" else 0.0,
        unit="dB",
        limit_source=PEAK_SOURCE,
        sentence=f"Line {figures.line.name}: {sentence}",
        working=tuple(_working(figures)),
        assumed=figures.bounds.assumed + tuple(_assumed(figures)),
    )


def _judged(margin: float) -> tuple[State, str]:
    if margin > MOST_DB + SAME:
        return (
            "fails",
            f"the amplifier's peaks lie {level(margin)} above what a box bears at all. Use a "
            "smaller amplifier.",
        )
    if margin > SAME:
        return (
            "tight",
            f"the amplifier's peaks lie {level(margin)} above the boxes' peak rating: only the "
            "peak limiter stands between them. Set it before the first signal.",
        )
    return "holds", "the amplifier's highest peaks stay within the boxes' peak rating."


def _bounds(figures: LineFigures) -> tuple[float | None, float | None]:
    if figures.sheet is None:
        return None, None
    return peak_bounds(figures.sheet, figures.line.mode, figures.bounds)


def _highest(figures: LineFigures) -> float | None:
    return _bounds(figures)[1]


def _rating(figures: LineFigures) -> float | None:
    return lowest_volts([box.at_amplifier(stated_peak_volts(box.way)) for box in figures.boxes])


def _assumed(figures: LineFigures) -> list[str]:
    return [
        f"{box.name}: its peak power is unknown: taken as four times its noise power, 6 dB "
        "(IEC 60268-5)."
        for box in figures.boxes
        if box.way.peak_power_w.value is None and box.way.noise_power_w.value is not None
    ]


def _working(figures: LineFigures) -> list[str]:
    steps = [figures.bounds.working] if figures.bounds.working else []
    peak, rating, margin = _highest(figures), _rating(figures), peak_margin_db(figures)
    if peak is not None and figures.sheet is not None:
        stated = figures.sheet.peak_v.value is not None
        how = "stated on its sheet" if stated else "1.414 times its sine"
        steps.append(f"Amplifier's highest peak: {number(peak, 4)} V, {how}.")
    for box in figures.boxes:
        volts = stated_peak_volts(box.way)
        if volts is not None:
            steps.append(f"{box.name}: peak rating {number(volts, 4)} V = sqrt(P peak x Z).")
    if margin is not None and rating is not None:
        steps.append(
            f"20 lg(V peak / {number(rating, 4)} V at the amplifier's end) = {level(margin)}."
        )
    return steps
