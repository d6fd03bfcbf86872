"""The spectrum of one seat: a step for each 1/3-octave band, 25 Hz to 20 kHz."""

import math
from collections.abc import Sequence

from rigs.systems.pictures.bands import hertz, nominal_hz
from rigs.systems.pictures.svg import Drawing

WIDTH, HEIGHT = 360.0, 190.0
LEFT, RIGHT, TOP, FOOT = 38.0, 8.0, 12.0, 26.0
STEP_DB = 10
NAMED_HZ = {63: "63", 250: "250", 1000: "1 kHz", 4000: "4 kHz", 16_000: "16 kHz"}
"""Words under some of the bands."""


def spectrum_picture(bands_hz: Sequence[float], level_db: Sequence[float], title: str) -> str:
    """Levels over bands as SVG text. Shows at least 40 dB, from the loudest band down."""
    drawing = Drawing(WIDTH, title, "spectrum")
    top = STEP_DB * math.ceil(max(level_db) / STEP_DB + 1e-9)
    heard = [value for value in level_db if value > 0]
    low = STEP_DB * math.floor(min(heard, default=0) / STEP_DB)
    low = max(min(low, top - 4 * STEP_DB), top - 7 * STEP_DB)
    wide = (WIDTH - LEFT - RIGHT) / len(bands_hz)

    def y(value: float) -> float:
        share = (top - max(value, low)) / (top - low)
        return TOP + share * (HEIGHT - TOP - FOOT)

    for mark in range(low, top + 1, STEP_DB):
        drawing.path([(LEFT, y(mark)), (WIDTH - RIGHT, y(mark))], "rule", 1)
        drawing.text(LEFT - 6, y(mark) + 5, str(mark), anchor="end")
    for number, (hz, value) in enumerate(zip(bands_hz, level_db, strict=True)):
        left = LEFT + number * wide
        corners = [(left + 1, y(low)), (left + 1, y(value)), (left + wide - 1, y(value))]
        drawing.polygon([*corners, (left + wide - 1, y(low))], "bar", "currentColor", 0.35)
        words = NAMED_HZ.get(int(nominal_hz(hz)))
        if words:
            drawing.text(left + wide / 2, HEIGHT - 6, words, anchor="middle")
    return drawing.svg(HEIGHT, _told(bands_hz, level_db))


def _told(bands_hz: Sequence[float], level_db: Sequence[float]) -> str:
    loudest = max(range(len(level_db)), key=lambda n: level_db[n])
    return (
        f"Direct sound in 1/3-octave bands from {hertz(nominal_hz(bands_hz[0]))} to "
        f"{hertz(nominal_hz(bands_hz[-1]))}, dB re 20 uPa. The loudest band is "
        f"{hertz(nominal_hz(bands_hz[loudest]))} with {level_db[loudest]:.0f} dB."
    )
