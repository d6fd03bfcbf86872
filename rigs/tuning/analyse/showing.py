"""A result as its page shows it: the numbers that decide, what is refused, pictures, tables."""

from dataclasses import dataclass, field
from typing import Any

from calc.signals.measuring.decay import BandDecay
from rigs.systems.pictures.bands import hertz
from rigs.tuning.analyse.analysing import DECAYS, DELAY, SPEECH
from rigs.tuning.analyse.found import Found, found_of
from rigs.tuning.pictures import Pair, both
from rigs.tuning.pictures.decays import decays_picture, octave_hz, response_picture
from rigs.tuning.pictures.recording import (
    coherence_picture,
    levels_picture,
    phase_picture,
    transfer_picture,
)

MIDS_HZ = (450.0, 1100.0)
"""Hz. The octaves of 500 Hz and 1 kHz, whose mean stands for a room (ISO 3382-1, RECALL)."""

LEAST_SHOWN_MS = 0.01
TWICE = "twice the standard deviation"


@dataclass(frozen=True, slots=True)
class Deciding:
    """One number that decides, how sure it is, and sentences; `figure` "" where unknown."""

    name: str
    figure: str
    unsure: str = ""
    says: tuple[str, ...] = ()
    cannot: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ShownDecay:
    """A row of the table of decay times, in words."""

    band: str
    times: tuple[str, str, str]
    unsure: str
    range: str
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShownFound:
    """All that a page shows of a result."""

    deciding: list[Deciding]
    warnings: list[str]
    refused: list[tuple[str, str]]
    levels: list[Pair] = field(default_factory=list)
    transfer: list[Pair] = field(default_factory=list)
    response: list[Pair] = field(default_factory=list)
    decays: list[Pair] = field(default_factory=list)
    decay_rows: list[ShownDecay] = field(default_factory=list)
    harmonics: list[str] = field(default_factory=list)
    one_sweep: bool = False


def shown_found(stored: dict[str, Any]) -> ShownFound:
    """A stored result, ready to be shown. Raises ValueError where it is of another form."""
    found = found_of(stored)
    shown = ShownFound(
        _deciding(found), _warnings(found), _refused(found), one_sweep=found.averages == 1
    )
    if found.levels is not None:
        levels = found.levels
        shown.levels.append(both(lambda width: levels_picture(levels, width)))
    if found.transfer is not None:
        transfer = found.transfer
        for draw in (transfer_picture, phase_picture, coherence_picture):
            shown.transfer.append(both(lambda width, draw=draw: draw(transfer, width)))  # type: ignore[misc]
    if found.response is not None:
        response = found.response
        shown.response.append(both(lambda width: response_picture(response, width)))
        shown.harmonics.extend(_harmonics(found))
    if found.decays:
        shown.decays.append(both(lambda width: decays_picture(found.decays, width)))
        shown.decay_rows.extend(_decay_row(band) for band in found.decays)
    return shown


def _deciding(found: Found) -> list[Deciding]:
    """Levels, delay, decay, speech: what the content is for, in this order."""
    if found.levels is None:
        return []
    shown = [_level(found)]
    if found.noise is not None:
        return shown + _noise(found)
    return [*shown, _delay(found), _decay(found), _speech(found)]


def _level(found: Found) -> Deciding:
    levels = found.levels
    assert levels is not None
    unsure = [value for value in levels.uncertainty_db if value is not None]
    steady = found.response is None  # what chance leaves is known of noise, not of a sweep
    bands = ""
    if unsure and steady:
        bands = f"bands ±{min(unsure):.1f} to ±{max(unsure):.1f} dB ({TWICE})"
    says = (
        f"C {levels.c_db:.1f} dB, unweighted {levels.z_db:.1f} dB, over {levels.seconds:.0f} s.",
        "The microphone's own tolerance is not in it."
        if levels.unit == "dB SPL"
        else "Relative: the level of full scale in dB SPL is not known.",
    )
    unit = "dB(A)" if levels.unit == "dB SPL" else "dB(A) re full scale"
    return Deciding("Level", f"{levels.a_db:.1f} {unit}", bands, says, levels.cannot)


