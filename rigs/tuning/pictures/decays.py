"""How sound dies away: a response over time, and decay times per octave."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calc.signals.measuring.decay import BandDecay
from calc.signals.measuring.outline import Outline
from rigs.systems.pictures.bands import hertz
from rigs.systems.pictures.frequency import HIGH_SHARE, LEFT, NARROW, RIGHT
from rigs.systems.pictures.svg import Drawing

LOW_DB = -80
STEPS_MS = (50, 100, 200, 500, 1000)
STEPS_S = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
OCTAVES_HZ = (63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16_000.0)
FOOT = 46.0
TOP = 34.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """Axes with even steps: from values to the drawing's units."""

    width: float
    across: tuple[float, float]
    up: tuple[float, float]

    @property
    def height(self) -> float:
        """Of the paper."""
        return self.width * (HIGH_SHARE if self.width > NARROW else 0.6)

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return TOP + self.height

    def x(self, value: float) -> float:
        """Where a value lies along the foot."""
        low, high = self.across
        return LEFT + (value - low) / (high - low) * (self.width - LEFT - RIGHT)

    def y(self, value: float) -> float:
        """Where a value lies upwards, held within the paper."""
        low, high = self.up
        return self.bottom - (min(max(value, low), high) - low) / (high - low) * self.height


def response_picture(found: Outline, width: float) -> str:
    """Peaks as a thin line, the energy that is still to come as a thick dashed one, in dB."""
    times = [found.start_ms + n * found.step_ms for n in range(len(found.peak_db))]
    sheet = Sheet(width, (times[0], times[-1]), (LOW_DB, 0))
    drawing = Drawing(width, "Impulse response and what is left of its energy", "curves")
    _legend(drawing)
    _rules(drawing, sheet, [(v, f"{v}") for v in range(LOW_DB, 1, 20)])
    step = _step(times[-1] - times[0], STEPS_MS, width)
    for number in range(int(times[-1] // step) + 1):
        _foot(drawing, sheet, number * step, f"{number * step:g}")
    drawing.text(width - RIGHT, sheet.bottom + 38, "ms after the arrival", anchor="end")
    peaks = [(sheet.x(t), sheet.y(v)) for t, v in zip(times, found.peak_db, strict=True)]
    drawing.path(peaks, "curve", 1)
    energy = [
        (sheet.x(t), sheet.y(v))
        for t, v in zip(times, found.energy_db, strict=True)
        if v is not None and v >= LOW_DB
    ]
    if len(energy) > 1:
        drawing.path(energy, "curve", 2.6, stroke_dasharray="9 4")
    told = f"Peaks and energy over {times[-1]:.0f} ms; the noise lies at {found.noise_db:.0f} dB."
    return drawing.svg(sheet.bottom + FOOT, told)


def _legend(drawing: Drawing) -> None:
    drawing.path([(0, 11), (30, 11)], "curve", 1)
    drawing.text(38, 16, "peaks, dB")
    drawing.path([(130, 11), (164, 11)], "curve", 2.6, stroke_dasharray="9 4")
    drawing.text(172, 16, "energy left, dB")


def decays_picture(found: Sequence[BandDecay], width: float) -> str:
    """Per octave the early decay (ring), T20 (square) and T30 (dot) with its uncertainty."""
    times = [t for band in found for t in (band.edt_s, band.t20_s, band.t30_s) if t is not None]
    top = max(times, default=1.0) * 1.15
    step = next((s for s in STEPS_S if top / s <= 6), STEPS_S[-1])
    sheet = Sheet(width, (-0.5, len(found) - 0.5), (0.0, step * math.ceil(top / step)))
    drawing = Drawing(width, "Decay times by octave", "curves")
    for x, mark, words in ((8, "edt", "early"), (90, "t20", "T20"), (160, "t30", "T30")):
        _mark(drawing, mark, x, 11)
        drawing.text(x + 12, 16, words)
    count = math.ceil(top / step)
    _rules(drawing, sheet, [(n * step, f"{n * step:g} s") for n in range(count + 1)])
    for number, band in enumerate(found):
        _foot(drawing, sheet, number, _short(octave_hz(band.frequency_hz)))
        _octave(drawing, sheet, number, band)
    return drawing.svg(sheet.bottom + 28, _told(found))


def octave_hz(exact_hz: float) -> float:
    """The nominal frequency of an octave's exact middle."""
    return min(OCTAVES_HZ, key=lambda hz: abs(hz / exact_hz - 1))


def _short(hz: float) -> str:
    return f"{hz / 1000:g}k" if hz >= 1000 else f"{hz:g}"


def _octave(drawing: Drawing, sheet: Sheet, number: int, band: BandDecay) -> None:
    x = sheet.x(number)
    shown = {"edt": band.edt_s, "t20": band.t20_s, "t30": band.t30_s}
    if not any(value is not None for value in shown.values()):
        drawing.text(x, sheet.bottom - 8, "?", anchor="middle")
    for shift, (mark, value) in zip((-9, 0, 9), shown.items(), strict=True):
        if value is not None:
            _mark(drawing, mark, x + shift, sheet.y(value))
    longest = next((v for v in (band.t30_s, band.t20_s, band.edt_s) if v is not None), None)
    if longest is not None and band.uncertainty_s is not None:
        shift = 9 if band.t30_s is not None else 0 if band.t20_s is not None else -9
        ends = [longest - band.uncertainty_s, longest + band.uncertainty_s]
        drawing.path([(x + shift, sheet.y(end)) for end in ends], "unsure", 1.5)


def _mark(drawing: Drawing, mark: str, x: float, y: float) -> None:
    if mark == "edt":
        drawing.ring(x, y, 4, "curve")
    elif mark == "t20":
        drawing.rect(x - 3.5, y - 3.5, 7, 7, "curve")
    else:
        drawing.dot(x, y, 4.5, "point")


def _rules(drawing: Drawing, sheet: Sheet, values: Sequence[tuple[float, str]]) -> None:
    for value, words in values:
        y = sheet.y(value)
        drawing.path([(LEFT, y), (sheet.width - RIGHT, y)], "rule", 1)
        drawing.text(LEFT - 6, y + 5, words, anchor="end")


def _foot(drawing: Drawing, sheet: Sheet, value: float, words: str) -> None:
    x = sheet.x(value)
    drawing.path([(x, sheet.bottom), (x, sheet.bottom + 5)], "rule", 1)
    drawing.text(x, sheet.bottom + 20, words, anchor="middle")


def _step(span: float, steps: Sequence[float], width: float) -> float:
    most = 8 if width > NARROW else 4
    return next((step for step in steps if span / step <= most), steps[-1])


def _told(found: Sequence[BandDecay]) -> str:
    said = []
    for band in found:
        time = band.t30_s or band.t20_s or band.edt_s
        words = "unknown" if time is None else f"{time:.2f} s"
        said.append(f"{hertz(octave_hz(band.frequency_hz))} {words}")
    return f"Decay times: {', '.join(said)}."
