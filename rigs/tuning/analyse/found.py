"""What an analysis finds, as it is stored, and what others read of it."""

import dataclasses
from dataclasses import dataclass
from typing import Any

from calc.serialise import from_plain, to_plain
from calc.signals.equalise.spots import SpotResponse
from calc.signals.measuring.decay import BandDecay
from calc.signals.measuring.levels import BandLevels
from calc.signals.measuring.noise import BackgroundNoise
from calc.signals.measuring.outline import Outline
from calc.signals.measuring.speech import SpeechIndex
from calc.signals.measuring.transfer import BandedTransfer

FORM = 1


@dataclass(frozen=True, slots=True)
class Refusal:
    """What a recording does not give, and why, with what to do."""

    what: str
    why: str


@dataclass(frozen=True, slots=True)
class Found:
    """All that one recording says; None and () where it says nothing, `refused` tells why.

    `levels` are of the microphone's channel. `delay_ms` is only given where the played signal
    was recorded beside the microphone, on the same clock; `delay_within_ms` is how sure it is, and
    `inverted` the polarity of the whole way. `spot` has no name: see `spot_response`.
    """

    form: int
    peak_db: float
    rms_db: float
    warnings: tuple[str, ...] = ()
    refused: tuple[Refusal, ...] = ()
    levels: BandLevels | None = None
    noise: BackgroundNoise | None = None
    transfer: BandedTransfer | None = None
    averages: int | None = None
    delay_ms: float | None = None
    delay_within_ms: float | None = None
    inverted: bool | None = None
    response: Outline | None = None
    decays: tuple[BandDecay, ...] = ()
    speech: SpeechIndex | None = None
    spot: SpotResponse | None = None


def plain(found: Found) -> dict[str, Any]:
    """As it is stored."""
    stored: dict[str, Any] = to_plain(found)
    return stored


def found_of(stored: dict[str, Any]) -> Found:
    """What is stored, read again. Raises ValueError where it is of another form."""
    return from_plain(Found, stored)


def spot_response(stored: dict[str, Any], name: str, weight: float = 1.0) -> SpotResponse | None:
    """What a stored result's spot hears, ready to be averaged or equalised; None if unknown."""
    spot = stored.get("spot")
    if spot is None:
        return None
    return dataclasses.replace(from_plain(SpotResponse, spot), name=name, weight=weight)
