"""A balloon from measured transfer functions: AES69 (SOFA), FreeFieldDirectivityTF.

Reading the file is done elsewhere; here are its arrays. The convention puts x ahead of the
source, y to its left and z up; azimuth turns to the left, elevation up.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from calc.acoustics import bands
from calc.acoustics.directivity.piston import nested
from calc.acoustics.directivity.table import (
    AZIMUTHS,
    FLOOR_DB,
    STEP_DEG,
    polar_grid_deg,
)
from calc.system import AxisResponse, Balloon
from calc.words import number

CONVENTION = "FreeFieldDirectivityTF"
WIDEST_HOLE_DEG = 10.5
NEIGHBOURS = 4

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class TransferArrays:
    """What stands in the file, under the standard's own names.

    `real`, `imag` (measurements, receivers, frequencies); `frequency` (frequencies,);
    `receiver_position` (receivers, 3) or (receivers, 3, 1 or measurements), spherical (degree,
    degree, metre) or cartesian (metre); `source_view` and `source_up` cartesian directions.
    """

    convention: str
    frequency: Any
    frequency_units: str
    real: Any
    imag: Any
    receiver_position: Any
    receiver_position_type: str
    receiver_position_units: str
    source_view: Any = (1.0, 0.0, 0.0)
    source_up: Any = (0.0, 0.0, 1.0)


def balloon_of_transfer(arrays: TransferArrays) -> tuple[Balloon, AxisResponse]:
    """Third-octave balloon and on-axis response of one measured source.

    Within a band the squared magnitudes of its lines are averaged; the phase is that of the
    line nearest to the middle, re the axis. Bands outside of the measured frequencies are left
    out. Between the measured directions the four nearest are weighted by their inverse squared
    distance. A half or a quarter of the sphere is mirrored.

    Returns
    -------
    (balloon, axis)
        `axis` in dB re the file's own unit; it is absolute only where the file is calibrated.

    Raises
    ------
    ValueError
        In words: another convention, shapes, units, missing angles, no numbers.
    """
    pressure, hz = _checked(arrays)
    directions = _directions(arrays, pressure.shape[0])
    on_bands, pressure = _by_band(pressure, hz)
    grid, pressure = _on_grid(directions, pressure)
    axis = pressure[:, :1, :1]
    if not (np.abs(axis) > 0).all():
        raise ValueError("the measurement is silent on the axis")
    relative = pressure / axis
    level = 20 * np.log10(np.maximum(np.abs(relative), 10 ** (FLOOR_DB / 20)))
    balloon = Balloon(
        band_hz=on_bands,
        polar_deg=tuple(polar_grid_deg().tolist()),
        azimuth_deg=tuple(grid.tolist()),
        level_db=nested(level),
        phase_deg=nested(np.degrees(np.angle(relative))),
    )
    on_axis = 20 * np.log10(np.abs(axis[:, 0, 0]))
    return balloon, AxisResponse(on_bands, tuple(on_axis.tolist()))


def _checked(arrays: TransferArrays) -> tuple[Complex, Floats]:
    """Pressure (receivers, frequencies) and the frequencies in Hz."""
    if arrays.convention != CONVENTION:
        raise ValueError(
            f"the file follows the convention '{arrays.convention[:60]}'; {CONVENTION} is needed"
        )
    if arrays.frequency_units.strip().lower() not in ("hertz", "hz"):
        raise ValueError(f"the frequencies are in '{arrays.frequency_units[:40]}', not in hertz")
    hz = _array(arrays.frequency, "frequencies")
    real, imag = _array(arrays.real, "real parts"), _array(arrays.imag, "imaginary parts")
    if hz.ndim != 1 or len(hz) < 1 or not (np.diff(hz) > 0).all() or hz[0] < 0:
        raise ValueError("the frequencies must rise from 0 or above")
    if real.ndim != 3 or real.shape != imag.shape or real.shape[2] != len(hz):
        raise ValueError(
            "the data must be measurements x receivers x frequencies, real and imaginary alike"
        )
    if real.shape[0] != 1:
        raise ValueError(f"the file holds {real.shape[0]} measurements; one is needed")
    return (real + 1j * imag)[0], hz


def _array(values: Any, what: str) -> Floats:
    try:
        found = np.asarray(np.ma.filled(values, np.nan), dtype=np.float64)
    except (TypeError, ValueError):
        raise ValueError(f"the {what} are no numbers") from None
    if not np.isfinite(found).all():
        raise ValueError(f"some of the {what} are missing or no numbers")
    return found


def _directions(arrays: TransferArrays, count: int) -> Floats:
    """Unit vectors (receivers, 3): ahead, to the right, up, as the source sees them."""
    place = _array(arrays.receiver_position, "receiver positions")
    if place.ndim == 3 and place.shape[2] == 1:
        place = place[:, :, 0]
    if place.shape != (count, 3):
        raise ValueError(f"{count} receivers need {count} positions of three numbers each")
    units = [word.strip().lower() for word in arrays.receiver_position_units.split(",")]
    kind = arrays.receiver_position_type.strip().lower()
    if kind == "spherical":
        if units not in (["degree", "degree", "metre"], ["degree", "degree", "meter"]):
            raise ValueError("spherical positions must be in degree, degree, metre")
        azimuth, elevation = np.radians(place[:, 0]), np.radians(place[:, 1])
        flat = np.cos(elevation)
        place = np.column_stack([flat * np.cos(azimuth), flat * np.sin(azimuth), np.sin(elevation)])
    elif kind == "cartesian":
        if units[0] not in ("metre", "meter"):
            raise ValueError("cartesian positions must be in metre")
    else:
        raise ValueError(f"the positions are '{arrays.receiver_position_type[:40]}'")
    length = np.linalg.norm(place, axis=1)
    if not (length > 0).all():
        raise ValueError("a receiver stands at the source itself")
    return place @ _frame(arrays).T / length[:, None]


def _frame(arrays: TransferArrays) -> Floats:
    view = _array(arrays.source_view, "view directions").reshape(-1)[:3]
    up = _array(arrays.source_up, "up directions").reshape(-1)[:3]
    if len(view) < 3 or len(up) < 3 or not np.linalg.norm(np.cross(view, up)) > 1e-9:
        raise ValueError("the source's view and up directions must be two different directions")
    view = view / np.linalg.norm(view)
    up = up - (up @ view) * view
    up /= np.linalg.norm(up)
    return np.array([view, np.cross(view, up), up])


def _by_band(pressure: Complex, hz: Floats) -> tuple[tuple[float, ...], Complex]:
    """Bands that the lines reach, and the pressure in them, (receivers, bands)."""
    reach = 10**bands.HALF_BAND
    kept, columns = [], []
    for middle in bands.mid_bands_hz():
        if not hz[0] / reach <= middle <= hz[-1] * reach:
            continue
        inside = (hz >= middle / reach) & (hz < middle * reach)
        nearest = int(np.abs(np.log(np.maximum(hz, 1e-9) / middle)).argmin())
        energy = np.abs(pressure[:, inside if inside.any() else [nearest]]) ** 2
        phase = np.exp(1j * np.angle(pressure[:, nearest]))
        kept.append(float(middle))
        columns.append(np.sqrt(energy.mean(axis=1)) * phase)
    if not kept:
        raise ValueError("the measured frequencies reach none of the bands from 25 Hz to 20 kHz")
    return tuple(kept), np.array(columns).T


def _on_grid(directions: Floats, pressure: Complex) -> tuple[Floats, Complex]:
    """Azimuths all round, and the pressure at (bands, azimuths, polars)."""
    azimuth = STEP_DEG * np.arange(AZIMUTHS, dtype=np.float64)
    turn, polar = np.radians(azimuth)[:, None], np.radians(polar_grid_deg())[None, :]
    wanted = np.stack(
        np.broadcast_arrays(
            np.cos(polar), np.sin(polar) * np.cos(turn), np.sin(polar) * np.sin(turn)
        ),
        axis=-1,
    ).reshape(-1, 3)
    directions, pressure = _mirrored(directions, pressure, wanted)
    found = cKDTree(directions).query(wanted, k=min(NEIGHBOURS, len(directions)))
    chord, near = (np.asarray(part).reshape(len(wanted), -1) for part in found)
    weight = 1 / np.maximum(chord, 1e-9) ** 2
    weight /= weight.sum(axis=1, keepdims=True)
    values = np.einsum("dk,dkb->bd", weight, pressure[near])
    return azimuth, values.reshape(-1, AZIMUTHS, len(polar_grid_deg()))


def _mirrored(directions: Floats, pressure: Complex, wanted: Floats) -> tuple[Floats, Complex]:
    """Complete the sphere from a half or a quarter; refuse what still has holes."""
    for mirrors in ((), ((1, -1, 1),), ((1, 1, -1),), ((1, -1, 1), (1, 1, -1))):
        whole, values = directions, pressure
        for mirror in mirrors:
            whole = np.concatenate([whole, whole * np.array(mirror)])
            values = np.concatenate([values, values])
        hole, where = _hole_deg(whole, wanted)
        if hole <= WIDEST_HOLE_DEG:
            return whole, values
    polar = np.degrees(np.arctan2(np.hypot(where[1], where[2]), where[0]))
    raise ValueError(
        f"angles are missing: {number(float(polar))} degrees off the axis the nearest measured "
        f"direction is {number(hole)} degrees away; at most {number(WIDEST_HOLE_DEG)} can be "
        "bridged"
    )


def _hole_deg(directions: Floats, wanted: Floats) -> tuple[float, Floats]:
    """The widest distance in degrees from a wanted direction to a measured one, and where."""
    chord = np.asarray(cKDTree(directions).query(wanted)[0])
    worst = int(chord.argmax())
    return float(2 * np.degrees(np.arcsin(min(chord[worst] / 2, 1.0)))), wanted[worst]
