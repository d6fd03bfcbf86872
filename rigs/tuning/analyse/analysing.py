"""From a recording's samples to all that they give, and what they don't give and why."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.room.answers import SPEECH_DBA
from calc.signals.equalise.spots import PER_OCTAVE, grid_hz, spot_of, spot_of_levels
from calc.signals.measuring import delay
from calc.signals.measuring.checks import checked
from calc.signals.measuring.decay import decay_times
from calc.signals.measuring.fine_delay import fine_delay
from calc.signals.measuring.levels import levels
from calc.signals.measuring.noise import background_noise
from calc.signals.measuring.outline import outline_of
from calc.signals.measuring.played import PlayedSignal
from calc.signals.measuring.speech import SpeechIndex, speech_index
from calc.signals.measuring.sweep import Response, deconvolved, divided
from calc.signals.measuring.sweep_transfer import sweep_transfer
from calc.signals.measuring.transfer import Transfer, banded, transfer
from rigs.tuning.analyse.found import FORM, Found, Refusal
from rigs.tuning.analyse.playing import signal_of
from rigs.tuning.analyse.recorded import Settings

Row = NDArray[np.float32]
Told = Callable[[int, int, str], None]

STAGES = 4
LEAST_S = {"sweep": 3.0, "noise": 5.0, "background": 1.0, "other": 1.0}
"""s. Shorter recordings are refused; background noise says by itself what it needs."""

BEFORE_S, AFTER_S = 0.25, 3.0
"""s that are kept before a played signal begins and after it has ended."""

EVERYTHING = "everything"
TRANSFER, DELAY = "transfer function", "delay"
RESPONSE, DECAYS, SPEECH = "impulse response", "decay times", "speech index"
NO_REFERENCE = (
    "It is not known what was played: play a test signal from here, or record what is played on "
    "the second channel."
)
NO_CLOCK = (
    "Playing and recording did not share a clock. Record what is played on the second channel."
)
NO_ARRIVAL = "No arrival stands out of the response: measure again, louder or nearer."
WITH_NOISE = (
    f"Reckoned with speech of {SPEECH_DBA:.0f} dB(A) (assumed) and the noise that the venue's page "
    "says."
)
NEEDS_SWEEP = "Only a sweep tells it: measure with one."


def analyse(rows: NDArray[np.float32], rate_hz: float, settings: Settings, told: Told) -> Found:
    """All that rows (channels, n) give. What they don't give stands in `refused`.

    `told` hears how many of how many stages are done, and the one that begins.
    """
    told(0, STAGES, "looking for faults")
    heard = rows[settings.microphone_channel]
    reference = None if settings.reference_channel is None else rows[settings.reference_channel]
    looked = checked(
        heard,
        rate_hz,
        least_s=LEAST_S[settings.content],
        needs_reference=reference is not None,
        reference=reference,
        reference_hz=rate_hz,
    )
    found = Found(FORM, looked.peak_db, looked.rms_db, looked.warnings)
    if looked.faults:
        return replace(found, refused=tuple(Refusal(EVERYTHING, why) for why in looked.faults))
    told(1, STAGES, "levels")
    found = replace(found, levels=levels(heard, rate_hz, settings.microphone)[0])
    if settings.content == "background":
        noise = background_noise(heard, rate_hz, settings.microphone)
        return replace(found, noise=noise, warnings=())  # it may be quiet
    if settings.content == "sweep":
        return _with_sweep(found, heard, reference, rate_hz, settings, told)
    return _with_noise(found, heard, reference, rate_hz, settings, told)


def _with_noise(
    found: Found, heard: Row, reference: Row | None, rate_hz: float, settings: Settings, told: Told
) -> Found:
    told(2, STAGES, "transfer function")
    refused = [Refusal(what, NEEDS_SWEEP) for what in (RESPONSE, DECAYS, SPEECH)]
    levels_spot = None
    if settings.content == "noise" and found.levels is not None:
        levels_spot = spot_of_levels("", found.levels)
    if reference is not None:
        return _with_transfer(
            replace(found, refused=tuple(refused), spot=levels_spot),
            transfer(reference, heard, rate_hz, settings.microphone),
        )
    if settings.played is None:
        refused = [Refusal(what, NO_REFERENCE) for what in (TRANSFER, DELAY)] + refused
        return replace(found, refused=tuple(refused), spot=levels_spot)
    if settings.played["rate_hz"] != rate_hz:
        why = (
            f"The noise was made at {settings.played['rate_hz'] / 1000:g} kHz and the recording "
            f"has {rate_hz / 1000:g} kHz: record at the same rate, or play a sweep."
        )
        refused = [Refusal(what, why) for what in (TRANSFER, DELAY)] + refused
        return replace(found, refused=tuple(refused), spot=levels_spot)
    played = signal_of(settings.played).samples.astype(np.float32)
    compared = transfer(played, heard, rate_hz, settings.microphone)
    return _with_transfer(
        replace(found, refused=tuple(refused), spot=levels_spot), compared, same_clock=False
    )


def _with_transfer(found: Found, compared: Transfer, *, same_clock: bool = True) -> Found:
    if compared.cannot:
        refused = tuple(Refusal(TRANSFER, why) for why in compared.cannot)
        return replace(found, refused=refused + found.refused)
    bands = banded(compared, grid_hz(), PER_OCTAVE)
    found = replace(found, transfer=bands, averages=compared.averages)
    if any(bands.usable):
        found = replace(found, spot=spot_of("", compared))
    if same_clock:
        return _with_delay(found, compared)
    return replace(found, refused=(Refusal(DELAY, NO_CLOCK), *found.refused))


def _with_delay(found: Found, compared: Transfer) -> Found:
    fine = fine_delay(compared)
    if fine is None:
        return replace(found, refused=(Refusal(DELAY, NO_ARRIVAL), *found.refused))
    return replace(
        found,
        delay_ms=fine.delay_ms,
        delay_within_ms=fine.within_ms,
        inverted=fine.inverted,
    )


def _with_sweep(
    found: Found, heard: Row, reference: Row | None, rate_hz: float, settings: Settings, told: Told
) -> Found:
    told(2, STAGES, "impulse response")
    try:
        response, same_clock = response_in(heard, reference, rate_hz, settings)
    except ValueError as why:
        parts = (RESPONSE, TRANSFER, DELAY, DECAYS, SPEECH)
        return replace(found, refused=tuple(Refusal(what, str(why)) for what in parts))
    found = replace(found, response=outline_of(response))
    found = _with_transfer(found, sweep_transfer(response), same_clock=same_clock)
    told(3, STAGES, "decay times")
    cut = tuple(Refusal(DECAYS, why) for why in response.cannot)
    return replace(
        found,
        decays=() if cut else decay_times(response),
        refused=found.refused + cut,
        speech=_speech(response, settings),
    )


def _speech(response: Response, settings: Settings) -> SpeechIndex:
    """With the space's noise where its page says it, else an upper bound."""
    if settings.noise_db is None:
        return speech_index(response)
    found = speech_index(response, SPEECH_DBA, settings.noise_db)
    return replace(found, warnings=(*found.warnings, WITH_NOISE))