def _noise(found: Found) -> list[Deciding]:
    noise = found.noise
    assert noise is not None
    if noise.swing_db is None:
        return [Deciding("How steady the noise is", "", cannot=noise.cannot)]
    says = "between the levels that the loudest and the quietest tenth of seconds pass"
    return [Deciding("Comes and goes by", f"{noise.swing_db:.1f} dB", "", (says,))]


def _delay(found: Found) -> Deciding:
    if found.delay_ms is None:
        return Deciding("Delay", "", cannot=_why(found, DELAY))
    says = ["from what was played to the microphone, the converters' own delay in it"]
    if found.inverted is not None:
        polarity = "the other way round" if found.inverted else "as it was played"
        says.append(f"polarity of the whole way, mostly of the mids: {polarity}")
    unsure = ""
    if found.delay_within_ms is not None:
        unsure = f"±{max(found.delay_within_ms, LEAST_SHOWN_MS):.2f} ms ({TWICE})"
    return Deciding("Delay", f"{found.delay_ms:.2f} ms", unsure, tuple(says))


def _decay(found: Found) -> Deciding:
    mids = [band for band in found.decays if MIDS_HZ[0] < band.frequency_hz < MIDS_HZ[1]]
    cannot = _why(found, DECAYS) + tuple(dict.fromkeys(why for b in mids for why in b.cannot))
    for name in ("t30_s", "t20_s"):
        times = [getattr(band, name) for band in mids]
        if times and None not in times:
            unsure = sum(band.uncertainty_s or 0.0 for band in mids) / len(mids)
            says = tuple(dict.fromkeys(said for band in mids for said in band.warnings))
            mean = sum(times) / len(times)
            which = f"{name[:3].upper()}, mean of 500 Hz and 1 kHz."
            return Deciding("Decay", f"{mean:.2f} s", f"±{unsure:.2f} s ({TWICE})", (which, *says))
    return Deciding("Decay", "", cannot=cannot)


def _speech(found: Found) -> Deciding:
    speech = found.speech
    if speech is None:
        return Deciding("Speech index", "", cannot=_why(found, SPEECH))
    if speech.index is None:
        return Deciding("Speech index", "", cannot=speech.cannot)
    figure = f"{speech.index:.2f}, {speech.letter}"
    return Deciding(
        "Speech index",
        figure,
        f"±{speech.uncertainty:.2f} ({TWICE})",
        (f"{speech.edition}.", *speech.warnings),
    )


def _why(found: Found, what: str) -> tuple[str, ...]:
    return tuple(refusal.why for refusal in found.refused if refusal.what == what)


def _warnings(found: Found) -> list[str]:
    noise = found.noise.warnings if found.noise else ()
    return [*found.warnings, *noise]


def _refused(found: Found) -> list[tuple[str, str]]:
    """What is refused for one reason stands together; what a figure says already does not."""
    told = {DELAY, DECAYS, SPEECH} if found.levels is not None else set()
    reasons: dict[str, list[str]] = {}
    for refusal in found.refused:
        if refusal.what not in told:
            reasons.setdefault(refusal.why, []).append(refusal.what)
    return [(" and ".join(whats).capitalize(), why) for why, whats in reasons.items()]


def _decay_row(band: BandDecay) -> ShownDecay:
    times = (_seconds(band.edt_s), _seconds(band.t20_s), _seconds(band.t30_s))
    return ShownDecay(
        hertz(octave_hz(band.frequency_hz)),
        times,
        "" if band.uncertainty_s is None else f"±{band.uncertainty_s:.2f} s",
        "unknown" if band.range_db is None else f"{band.range_db:.0f} dB",
        band.warnings + band.cannot,
    )


def _seconds(value: float | None) -> str:
    return "cannot say" if value is None else f"{value:.2f} s"


def _harmonics(found: Found) -> list[str]:
    assert found.response is not None
    return [
        f"{_ordinal(each.order)} harmonic: {each.energy_db:.0f} dB"
        for each in found.response.harmonics
        if each.energy_db is not None
    ]


def _ordinal(order: int) -> str:
    return {2: "2nd", 3: "3rd"}.get(order, f"{order}th")
