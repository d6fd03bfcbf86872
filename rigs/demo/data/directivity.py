"""Polars and responses on the axis, worked out from shapes. The boxes are invented.

A horn holds its angle down to where its mouth is too small and widens below: off the axis it
loses 6 dB at half its angle, along a curve that flattens towards the back. Above that, a box
shades what lies behind it more, the higher the frequency. A response is a flat pass band with the
slopes of a vented box below and of a driver above, and a few soft humps.
"""

import math
from dataclasses import dataclass

from rigs.catalogue.axis import Response
from rigs.catalogue.directivity import Plane, Polars

THIRDS = tuple(
    float(hz)
    for hz in (
        63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500,
        3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000,
    )
)  # fmt: skip
SPEED = 343.0


@dataclass(frozen=True)
class Mouth:
    """One plane of a horn or a column: its nominal angle and the size that holds it."""

    angle_deg: float
    size_m: float
    behind_db: float  # the most that it loses behind, at high frequencies

    def level_db(self, hz: float, off_deg: float) -> float:
        """Level re the axis. -6 dB at half the covered angle, never below what shading gives."""
        widens = 1.2 * math.degrees(SPEED / (self.size_m * hz))
        half = max(self.angle_deg, widens) / 2
        shade = self.behind_db * hz / (hz + SPEED / self.size_m)
        lost = 6 * (off_deg / half) ** 2
        return -shade * lost / (shade + lost)


def polars(across: Mouth, up: Mouth, step_deg: int, lean_deg: float = 0.0) -> Polars:
    """Both planes; with `lean_deg` the vertical one is aimed down by it and goes all round."""
    angles = tuple(float(a) for a in range(0, 181, step_deg))
    vertical = angles
    if lean_deg:
        vertical = tuple(float(a) for a in range(-180 + step_deg, 181, step_deg))
    return Polars(
        THIRDS,
        Plane(angles, tuple(tuple(_level(across, hz, a) for hz in THIRDS) for a in angles)),
        Plane(
            vertical,
            tuple(tuple(_level(up, hz, a, lean_deg) for hz in THIRDS) for a in vertical),
        ),
    )


def _level(mouth: Mouth, hz: float, angle: float, lean_deg: float = 0.0) -> float:
    off = abs((angle + lean_deg + 180) % 360 - 180)
    return round(mouth.level_db(hz, off) - mouth.level_db(hz, lean_deg), 1)


@dataclass(frozen=True)
class Soft:
    """A soft hump or dip of a response."""

    hz: float
    db: float
    octaves: float

    def at(self, hz: float) -> float:
        return self.db * math.exp(-((math.log2(hz / self.hz) / self.octaves) ** 2))


def response(
    level_db: float, low_hz: float, high_hz: float, humps: tuple[Soft, ...] = ()
) -> Response:
    """Six points an octave from an octave below the pass band to half an octave above."""
    count = round(6 * math.log2(high_hz * 1.4 / (low_hz / 2)))
    hz = [float(f"{low_hz / 2 * 2 ** (n / 6):.4g}") for n in range(count + 1)]
    return Response(
        tuple(hz), tuple(round(level_db + _slopes(f, low_hz, high_hz, humps), 1) for f in hz)
    )


def _slopes(hz: float, low_hz: float, high_hz: float, humps: tuple[Soft, ...]) -> float:
    below = -10 * math.log10(1 + (low_hz / hz) ** 8)  # 24 dB an octave, as vented boxes do
    above = -10 * math.log10(1 + (hz / high_hz) ** 6)
    return below + above + sum(hump.at(hz) for hump in humps)


WHIMBREL_12 = polars(Mouth(75, 0.30, 26), Mouth(50, 0.34, 26), 10)
GODWIT_15_HF = polars(Mouth(60, 0.40, 32), Mouth(40, 0.28, 32), 5, lean_deg=5)
HAAR_8 = polars(Mouth(120, 0.10, 20), Mouth(25, 0.95, 28), 10)

WHIMBREL_12_AXIS = response(97, 58, 18000, (Soft(110, 1.5, 0.5), Soft(1900, -2.5, 0.6)))
GODWIT_15_LF_AXIS = response(97, 48, 7000, (Soft(130, 1, 0.6),))
GODWIT_15_HF_AXIS = response(108, 450, 18000, (Soft(1500, 2, 0.8), Soft(12000, -3, 0.7)))
BITTERN_15_AXIS = response(96, 42, 400)
WHIMBREL_10_AXIS = response(95, 65, 18000, (Soft(140, 1, 0.5),))
BITTERN_18_AXIS = response(98, 35, 400, (Soft(62, 1, 0.6),))
