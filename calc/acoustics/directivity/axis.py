"""The response on the axis: read, checked, and as a level in every band."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from calc.acoustics import bands
from calc.system import AxisResponse

Floats = NDArray[np.float64]


def axis_faults(response: AxisResponse) -> Iterator[str]:
    """What makes a response impossible to use, in words."""
    hz, level = np.array(response.frequency_hz), np.array(response.level_db)
    if len(hz) < 2 or len(level) != len(hz):
        yield "it needs at least two points, one level for each frequency."
    elif not (np.isfinite(hz).all() and np.isfinite(level).all()):
        yield "some of its points are no numbers."
    elif not (np.diff(hz) > 0).all() or hz[0] <= 0:
        yield "its frequencies must rise from above 0 Hz."
    elif np.abs(level).max() > 200:
        yield "its levels must lie between -200 and 200 dB."
    if response.basis == "unknown":
        yield "it must say whether it is measured, from a data sheet or assumed."


def axis_levels_db(response: AxisResponse) -> Floats:
    """Level on the axis in each computed band, (bands,); -inf where nothing is known.

    The energy mean over a band's points with those at its edges; where the band reaches beyond
    the response's ends, over what is left of it.
    """
    have = np.log(np.array(response.frequency_hz))
    level = np.array(response.level_db)
    found = np.full(len(bands.band_numbers()), -np.inf)
    for index, middle in enumerate(bands.mid_bands_hz()):
        low = max(np.log(middle * 10**-bands.HALF_BAND), have[0])
        high = min(np.log(middle * 10**bands.HALF_BAND), have[-1])
        if low > high:
            continue
        at = np.linspace(low, high, 17)
        found[index] = 10 * np.log10(np.mean(10 ** (np.interp(at, have, level) / 10)))
    return found


def axis_of_csv(text: str) -> AxisResponse:
    """Read a response from text: a heading `frequency,level`, then a row for each point.

    Raises
    ------
    ValueError
        With the row and the fault in words.
    """
    rows = [(place, line.split(",")) for place, line in enumerate(text.splitlines(), start=1)]
    rows = [(place, row) for place, row in rows if any(cell.strip() for cell in row)]
    if not rows or [word.strip().lower() for word in rows[0][1]] != ["frequency", "level"]:
        raise ValueError("row 1: must read frequency,level (Hz and dB)")
    points = []
    for place, row in rows[1:]:
        try:
            frequency, level = (float(cell) for cell in row)
        except ValueError:
            raise ValueError(f"row {place}: needs two numbers, frequency and level") from None
        points.append((frequency, level))
    response = AxisResponse(tuple(f for f, _ in points), tuple(v for _, v in points))
    for fault in axis_faults(response):
        raise ValueError(f"the response on the axis: {fault}")
    return response
