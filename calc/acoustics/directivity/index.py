"""The directivity index: how much louder the axis is than the same power all round."""

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.directivity.table import Table, polar_grid_deg

Floats = NDArray[np.float64]


def ring_shares(polar_deg: Floats) -> Floats:
    """Share of the sphere that each polar angle stands for, summing to 1.

    The borders lie midway between the angles: (cos a - cos b) / 2 of each ring, which is the
    weighting by the sine, integrated.
    """
    polar = np.radians(np.asarray(polar_deg, dtype=np.float64))
    edges = np.concatenate([[0.0], (polar[1:] + polar[:-1]) / 2, [np.pi]])
    shares: Floats = -np.diff(np.cos(edges)) / 2
    return shares


def index_db(energy: Floats, polar_deg: Floats) -> Floats:
    """Directivity index in dB over the last two axes (azimuths evenly round, polars).

    Parameters
    ----------
    energy : array (..., azimuths, polars)
        Squared pressure; the axis (polar 0) is the reference.
    polar_deg : array (polars,)
        0 to 180.
    """
    mean = energy.mean(axis=-2)
    index: Floats = 10 * np.log10(mean[..., 0] / (mean @ ring_shares(polar_deg)))
    return index


def table_index_db(table: Table) -> Floats:
    """Directivity index of a table per computed band, shape (bands,)."""
    energy = np.abs(table[:, :-1].astype(np.complex128)) ** 2
    return index_db(energy, polar_grid_deg())
