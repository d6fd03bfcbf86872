"""What a listening phone sends, and what it is answered."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rigs.systems.models import RingNotch
from rigs.systems.rung import Ringing
from rigs.tuning.analyse.ears import listener_at, put_away
from rigs.tuning.analyse.fitted import octaves_of
from rigs.tuning.analyse.listening import Heard, hear

RATES_HZ = (16_000, 48_000)
MOST_S = 3.0
MOST_BYTES = int(MOST_S * RATES_HZ[1]) * 2
MOST_KNOWN = 24
NOTHING_DB = -70.0
"""dB re full scale, of the loudest sample: the microphone is covered, muted or not there."""


class NotHeard(ValueError):
    """What was sent cannot be listened to; the text is for people."""


@dataclass(frozen=True, slots=True)
class Sent:
    """Samples (n,), full scale at 1, what they follow upon, and the tones that the page knows."""

    samples: NDArray[np.float32]
    rate_hz: int
    known_hz: tuple[float, ...]
    ear: str


def read_sent(body: bytes, rate: str, known: str, ear: str) -> Sent:
    """Read 16-bit samples, low byte first, one channel; `ear` as the last answer named it.

    Raises
    ------
    NotHeard
        With what is wrong.
    """
    if not rate.isdecimal() or not RATES_HZ[0] <= int(rate) <= RATES_HZ[1]:
        raise NotHeard("The page sent no sampling rate of 16 to 48 kHz. Load it anew.")
    if not body or len(body) % 2:
        raise NotHeard("The page sent no whole samples. Load it anew.")
    if len(body) > MOST_S * int(rate) * 2:
        raise NotHeard(f"The page sent more than {MOST_S:g} s at once. Load it anew.")
    try:
        wanted = tuple(float(one) for one in known.split(",") if one)
    except ValueError:
        raise NotHeard("The page named tones that are no numbers. Load it anew.") from None
    if len(wanted) > MOST_KNOWN or not all(20 <= hz <= 20_000 for hz in wanted):
        raise NotHeard("The page named more tones than there can be. Clear its list.")
    if ear and not (len(ear) == 32 and ear.isalnum()):
        raise NotHeard("The page went on from nowhere. Load it anew.")
    return Sent(
        np.frombuffer(body, "<i2").astype(np.float32) / np.float32(32_768), int(rate), wanted, ear
    )


def answer(sent: Sent, now: Ringing, whose: int) -> dict[str, Any]:
    """What the page shows: the tones, and whether anything is heard at all."""
    listener = listener_at(sent.ear, whose, sent.rate_hz)
    moment = hear(listener, sent.samples, sent.known_hz)
    silent = float(np.abs(sent.samples).max()) < 10 ** (NOTHING_DB / 20)
    return {
        "ear": put_away(listener, whose, sent.rate_hz),
        "silent": silent,
        "tones": [_plain(tone, now.notches) for tone in moment.tones],
        "stands_out": None if moment.stands_out_hz is None else said_hz(moment.stands_out_hz),
    }


def said_hz(hz: float) -> float:
    """As exactly as a processor's dial can use it."""
    return round(hz, 1) if hz < 1000 else float(round(hz))


def _plain(tone: Heard, notches: Sequence[RingNotch]) -> dict[str, Any]:
    notch = caught_by(tone.frequency_hz, notches)
    return {
        "hz": said_hz(tone.frequency_hz),
        "sounds": tone.level_db is not None,
        "level_db": None if tone.level_db is None else round(tone.level_db, 1),
        "growth_db_per_s": tone.growth_db_per_s and round(tone.growth_db_per_s),
        "since_s": tone.since_s and round(tone.since_s, 2),
        "notch": notch and caught_words(notch),
    }


def caught_by(hz: float, notches: Sequence[RingNotch]) -> RingNotch | None:
    """The nearest notch that has the tone between its half-gain edges."""
    inside = [one for one in notches if _octaves(one, hz) <= octaves_of(one.q) / 2]
    return min(inside, key=lambda one: _octaves(one, hz), default=None)


def _octaves(notch: RingNotch, hz: float) -> float:
    return abs(math.log2(hz / notch.frequency_hz))


def caught_words(notch: RingNotch) -> str:
    """What is to be done where a notch is there and it rings all the same."""
    if notch.revision_id is None:
        return f"The {notch} is on the sheet, and not set in the processing yet."
    return (
        f"The {notch} is in the processing since {notch.revision}: is it dialled in? If so, move "
        "the microphone or turn it down."
    )


def sheet_words(now: Ringing) -> str:
    """How the sheet stands, in a line."""
    if now.ring_out is None:
        return "Nobody said yet which outputs get the notches: none can be placed."
    return (
        f"{len(now.notches)} placed, {now.free} more at sound check, {now.in_reserve} in reserve "
        "for the show."
    )


def dial_words(notch: RingNotch, now: Ringing) -> str:
    """What to do at the processor, now that a notch is on the sheet."""
    assert now.ring_out is not None
    outputs = now.ring_out.outputs
    many = "outputs" if len(outputs) > 1 else "output"
    return (
        f"On the sheet. Dial in at {now.ring_out.processor_place}, {many} "
        f"{', '.join(map(str, outputs))}: {notch.frequency_hz:g} Hz, {notch.gain_db:g} dB, "
        f"Q {notch.q:g}."
    )
