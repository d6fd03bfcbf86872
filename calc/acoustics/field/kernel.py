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
from calc.acoustics.field.scratch import SCRATCH
from calc.acoustics.field.source import Stack
from calc.acoustics.geometry import NEAREST_M

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Complex = NDArray[np.complex64]

PER_OCTAVE = bands.LINES_PER_OCTAVE
PER_BAND = bands.LINES_PER_BAND
ONE_THREAD = 4000
"""Products up to 4096 elements the matrix library keeps to the thread that asks for them."""

PICKED = 2000
"""Directions whose pressures are looked up at once."""

TO_STEPS = np.float32(np.degrees(1) / STEP_DEG)


@dataclass(frozen=True, slots=True)
class Medium:
    """What the field runs through: lines (Hz), loss per band in nepers a metre, speed m/s."""

    lines_hz: Floats
    loss_np_per_m: Singles
    speed_m_s: float


def coherent_field(
    stack: Stack, points: Floats, medium: Medium, out: Complex | None = None
) -> Complex:
    """Sum in phase, (lines, points) complex64, in 20 uPa, written to `out` if there is one.

    `medium` holds just the lines that the stack was made for, whole bands of them.
    """
    distance, spread = _band_pressures(stack, points, medium)
    sources, count = distance.shape
    lines = len(medium.lines_hz)
    field = np.empty((lines, count), dtype=np.complex64) if out is None else out
    phasor = _lowest_octave(stack, distance, medium)
    driven = SCRATCH.array("driven", phasor.shape, np.complex64)
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
        span = slice(first, first + some)
        _summed(stack.gain[span], driven[:some], field[span])
    return field


def _summed(gain: Complex, driven: Complex, out: Complex) -> None:
    """Gain times pressure, summed over the sources of each line, in pieces for one thread."""
    step = max(ONE_THREAD // driven.shape[1], 1)
    for first in range(0, driven.shape[2], step):
        piece = slice(first, first + step)
        np.matmul(gain[:, None], driven[:, :, piece], out=out[:, None, piece])


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
    shape = (len(hz), *distance.shape)
    turns = SCRATCH.array("turns", shape, np.float64)
    np.multiply(hz, distance / medium.speed_m_s + stack.delay[:, None], out=turns)
    turns -= np.rint(turns, out=SCRATCH.array("whole turns", shape, np.float64))
    turns *= -2 * np.pi
    angle = SCRATCH.array("angle", shape, np.float32)
    angle[:] = turns
    phasor: Complex = SCRATCH.array("phasor", shape, np.complex64)
    np.cos(angle, out=phasor.real)
    np.sin(angle, out=phasor.imag)
    return phasor


def _band_pressures(stack: Stack, points: Floats, medium: Medium) -> tuple[Floats, Complex]:
    """Distances (sources, points), and directivity x air / r, (bands, sources, points)."""
    own = (stack.axes.reshape(-1, 3) @ points.T).reshape(3, len(stack), len(points))
    own -= stack.origin[:, :, None]
    distance = np.sqrt(np.square(own).sum(axis=0))
    heard = np.maximum(distance, NEAREST_M).astype(np.float32)
    weights, corners = _corners(own.astype(np.float32), np.reciprocal(heard), stack.first)
    shape = (len(medium.loss_np_per_m), *heard.shape)
    spread: Complex = SCRATCH.array("spread", shape, np.complex64)
    _pick(stack.tables, weights.reshape(-1, 4), corners.reshape(-1, 4), spread)
    loss = SCRATCH.array("loss", shape, np.float32)
    np.multiply(-medium.loss_np_per_m[:, None, None], heard, out=loss)
    spread *= np.exp(loss, out=loss)
    return distance, spread


def _pick(tables: Singles, weights: Singles, corners: NDArray[np.int32], out: Complex) -> None:
    """Four weighted rows of the tables for each direction, to `out` (bands, ...directions).

    In pieces, since the sparse product makes a new array each time, and a large one is slow to
    come by.
    """
    flat = out.reshape(len(out), -1)
    for first in range(0, len(weights), PICKED):
        piece = slice(first, first + PICKED)
        wanted = corners[piece]
        ends = np.arange(0, wanted.size + 1, 4, dtype=np.int32)
        some = csr_matrix(
            (weights[piece].ravel(), wanted.ravel(), ends), shape=(len(wanted), len(tables))
        )
        flat[:, piece] = (some @ tables).view(np.complex64).T


def _corners(
    own: Singles, scale: Singles, table: NDArray[np.int32]
) -> tuple[Singles, NDArray[np.int32]]:
    """Four weights that sum to `scale`, and the rows of the tables they belong to.

    `own` (3, sources, points) is how far ahead, to its right and up a source sees a point.
    """
    ahead, right, up = own
    polar = np.arctan2(np.sqrt(right * right + up * up), ahead) * TO_STEPS
    azimuth = np.arctan2(up, right) * TO_STEPS
    azimuth += np.float32(AZIMUTHS // 2)
    row = np.minimum(azimuth.astype(np.int32), AZIMUTHS - 1)
    column = np.minimum(polar.astype(np.int32), POLARS - 2)
    across, along = azimuth - row.astype(np.float32), polar - column.astype(np.float32)
    across *= scale
    both = across * along
    along *= scale
    weights = np.empty((*scale.shape, 4), dtype=np.float32)
    weights[..., 3] = both
    weights[..., 2] = across - both
    weights[..., 1] = along - both
    weights[..., 0] = scale - across - along + both
    row *= POLARS
    row += column
    row += table[:, None]
    corners = np.empty(weights.shape, dtype=np.int32)
    for place, step in enumerate((0, 1, POLARS, POLARS + 1)):
        np.add(row, step, out=corners[..., place])
    return weights, corners
