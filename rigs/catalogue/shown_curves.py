"""A way's impedance curve as the item page shows it: what counts, the drawing, the points."""

from dataclasses import dataclass

from django.utils.safestring import SafeString

from rigs.catalogue.figures import plain
from rigs.catalogue.impedance import Curve
from rigs.catalogue.models import Way
from rigs.catalogue.pictures import Level, impedance_picture

DIP = 0.8  # IEC 60268-5: a box may dip to this share of its rated impedance
WIDE, NARROW = 680, 340


@dataclass(frozen=True, slots=True)
class ShownCurve:
    """A curve in words and drawings; `notes` are sentences about what it does not say."""

    least_ohm: str
    least_hz: str
    where: str
    basis: str
    wide: SafeString
    narrow: SafeString
    points: list[tuple[str, ...]]
    with_phase: bool
    notes: tuple[str, ...]


def shown_curve(way: Way) -> ShownCurve | None:
    """What the page shows of a way's curve; None if there is none."""
    curve = way.curve
    if curve is None:
        return None
    band = (way.low_hz, way.high_hz)
    hz, ohm = curve.minimum(*band)
    title = f"Impedance of {way.loudspeaker}, {way.name}"
    drawings = [impedance_picture(title, curve, _levels(way), band, w) for w in (WIDE, NARROW)]
    return ShownCurve(
        least_ohm=f"{ohm:.3g}",
        least_hz=f"{hz:.0f}" if hz >= 100 else f"{hz:.3g}",
        where=_where(way),
        basis=way.basis_of("impedance_curve"),
        wide=drawings[0],
        narrow=drawings[1],
        points=[tuple(plain(v) for v in row if v is not None) for row in curve.points()],
        with_phase=bool(curve.phase_deg),
        notes=tuple(note for note in (_gap(way, curve), _too_low(way, ohm), _bare(curve)) if note),
    )


def _levels(way: Way) -> list[Level]:
    """The rated impedance, and the stated minimum or else what the standard allows."""
    rated, minimum = way.rated_impedance_ohm, way.minimum_impedance_ohm
    levels = [Level("rated", "rated impedance", rated)] if rated else []
    if minimum:
        levels.append(Level("min.", "stated minimum", minimum))
    elif rated:
        levels.append(Level("0.8 x:", "0.8 of the rated impedance,", DIP * rated))
    return levels


def _where(way: Way) -> str:
    low, high = way.low_hz, way.high_hz
    if low is None and high is None:
        return "of the whole curve: the band of this way is unknown"
    if low is None or high is None:
        return f"from {low:g} Hz up" if low is not None else f"up to {high:g} Hz"
    return f"between {low:g} and {high:g} Hz, where this way plays"


def _gap(way: Way, curve: Curve) -> str:
    first, last = curve.frequency_hz[0], curve.frequency_hz[-1]
    below = way.low_hz is not None and first > way.low_hz
    above = way.high_hz is not None and last < way.high_hz
    if not (below or above):
        return ""
    return (
        f"The curve reaches from {first:g} to {last:g} Hz only. Elsewhere in the band the stated "
        "minimum counts, else 0.8 of the rated impedance."
    )


def _too_low(way: Way, least_ohm: float) -> str:
    rated = way.rated_impedance_ohm
    if rated is None or least_ohm >= DIP * rated:
        return ""
    return (
        f"The curve goes below {DIP * rated:g} ohm, the least that a box rated {rated:g} ohm may "
        "have (IEC 60268-5: 0.8 of it). Loads are counted by the curve."
    )


def _bare(curve: Curve) -> str:
    return "" if curve.phase_deg else "Without phase: loads count as the lowest they could be."
