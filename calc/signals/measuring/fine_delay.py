"""The delay of a transfer function between samples, with how sure it is, and the polarity."""

import numpy as np
from scipy import fft

from calc.signals.arrival import Delay, delay_between
from calc.signals.measuring.delay import BAND_HZ
from calc.signals.measuring.transfer import Transfer

TOP = 0.45
"""1. Of the sampling rate: above, converters' filters rule."""


def fine_delay(found: Transfer) -> Delay | None:
    """The first arrival after the reference's, from `found` and the delay taken out of it.

    `inverted` is the polarity of the whole way, converters included. None where the response
    holds no arrival that could be told.
    """
    response = fft.irfft(found.response)
    # Half of it ahead of time zero: quiet, in which the noise is told.
    ahead = len(response) // 2
    pulse = np.zeros(len(response))
    pulse[ahead] = 1.0
    rate = found.sampling_hz
    band = (BAND_HZ[0], min(BAND_HZ[1], TOP * rate))
    try:
        more = delay_between(pulse, np.roll(response, ahead), rate, band)
    except ValueError:
        return None
    return Delay(
        found.delay_ms + more.delay_ms, more.inverted, more.within_ms, more.likeness, more.rival
    )
