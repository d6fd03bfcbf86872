"""Which narrow tones stand out at the end of what was heard, feedback or not."""

import numpy as np
from numpy.typing import ArrayLike

from calc.signals.feedback.tones.peaks import spectrum_of, window_of
from calc.signals.feedback.tones.track import LONG


def standing_now(samples: ArrayLike, sampling_hz: float) -> tuple[tuple[float, float], ...]:
    """(Hz, dB re a full-scale sine) of the narrow peaks in the last half second, loudest first.

    A listener that hears only the last seconds again and again knows by these whether what it
    called before sounds still: feedback that has reached the limiters stands without growing.
    Shorter than half a second, there is none.
    """
    row = np.asarray(samples, dtype=np.float64)
    size = round(LONG.window_s * sampling_hz)
    if len(row) < size:
        return ()
    spectrum = spectrum_of(row[-size:], window_of(size), sampling_hz)
    return tuple((float(hz), float(db)) for hz, db in zip(spectrum.hz, spectrum.db, strict=True))
