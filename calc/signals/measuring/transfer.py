"""What lies between a reference and what the microphone heard of it, with its coherence."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calc.signals.measuring import delay
from calc.signals.measuring.microphone import Microphone
from calc.signals.measuring.spectra import lines_hz, piece_size, pieces, power

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]

LEAST_COHERENCE = 0.7
"""1. Below it the noise or the room's late sound rules a line. Common practice, no source."""

FEWEST_AVERAGES = 8
"""Coherence of fewer averages is high by chance: it is 1 / averages where nothing is common."""

NEPER_DB = 20 / math.log(10)


@dataclass(frozen=True, slots=True, eq=False)
class Transfer:
    """H1 of measured over reference, the delay taken out; coherence 0 to 1; rows of lines.

    H1 is right where only the microphone's side has noise. `delay_ms` was found first and is not
    in the phase. `averages` is the number of pieces, which hardly overlap.
    """

    frequency_hz: Floats
    response: Complex
    coherence: Floats
    delay_ms: float
    averages: int
    sampling_hz: float
    cannot: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BandedTransfer:
    """A transfer function averaged over equal parts of an octave.

    `level_db` is the mean of power of the lines that cohere, `phase_deg` the phase of their mean,
    `usable` whether at least half of a band's lines cohere. `uncertainty_db` is twice the standard
    deviation; None where nothing coheres.
    """

    frequency_hz: tuple[float, ...]
    level_db: tuple[float | None, ...]
    phase_deg: tuple[float | None, ...]
    coherence: tuple[float, ...]
    uncertainty_db: tuple[float | None, ...]
    usable: tuple[bool, ...]
    delay_ms: float


def transfer(
    reference: NDArray,
    measured: NDArray,
    sampling_hz: float,
    microphone: Microphone | None = None,
) -> Transfer:
    """Transfer function and coherence in one pass over both.

    Parameters
    ----------
    reference, measured : (n,)
        The electrical signal, and what the microphone heard.
    """
    found = delay.found_in(reference, measured, sampling_hz)
    early, late = _aligned(reference, measured, found.samples)
    size = piece_size(len(early), sampling_hz)
    cross, own, heard, count = _summed(early, late, size)
    hz = lines_hz(size, sampling_hz)
    with np.errstate(divide="ignore", invalid="ignore"):
        response = np.where(own > 0, cross / own, 0.0)
        shared = np.where(own * heard > 0, np.abs(cross) ** 2 / (own * heard), 0.0)
    if microphone is not None and microphone.frequency_hz:
        response = response * 10 ** (-microphone.at(np.maximum(hz, 1.0)) / 20)
    return Transfer(
        frequency_hz=hz,
        response=response,
        coherence=np.minimum(shared, 1.0),
        delay_ms=1000 * found.samples / sampling_hz,
        averages=count,
        sampling_hz=sampling_hz,
        cannot=_cannot(found, count, shared[1:]),
    )


def _aligned(reference: NDArray, measured: NDArray, later: int) -> tuple[NDArray, NDArray]:
    """Both with the delay taken out, of one length, not copied."""
    if later >= 0:
        measured = measured[later:]
    else:
        reference = reference[-later:]
    both = min(len(reference), len(measured))
    return reference[:both], measured[:both]


def _summed(early: NDArray, late: NDArray, size: int) -> tuple[Complex, Floats, Floats, int]:
    lines = size // 2 + 1
    cross = np.zeros(lines, dtype=np.complex128)
    own, heard, count = np.zeros(lines), np.zeros(lines), 0
    if len(early) < size:
        return cross, own, heard, count
    for one, other in zip(pieces(early[None], size), pieces(late[None], size), strict=True):
        own += power(one)[0]
        heard += power(other)[0]
        cross += np.einsum("ij,ij->j", np.conj(one[0]), other[0])
        count += one.shape[1]
    return cross, own, heard, count


def _cannot(found: delay.Found, count: int, shared: Floats) -> tuple[str, ...]:
    said = []
    if not found.clear:
        said.append(
            "The reference is not found in the recording: check that both are of the same run, "
            "and play louder."
        )
    if count < FEWEST_AVERAGES:
        said.append(
            f"The recording gives {count} averages and {FEWEST_AVERAGES} are needed: record longer."
        )
    elif float((shared >= LEAST_COHERENCE).mean()) < 0.1:
        said.append(
            "Hardly anything in the recording follows the reference: play louder, or move the "
            "microphone closer."
        )
    return tuple(said)


def banded(found: Transfer, frequency_hz: Floats, per_octave: float) -> BandedTransfer:
    """Averages over bands of an octave's part around frequencies.

    Parameters
    ----------
    frequency_hz : (m,)
        The middles, above 0.
    per_octave : float
        12: bands a twelfth of an octave wide.
    """
    ratio = 2 ** (0.5 / per_octave)
    edges = np.searchsorted(found.frequency_hz, np.outer([1 / ratio, ratio], frequency_hz))
    edges[1] = np.minimum(np.maximum(edges[1], edges[0] + 1), len(found.frequency_hz))
    edges[0] = np.minimum(edges[0], edges[1] - 1)
    good = found.coherence >= LEAST_COHERENCE
    counted = _runs(good, edges)
    some = np.maximum(counted, 1)
    strength = _runs(np.where(good, np.abs(found.response) ** 2, 0), edges) / some
    mean = _runs(np.where(good, found.response, 0), edges) / some
    lines = edges[1] - edges[0]
    shared = _runs(found.coherence, edges) / lines
    usable = (counted >= lines / 2) & (counted > 0) & (frequency_hz < found.sampling_hz / 2)
    scatter = np.sqrt(np.maximum(1 / np.maximum(shared, 1e-6) - 1, 0) / (2 * found.averages or 1))
    with np.errstate(divide="ignore"):
        level = 10 * np.log10(strength)
    known = counted > 0
    return BandedTransfer(
        frequency_hz=tuple(np.asarray(frequency_hz).tolist()),
        level_db=_optional(level, known),
        phase_deg=_optional(np.degrees(np.angle(mean)), known),
        coherence=tuple(shared.tolist()),
        uncertainty_db=_optional(2 * NEPER_DB * scatter / np.sqrt(some), known),
        usable=tuple(usable.tolist()),
        delay_ms=found.delay_ms,
    )


def _runs(values: NDArray, edges: NDArray) -> NDArray:
    """Sums of values between pairs of edges."""
    summed = np.concatenate([[0], np.cumsum(values)])
    return summed[edges[1]] - summed[edges[0]]


def _optional(values: Floats, known: NDArray[np.bool_]) -> tuple[float | None, ...]:
    return tuple(
        float(value) if ok and math.isfinite(value) else None
        for value, ok in zip(values, known, strict=True)
    )
