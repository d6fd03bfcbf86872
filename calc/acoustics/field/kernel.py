"""The inner arithmetic: one block of sources at one block of points.

A line's field is the sum over the sources of gain x directivity x air x exp(-j 2 pi f (r / c +
delay)) / r. What makes it fast, and keeps it within 0.001 dB:

- turns (frequency x time) are reduced to a fraction in float64; only that goes to float32 sine
  and cosine, and only for the lowest octave: a line's octave is a line again, and its phasor the
  square of the one below (`bands.lines_of`);
- directivity is one sparse product, four weights for each direction, and air loss one
  exponential: both for each band, shared by its lines;
- gains (filters, level, polarity) and the sum over the sources are one matrix product per line;
- blocks are small enough to stay in the processor's cache.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from calc.acoustics import bands
from calc.acoustics.directivity.table import AZIMUTHS, POLARS, STEP_DEG
from calc.acoustics.field.source import Stack
from calc.acoustics.geometry import NEAREST_M

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Complex = NDArray[np.complex64]

PER_OCTAVE = bands.LINES_PER_OCTAVE
PER_BAND = bands.LINES_PER_BAND
TO_STEPS = np.float32(np.degrees(1) / STEP_DEG)


@dataclass(frozen=True, slots=True)
class Medium:
    """What the field runs through: lines (Hz), loss per band in nepers a metre, speed m/s."""

    lines_hz: Floats
    loss_np_per_m: Singles
    speed_m_s: float


def coherent_field(stack: Stack, points: Floats, medium: Medium) -> Complex:
    """Sum in phase, (lines, points) complex64, in 20 uPa.

    `medium` holds just the lines that the stack was made for, whole bands of them.
    """
    distance, spread = _band_pressures(stack, points, medium)
    sources, count = distance.shape
    lines = len(medium.lines_hz)
    phasor = _lowest_octave(stack, distance, medium)
    driven = np.empty_like(phasor)
    field = np.empty((lines, 1, count), dtype=np.complex64)
    gain = stack.gain[:, None, :]
    for first in range(0, lines, PER_OCTAVE):
        some = min(PER_OCTAVE, lines - first)
        if first:
            np.square(phasor[:some], out=phasor[:some])
        band = first // PER_BAND
        shape = (some // PER_BAND, PER_BAND, sources, count)
        np.multiply(
            phasor[:some].reshape(shape),
            spread[band : band + some // PER_BAND, None],
            out=driven[:some].reshape(shape),
        )
        np.matmul(gain[first : first + some], driven[:some], out=field[first : first + some])
    return field[:, 0]


def energy_field(stack: Stack, points: Floats, medium: Medium) -> Singles:
    """Sum by energy, (bands, points), in (20 uPa)^2: no phase is needed."""
    _, spread = _band_pressures(stack, points, medium)
    energy = spread.real**2
    energy += spread.imag**2
    power = np.abs(stack.gain.astype(np.complex128)) ** 2
    per_band = power.reshape(-1, PER_BAND, len(stack)).sum(axis=1).astype(np.float32)
    return np.matmul(per_band[:, None, :], energy)[:, 0]


def _lowest_octave(stack: Stack, distance: Floats, medium: Medium) -> Complex:
    """Phasors of the first nine lines, (lines, sources, points)."""
    hz = medium.lines_hz[:PER_OCTAVE, None, None]
    turns = hz * (distance / medium.speed_m_s + stack.delay[:, None])
    turns -= np.rint(turns)
    angle = (turns * (-2 * np.pi)).astype(np.float32)
    phasor = np.empty(angle.shape, dtype=np.complex64)
    np.cos(angle, out=phasor.real)
    np.sin(angle, out=phasor.imag)
    return phasor


def _band_pressures(stack: Stack, points: Floats, medium: Medium) -> tuple[Floats, Complex]:
    """Distances (sources, points), and directivity x air / r, (bands, sources, points)."""
    own = points @ stack.axes.reshape(-1, 3).T
    own -= np.einsum("sij,sj->si", stack.axes, stack.position).ravel()
    own = own.T.reshape(len(stack), 3, len(points))
    ahead, right, up = own[:, 0], own[:, 1], own[:, 2]
    radial = right * right + up * up
    distance = np.sqrt(ahead * ahead + radial)
    heard: Singles = np.maximum(distance, NEAREST_M).astype(np.float32)
    polar = np.arctan2(np.sqrt(radial), ahead).astype(np.float32) * TO_STEPS
    azimuth = np.arctan2(up.astype(np.float32), right.astype(np.float32)) * TO_STEPS
    weights, corners = _corners(polar, azimuth, np.reciprocal(heard), stack.first)
    rows = distance.size
    pick = csr_matrix(
        (weights.ravel(), corners.ravel(), np.arange(0, 4 * rows + 1, 4, dtype=np.int32)),
        shape=(rows, len(stack.tables)),
    )
    pressure = (pick @ stack.tables).view(np.complex64)
    loss = np.multiply.outer(-medium.loss_np_per_m, heard)
    np.exp(loss, out=loss)
    spread = np.empty(loss.shape, dtype=np.complex64)
    np.multiply(pressure.T.reshape(loss.shape), loss, out=spread)
    return distance, spread


def _corners(
    polar: Singles, azimuth: Singles, scale: Singles, table: NDArray[np.int32]
) -> tuple[Singles, NDArray[np.int32]]:
    """Four weights that sum to `scale`, and the rows of the tables they belong to.

    `polar` and `azimuth` (sources, points) count in steps of the table, `azimuth` from -36.
    """
    azimuth[azimuth < 0] += AZIMUTHS
    row = np.minimum(azimuth.astype(np.int32), AZIMUTHS - 1)
    column = np.minimum(polar.astype(np.int32), POLARS - 2)
    across, along = (azimuth - row) * scale, polar - column
    weights = np.empty((*polar.shape, 4), dtype=np.float32)
    both = across * along
    weights[..., 3] = both
    weights[..., 2] = across - both
    along *= scale
    weights[..., 1] = along - both
    weights[..., 0] = scale - across - along + both
    corners = np.empty(weights.shape, dtype=np.int32)
    first = row * POLARS + column + table[:, None]
    corners[..., 0] = first
    for place, step in ((1, 1), (2, POLARS), (3, POLARS + 1)):
        corners[..., place] = first + step
    return weights, corners
