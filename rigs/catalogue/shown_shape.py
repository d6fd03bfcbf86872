"""A way's directivity as the item page shows it: what counts, the index, polars at some bands."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from django.utils.safestring import SafeString

from rigs.catalogue.directivity import PLANES
from rigs.catalogue.models import Way
from rigs.catalogue.polar_picture import Trace, polar_picture

MOST_SHOWN = 4
OCTAVES = (125, 250, 500, 1000, 2000, 4000, 8000, 16000)
FIRST_SHOWN = (500, 1000, 2000, 4000, 8000, 250, 125, 16000)
SOURCES = {
    "nominal angles": "a smooth shape from the nominal angles: a drawing rule, no measurement",
    "piston": "a round piston in an endless baffle: silent behind",
}


class Shape(Protocol):
    """What is known of a way's radiation, band by band, at angles from -180 to 180 degrees."""

    @property
    def source(self) -> str: ...
    @property
    def bands_hz(self) -> tuple[float, ...]: ...
    @property
    def index_db(self) -> tuple[float, ...]: ...
    @property
    def width_h_deg(self) -> tuple[float, ...]: ...
    @property
    def width_v_deg(self) -> tuple[float, ...]: ...
    @property
    def angles_deg(self) -> tuple[float, ...]: ...
    @property
    def horizontal_db(self) -> tuple[tuple[float, ...], ...]: ...
    @property
    def vertical_db(self) -> tuple[tuple[float, ...], ...]: ...


@dataclass(frozen=True, slots=True)
class Band:
    """One octave's figures in words, and whether it is drawn."""

    hz: int
    name: str
    index: str
    across: str
    up: str
    drawn: bool


@dataclass(frozen=True, slots=True)
class ShownShape:
    """The directivity in words and drawings."""

    source: str
    basis: str
    bands: list[Band]
    pictures: list[SafeString]


def shown_shape(way: Way, shape: Shape, asked: Sequence[str]) -> ShownShape:
    """What the page shows; `asked` are the bands in Hz that somebody chose, as typed."""
    inside = [hz for hz in OCTAVES if _plays(way, hz)] or list(OCTAVES)
    chosen = [hz for hz in inside if str(hz) in asked][:MOST_SHOWN]
    if not chosen:
        chosen = sorted([hz for hz in FIRST_SHOWN if hz in inside][:MOST_SHOWN])
    return ShownShape(
        source=_source(way, shape),
        basis=_basis(way, shape),
        bands=[_band(shape, hz, hz in chosen) for hz in inside],
        pictures=[_picture(way, shape, plane, chosen) for plane in PLANES],
    )


def _plays(way: Way, hz: int) -> bool:
    """Whether an octave band reaches into what this way plays."""
    return (way.low_hz or 0) < hz * 1.42 and (way.high_hz or 1e9) > hz / 1.42


def _source(way: Way, shape: Shape) -> str:
    measured = way.radiation
    if measured is None or shape.source in SOURCES:
        return SOURCES.get(shape.source, shape.source)
    if measured.kind == "polars":
        return "a table of polars; between its two planes a drawing rule holds"
    return "a measured balloon"


def _basis(way: Way, shape: Shape) -> str:
    names = {"nominal angles": "coverage_h_deg", "piston": "piston_diameter_m"}
    return way.basis_of(names.get(shape.source, "directivity"))


def _at(shape: Shape, hz: int) -> int:
    return min(range(len(shape.bands_hz)), key=lambda n: abs(shape.bands_hz[n] - hz))


def _band(shape: Shape, hz: int, drawn: bool) -> Band:
    n = _at(shape, hz)
    across, up = _degrees(shape.width_h_deg[n]), _degrees(shape.width_v_deg[n])
    return Band(hz, band_name(hz), f"{shape.index_db[n]:.1f}", across, up, drawn)


def _degrees(width: float) -> str:
    return "all round" if width >= 360 else f"{width:.0f}°"


def band_name(hz: int) -> str:
    """125 Hz, 1 kHz ..."""
    return f"{hz // 1000} kHz" if hz >= 1000 else f"{hz} Hz"


def _picture(way: Way, shape: Shape, plane: str, chosen: Sequence[int]) -> SafeString:
    levels = shape.horizontal_db if plane == "horizontal" else shape.vertical_db
    traces = [Trace(band_name(hz), shape.angles_deg, levels[_at(shape, hz)]) for hz in chosen]
    title = f"{plane.capitalize()} polar of {way.loudspeaker}, {way}"
    return polar_picture(title, traces, from_side=plane == "vertical")
