"""The drawing of an impedance curve: pure SVG, no style attributes, readable by a screen reader."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from django.utils.safestring import SafeString, mark_safe

from rigs.catalogue.impedance import Curve

LEFT, RIGHT, TOP = 44.0, 84.0, 24.0  # names of the levels stand at the right
OHM_HEIGHT, PHASE_HEIGHT, BETWEEN, FOOT = 220.0, 96.0, 28.0, 40.0
LABEL_ROOM = 44.0  # px between two labels of the frequency axis
STEPS = (1, 2, 5)


@dataclass(frozen=True, slots=True)
class Level:
    """A horizontal line to compare the curve with: a short name, what it is, and its ohm."""

    name: str
    words: str
    ohm: float


@dataclass(frozen=True, slots=True)
class Axis:
    """A logarithmic axis between two values, from one place of the drawing to another."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        share = math.log(value / self.low) / math.log(self.high / self.low)
        return self.start + share * (self.end - self.start)


def impedance_picture(
    title: str,
    curve: Curve,
    levels: Sequence[Level] = (),
    band: tuple[float | None, float | None] = (None, None),
    width: float = 640,
) -> SafeString:
    """|Z| over frequency with its minimum marked, both axes logarithmic; phase below, if known.

    `levels` are drawn across (rated and minimum impedance), `band` (Hz) marks where the way
    plays: the minimum is that of the band.
    """
    least = curve.minimum(*band)
    ohms = [*curve.magnitude_ohm, *(level.ohm for level in levels)]
    across = Axis(curve.frequency_hz[0], curve.frequency_hz[-1], LEFT, width - RIGHT)
    up = Axis(min(ohms) / 1.25, max(ohms) * 1.25, TOP + OHM_HEIGHT, TOP)
    foot = TOP + OHM_HEIGHT + (BETWEEN + PHASE_HEIGHT if curve.phase_deg else 0)
    parts = [
        f'<svg class="impedance" role="img" viewBox="0 0 {width:.0f} {foot + FOOT:.0f}" '
        'xmlns="http://www.w3.org/2000/svg" font-size="14">',
        f"<title>{escape(title)}</title><desc>{escape(_describe(curve, levels, least))}</desc>",
        *_frequency_axis(across, foot),
        *_ohm_axis(up, width),
        *_band(across, band, foot),
        *_levels(up, levels, width),
        _line("curve", [(across.at(hz), up.at(ohm)) for hz, ohm, _ in curve.points()], 2),
        *(_phase(across, curve, width, foot) if curve.phase_deg else ()),
        *_least(across, up, least, width),
        "</svg>",
    ]
    return mark_safe("".join(parts))


def _frequency_axis(across: Axis, foot: float) -> Iterator[str]:
    last = -math.inf
    for hz in _ticks(across):
        x = across.at(hz)
        yield _line("grid", [(x, TOP), (x, foot)])
        words = f"{hz / 1000:g}k" if hz >= 1000 else f"{hz:g}"
        if x - last >= LABEL_ROOM:
            yield _text(x, foot + 18, words, "middle", "tick")
            last = x
    yield _text(across.end, foot + 35, "frequency in Hz", "end", "tick")


def _ticks(across: Axis) -> list[float]:
    """1, 2, 5, 10 ... within the axis; its ends where none or one lies within."""
    decades = range(math.floor(math.log10(across.low)), math.ceil(math.log10(across.high)) + 1)
    ticks = [
        step * 10.0**decade
        for decade in decades
        for step in STEPS
        if across.low <= step * 10.0**decade <= across.high
    ]
    return ticks if len(ticks) > 1 else [across.low, across.high]


def _ohm_axis(up: Axis, width: float) -> Iterator[str]:
    yield _text(4, TOP - 10, "ohm", "start", "tick")
    for power in range(math.ceil(math.log2(up.low)), math.floor(math.log2(up.high)) + 1):
        y = up.at(2.0**power)
        yield _line("grid", [(LEFT, y), (width - RIGHT, y)])
        yield _text(LEFT - 6, y + 5, f"{2.0**power:g}", "end", "tick")


def _band(across: Axis, band: tuple[float | None, float | None], foot: float) -> Iterator[str]:
    for hz in band:
        if hz is not None and across.low < hz < across.high:
            yield _line("band", [(across.at(hz), TOP), (across.at(hz), foot)], dashes="2 4")


def _levels(up: Axis, levels: Iterable[Level], width: float) -> Iterator[str]:
    last = math.inf
    for level in sorted(levels, key=lambda level: level.ohm):
        y = up.at(level.ohm)
        yield _line("level", [(LEFT, y), (width - RIGHT, y)], 1.5, "8 4")
        lies = min(y + 5, last - 16)  # the names of two close levels stand above each other
        yield _text(width - RIGHT + 5, lies, f"{level.name} {level.ohm:.3g}", "start", "level-name")
        last = lies


def _least(across: Axis, up: Axis, least: tuple[float, float], width: float) -> Iterator[str]:
    x, y = across.at(least[0]), up.at(least[1])
    yield f'<circle class="least" cx="{x:.1f}" cy="{y:.1f}" r="5" fill="currentColor"/>'
    right = x < width / 2
    yield _text(
        x + (9 if right else -9), y + 17, _least_words(least), "start" if right else "end", "least"
    )


def _phase(across: Axis, curve: Curve, width: float, foot: float) -> Iterator[str]:
    top = foot - PHASE_HEIGHT

    def down(degrees: float) -> float:
        return top + (90 - degrees) / 180 * PHASE_HEIGHT

    yield _text(4, top - 10, "phase in degrees", "start", "tick")
    for degrees in (90, 0, -90):
        y = down(degrees)
        yield _line("grid", [(LEFT, y), (width - RIGHT, y)])
        yield _text(LEFT - 6, y + 5, str(degrees), "end", "tick")
    points = zip(curve.frequency_hz, curve.phase_deg, strict=True)
    yield _line("phase", [(across.at(hz), down(degrees)) for hz, degrees in points], 1.5)


def _line(
    css: str, points: Iterable[tuple[float, float]], thick: float = 1, dashes: str = ""
) -> str:
    route = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    more = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<polyline class="{css}" points="{route}" fill="none" stroke="currentColor" '
        f'stroke-width="{thick:g}"{more}/>'
    )


def _text(x: float, y: float, words: str, anchor: str, css: str) -> str:
    return (
        f'<text class="{css}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" '
        f'fill="currentColor">{escape(words)}</text>'
    )


def _least_words(least: tuple[float, float]) -> str:
    hz, ohm = least
    return f"{ohm:.3g} ohm at {f'{hz:.0f}' if hz >= 100 else f'{hz:.3g}'} Hz"


def _describe(curve: Curve, levels: Iterable[Level], least: tuple[float, float]) -> str:
    first, last = curve.frequency_hz[0], curve.frequency_hz[-1]
    words = [
        f"{len(curve.frequency_hz)} points from {first:g} to {last:g} Hz",
        f"least impedance {_least_words(least)}",
        f"highest {max(curve.magnitude_ohm):.3g} ohm",
        *(f"{level.words} {level.ohm:.3g} ohm marked" for level in levels),
    ]
    if curve.phase_deg:
        words.append(f"phase from {min(curve.phase_deg):.3g} to {max(curve.phase_deg):.3g} degrees")
    return "; ".join(words) + "."
