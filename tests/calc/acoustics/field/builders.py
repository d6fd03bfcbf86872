"""Sources for tests of the field."""

import numpy as np

from calc.acoustics import bands
from calc.acoustics.field.source import PointSource, axes_of

BANDS, LINES = len(bands.band_numbers()), 3 * len(bands.band_numbers())
ROUND = np.ones((BANDS, 73, 37), dtype=np.complex64)


def round_source(position=(0.0, 0.0, 0.0), **changes) -> PointSource:
    """All round, 1 x 20 uPa in each line at 1 m, in one group."""
    fields = {
        "position_m": tuple(map(float, position)),
        "axes": axes_of(0, 0),
        "table": ROUND,
        "gain": np.ones(LINES, dtype=complex),
        "group": "one",
    }
    return PointSource(**(fields | changes))
