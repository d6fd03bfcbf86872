"""Levels and the transfer function of one recording over frequency."""

import math
from collections.abc import Sequence

from calc.signals.measuring.levels import BandLevels
from calc.signals.measuring.transfer import BandedTransfer
from rigs.systems.pictures.bands import hertz, nominal_hz
from rigs.systems.pictures.frequency import (
    Curve,
    Paper,
    begun,
    draw,
    draw_turning,
    ends_of,
    grid,
    reach,
)
from rigs.systems.pictures.svg import Drawing

HALF_BAND = 10**0.05
ROOM_BELOW = 28.0
BELIEVED, DOUBTFUL = "believed", "not to be believed"
SHORT = 1.0
"""dB. Uncertainties from here on are drawn."""


def levels_picture(found: BandLevels, width: float) -> str:
    """A step for each third octave, with a bar for its uncertainty; "?" where unknown."""
    known = [value for value in found.level_db if value is not None]
    low, high = reach([known], 60.0)
    drawing = Drawing(width, "Levels in one-third octaves", "curves")
    ends = (found.frequency_hz[0] / HALF_BAND, found.frequency_hz[-1] * HALF_BAND)
    paper = Paper(width, *ends, low, high)
    grid(drawing, paper, 10, found.unit)
    for hz, value, unsure in zip(
        found.frequency_hz, found.level_db, found.uncertainty_db, strict=True
    ):
        left, right = paper.x(hz / HALF_BAND) + 1, paper.x(hz * HALF_BAND) - 1
        if value is None:
            drawing.text((left + right) / 2, paper.bottom - 6, "?", anchor="middle")
            continue
        top, foot = paper.y(value), paper.bottom
        corners = [(left, foot), (left, top), (right, top), (right, foot)]
        drawing.polygon(corners, "step", "currentColor", 0.12)
        if unsure is not None and unsure >= SHORT:
            middle = (left + right) / 2
            ends_y = [(middle, paper.y(value - unsure)), (middle, paper.y(value + unsure))]
            drawing.path(ends_y, "unsure", 1.5)
    return drawing.svg(paper.bottom + ROOM_BELOW, _levels_told(found))


def transfer_picture(found: BandedTransfer, width: float) -> str:
    """The level between what was played and what was heard."""
    curves = _split(found, found.level_db)
    levels = [curve.values for curve in curves]
    drawing, paper = begun(
        "Level of the transfer function", "curves", width, curves,
        ends_of(found.frequency_hz), reach(levels, 50.0),
    )  # fmt: skip
    grid(drawing, paper, 10, "level, dB")
    draw(drawing, paper, found.frequency_hz, curves)
    return drawing.svg(paper.bottom + ROOM_BELOW, _believed_told(found))


def phase_picture(found: BandedTransfer, width: float) -> str:
    """Its phase, the delay taken out."""
    curves = _split(found, found.phase_deg)
    drawing, paper = begun(
        "Phase of the transfer function, its delay taken out", "curves", width, curves,
        ends_of(found.frequency_hz), (-180, 180),
    )  # fmt: skip
    grid(drawing, paper, 45, "phase, degrees", 2)
    draw_turning(drawing, paper, found.frequency_hz, curves)
    return drawing.svg(paper.bottom + ROOM_BELOW, _believed_told(found))


def coherence_picture(found: BandedTransfer, width: float) -> str:
    """How far what was heard follows what was played, 0 to 1."""
    curve = Curve("coherence", found.coherence)
    drawing, paper = begun(
        "Coherence", "curves", width, [curve], ends_of(found.frequency_hz), (0, 1)
    )
    grid(drawing, paper, 0.25, "coherence", 2)
    draw(drawing, paper, found.frequency_hz, [curve])
    return drawing.svg(paper.bottom + ROOM_BELOW, _believed_told(found))


def _split(found: BandedTransfer, values: Sequence[float | None]) -> list[Curve]:
    """A full line where it is believed, dots elsewhere; both meet."""
    whole = [math.nan if value is None else value for value in values]
    usable = [ok and math.isfinite(v) for ok, v in zip(found.usable, whole, strict=True)]
    firm = [v if ok else math.nan for v, ok in zip(whole, usable, strict=True)]
    last = len(whole) - 1
    loose = [
        v if not (usable[max(n - 1, 0)] and usable[n] and usable[min(n + 1, last)]) else math.nan
        for n, v in enumerate(whole)
    ]
    curves = [Curve(BELIEVED, firm, 0, 2.2), Curve(DOUBTFUL, loose, 2, 1.4)]
    return curves if any(map(math.isfinite, loose)) else curves[:1]


def _levels_told(found: BandLevels) -> str:
    said = ", ".join(
        f"{hertz(nominal_hz(hz))} {'unknown' if value is None else f'{value:.0f} dB'}"
        for hz, value in zip(found.frequency_hz, found.level_db, strict=True)
    )
    return f"{found.unit} by band: {said}."


def _believed_told(found: BandedTransfer) -> str:
    share = sum(found.usable) / len(found.usable)
    return (
        f"From {hertz(round(found.frequency_hz[0]))} to {hertz(round(found.frequency_hz[-1]))}; "
        f"{share:.0%} of the places can be believed."
    )