def response_in(
    heard: Row, reference: Row | None, rate_hz: float, settings: Settings
) -> tuple[Response, bool]:
    """The response, and whether its time counts from when the signal was played.

    Raises
    ------
    ValueError
        In words: nothing tells what was played, or it isn't in the recording.
    """
    if reference is not None:
        found = delay.found_in(reference, heard, rate_hz)
        if not found.clear:
            raise ValueError(_not_there("channel that carries it"))
        return divided(heard, reference, rate_hz, settings.microphone)[0], True
    if settings.played is None:
        raise ValueError(NO_REFERENCE)
    signal = signal_of(settings.played, rate_hz)
    return deconvolved(_cut_to(heard, signal), signal, settings.microphone)[0], False


def _cut_to(heard: Row, signal: PlayedSignal) -> Row:
    """The part of a recording in which a signal is heard, a little before it and some after."""
    rate = signal.sampling_hz
    found = delay.found_in(signal.samples.astype(np.float32), heard, rate)
    if not found.clear:
        raise ValueError(_not_there("test signal"))
    if found.samples < -signal.start_s * rate:
        raise ValueError(
            f"The recording begins {-found.samples / rate:.1f} s after the test signal: start it "
            "first, then play."
        )
    start = found.samples - round(BEFORE_S * rate)
    end = found.samples + len(signal.samples) + round(AFTER_S * rate)
    cut = heard[max(start, 0) : end]
    return np.concatenate([np.zeros(max(-start, 0), np.float32), cut])


def _not_there(what: str) -> str:
    return (
        f"The {what} is not found in what the microphone heard: check that both are of the same "
        "run, and play louder."
    )
