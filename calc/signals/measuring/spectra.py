"""Spectra of a recording piece by piece, in single precision and little memory.

Pieces overlap by a quarter, and their windows' squares add up to 1, so that every moment counts
alike: a flat top between two quarter waves of a sine.
"""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import fft

Singles = NDArray[np.float32]
ComplexSingles = NDArray[np.complex64]

FINEST_HZ = 1.5
"""Hz. Lines lie so close at least, where the recording is long enough."""

AT_ONCE = 8
FEWEST = 4
"""A recording is cut into so many pieces at least: shorter ones get coarser lines."""


def rows_of(samples: ArrayLike) -> NDArray:
    """Samples as (channels, n), not copied.

    Raises
    ------
    ValueError
        They are neither a row nor rows of numbers.
    """
    rows = np.atleast_2d(np.asanyarray(samples))
    if rows.ndim != 2 or not np.issubdtype(rows.dtype, np.number):
        raise ValueError("a recording is one row of numbers, or a row for each channel")
    return rows


def piece_size(length: int, sampling_hz: float) -> int:
    """Samples in a piece: a power of two."""
    wanted = 1 << math.ceil(math.log2(sampling_hz / FINEST_HZ))
    able = 1 << max(4, int(math.log2(max(length, 1) / FEWEST))) if length >= FEWEST else 16
    return min(wanted, able)


def window_of(size: int) -> Singles:
    """Flat, with a quarter wave of a sine over the outer quarters; squares add up to 1."""
    edge = size // 4
    rise = np.sin(np.pi / 2 * (np.arange(edge) + 0.5) / edge)
    window: Singles = np.concatenate([rise, np.ones(size - 2 * edge), rise[::-1]]).astype(
        np.float32
    )
    return window


def lines_hz(size: int, sampling_hz: float) -> NDArray[np.float64]:
    """Frequencies of a piece's spectrum, (size/2 + 1,)."""
    return np.arange(size // 2 + 1, dtype=np.float64) * (sampling_hz / size)


def hop_of(size: int) -> int:
    """How far the next piece starts behind a piece."""
    return size - size // 4


def pieces(rows: NDArray, size: int) -> Iterator[ComplexSingles]:
    """Windowed spectra of a recording (channels, n): (channels, some pieces, size/2 + 1) each.

    What is left over at the end, less than a piece, is not looked at.
    """
    view = np.lib.stride_tricks.sliding_window_view(rows, size, axis=1)[:, :: hop_of(size)]
    window = window_of(size)
    for start in range(0, view.shape[1], AT_ONCE):
        part = np.multiply(view[:, start : start + AT_ONCE], window, dtype=np.float32)
        spectra: ComplexSingles = fft.rfft(part, axis=-1, overwrite_x=True)
        yield spectra


def pieces_to_the_ends(rows: NDArray, size: int) -> Iterator[ComplexSingles]:
    """As `pieces`, with silence before and behind, so that the ends count like all the rest."""
    edge, hop, length = size // 4, hop_of(size), rows.shape[1]
    yield from pieces(_padded(rows[:, : size - edge], edge, size), size)
    inner = rows[:, hop - edge :]
    if inner.shape[1] >= size:
        yield from pieces(inner, size)
    done = max(0, (inner.shape[1] - size) // hop + 1) if inner.shape[1] >= size else 0
    start = hop - edge + done * hop
    if start < length:
        left = length - start
        yield from pieces(_padded(rows[:, start:], 0, size + math.ceil(left / hop) * hop), size)


def _padded(rows: NDArray, before: int, length: int) -> NDArray:
    padded = np.zeros((len(rows), length), rows.dtype)
    padded[:, before : before + rows.shape[1]] = rows[:, : length - before]
    return padded


def power(spectra: ComplexSingles) -> NDArray[np.float64]:
    """Sum over the pieces of |spectrum|^2: (channels, some, lines) to (channels, lines)."""
    parts = spectra.view(np.float32)
    squares = np.einsum("cij,cij->cj", parts, parts)
    whole: NDArray[np.float64] = np.add(squares[:, ::2], squares[:, 1::2], dtype=np.float64)
    return whole
