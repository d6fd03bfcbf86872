"""What runs together: every alignment of a rig, as set and as it should be."""

import dataclasses
import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calc.acoustics.air import speed_of_sound
from calc.lookup import Lookup
from calc.prediction import AlignmentResult, LineResult
from calc.signals.delays import set_temperature_c
from calc.signals.driver import Models
from calc.signals.running_together import (
    FIT_DB,
    WITHIN_DB,
    Fit,
    best_fit,
    mean_sum_db,
    overlap_of,
    worst_phase_deg,
)
from calc.signals.sides import Setting, Side, setting_of, side_of
from calc.system import Alignment, SystemDescription
from calc.words import joined, level, number

PER_OCTAVE = 24
LOWEST_HZ, HIGHEST_HZ = 20.0, 20_000.0
FILL_HZ = (500.0, 4000.0)
"""Where fills and towers are compared: speech and most of the music's clarity."""

MOST_LOUDER_DB = 10.0
"""dB. A later sound louder than this draws the ear to itself. Common practice (Haas), no source."""

SHOWN_OCTAVES = 1.0
FLOOR_DB = -60.0
"""Curves stop so far below the loudest of them."""

NO_MATTER_MS = 0.1
"""Less nobody moves. Own choice."""

Floats = NDArray[np.float64]
Complex = NDArray[np.complex128]


def alignment_results(
    system: SystemDescription, lookup: Lookup, lines: Sequence[LineResult]
) -> tuple[AlignmentResult, ...]:
    """Every alignment in the description's order.

    Parameters
    ----------
    system : SystemDescription
        A valid one.
    lookup : Lookup
        Of the system.
    lines : sequence of LineResult
        Of the system's drive lines, in their order.
    """
    octaves = math.log2(HIGHEST_HZ / LOWEST_HZ)
    hz = LOWEST_HZ * 2 ** (np.arange(math.floor(octaves * PER_OCTAVE) + 1) / PER_OCTAVE)
    models = Models(hz, speed_of_sound(system.surroundings.temperature_c))
    return tuple(_result(system, lookup, lines, part, models) for part in system.alignments)


def _result(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    part: Alignment,
    models: Models,
) -> AlignmentResult:
    spot = next(spot for spot in system.spots if spot.name == part.spot)
    setting = setting_of(system, lookup, lines, spot, (*part.moved, *part.reference), models)
    moved, reference = side_of(setting, part.moved), side_of(setting, part.reference)
    plain, hz = _plain(setting, part, moved, reference), models.hz
    if part.kind == "sub to top":
        return _sub_to_top(plain, hz, moved, reference)
    balanced = setting.balance is not None
    return _fill(plain, part.offset_ms, hz, moved, reference, balanced)


def _plain(setting: Setting, part: Alignment, moved: Side, reference: Side) -> AlignmentResult:
    """What both kinds have in common."""
    show = setting.system.surroundings.temperature_c
    set_c = set_temperature_c(part, show)
    return AlignmentResult(
        name=part.name,
        kind=part.kind,
        spot=part.spot,
        moved=part.moved,
        reference=part.reference,
        moved_arrival_ms=moved.arrival_ms,
        reference_arrival_ms=reference.arrival_ms,
        delay_ms=None,
        add_ms=None,
        invert=None,
        overlap_hz=(),
        worst_phase_deg=None,
        best_worst_phase_deg=None,
        sum_db=None,
        best_sum_db=None,
        as_inversion="",
        drift_ms=setting.ways.drift_ms(part, set_c, show),
        set_temperature_c=set_c,
        show_temperature_c=show,
        measured=bool(setting.measured),
        sentences=tuple(dict.fromkeys((*moved.assumed, *reference.assumed))),
        unknown=tuple(_unknown(setting, part, moved, reference)),
    )


def _unknown(setting: Setting, part: Alignment, moved: Side, reference: Side) -> Iterator[str]:
    """What a verdict lacks. Fills need their arrivals only, not levels and phases."""
    phases = part.kind == "sub to top"
    yield from moved.unsaid + reference.unsaid
    if phases:
        yield from dict.fromkeys(moved.no_level + reference.no_level)
        yield from dict.fromkeys(moved.no_phase + reference.no_phase)
    if phases and setting.balance is None:
        yield (
            "How loud the two sides are against each other is unknown: enter the outputs' gains. "
            "Each line stands at full drive here."
        )
    if moved.sheets != reference.sheets:
        unsaid = joined(sorted(moved.sheets ^ reference.sheets))
        yield f"The latency of {unsaid} is unknown; the two sides run through other processors."


def _fill(
    plain: AlignmentResult,
    offset_ms: float,
    hz: Floats,
    moved: Side,
    reference: Side,
    balanced: bool,
) -> AlignmentResult:
    """By arrival: the moved side comes `offset_ms` after the reference."""
    add = reference.arrival_ms + offset_ms - moved.arrival_ms
    delay = moved.delay_ms + add
    shown = _shown(hz, *FILL_HZ)
    curves: dict[str, Any] = {}
    if moved.plays and reference.plays:
        curves = _levels(hz[shown], moved.pressure[shown], reference.pressure[shown])
    return dataclasses.replace(
        plain,
        delay_ms=delay,
        add_ms=add,
        overlap_hz=FILL_HZ,
        sentences=(
            *_to_do(plain, add, delay, False),
            *(_louder(plain, hz, moved, reference) if balanced else ()),
            *plain.sentences,
        ),
        **curves,
    )


def _louder(plain: AlignmentResult, hz: Floats, moved: Side, reference: Side) -> Iterator[str]:
    """How loud the moved side is against the reference at the spot, where that is known."""
    counts = (hz >= FILL_HZ[0]) & (hz <= FILL_HZ[1])
    powers = [float(np.mean(np.abs(side.pressure[counts]) ** 2)) for side in (moved, reference)]
    if plain.unknown or moved.no_level or reference.no_level or min(powers) <= 0:
        return
    over = 10 * math.log10(powers[0] / powers[1])
    how = "louder" if over > 0 else "quieter"
    said = (
        f"At {plain.spot}: {joined(plain.moved)} {level(abs(over))} {how} than "
        f"{joined(plain.reference)} (500 Hz to 4 kHz)"
    )
    if over > MOST_LOUDER_DB:
        yield f"{said}: turn it down, or the sound seems to come from there."
    else:
        yield f"{said}."


def _sub_to_top(
    plain: AlignmentResult, hz: Floats, moved: Side, reference: Side
) -> AlignmentResult:
    """By phase through the overlap."""
    span = overlap_of(moved.pressure, reference.pressure)
    if span.stop - span.start < 2:
        sentence = (
            f"{joined(plain.moved)} and {joined(plain.reference)} are nowhere within "
            f"{number(WITHIN_DB)} dB of each other at {plain.spot}: there is nothing to align. "
            "Look at their filters and gains first."
        )
        return dataclasses.replace(plain, sentences=(sentence, *plain.sentences))
    at, one, other = hz[span], moved.pressure[span], reference.pressure[span]
    equal = reference.arrival_ms - moved.arrival_ms
    odd = None not in (moved.inverted, reference.inverted)
    flipped = odd and moved.inverted != reference.inverted
    wide = overlap_of(moved.pressure, reference.pressure, FIT_DB)
    fit = best_fit(hz[wide], moved.pressure[wide], reference.pressure[wide], equal, flipped)
    after = one * _change(fit, at)
    as_inversion = _as_inversion(plain, fit, moved.delay_ms + fit.add_ms) if flipped else ""
    delay = moved.delay_ms + fit.add_ms
    shown = _shown(hz, float(at[0]), float(at[-1]))
    best = moved.pressure[shown] * _change(fit, hz[shown])
    return dataclasses.replace(
        plain,
        delay_ms=delay,
        add_ms=fit.add_ms,
        invert=fit.flip,
        overlap_hz=(float(at[0]), float(at[-1])),
        worst_phase_deg=worst_phase_deg(one, other),
        best_worst_phase_deg=worst_phase_deg(after, other),
        sum_db=mean_sum_db(one, other),
        best_sum_db=mean_sum_db(after, other),
        as_inversion=as_inversion,
        phase_deg=_between(moved.pressure[shown], reference.pressure[shown]),
        best_phase_deg=_between(best, reference.pressure[shown]),
        sentences=(*_to_do(plain, fit.add_ms, delay, fit.flip), *plain.sentences),
        **_levels(hz[shown], moved.pressure[shown], reference.pressure[shown], best),
    )


def _change(fit: Fit, hz: Floats) -> Complex:
    """What the proposed change does to the moved side."""
    turn: Complex = np.exp(-2j * np.pi * hz * fit.add_ms / 1000)
    return -turn if fit.flip else turn


def _shown(hz: Floats, low: float, high: float) -> NDArray[np.bool_]:
    shown: NDArray[np.bool_] = (hz >= low / 2**SHOWN_OCTAVES) & (hz <= high * 2**SHOWN_OCTAVES)
    return shown


def _between(moved: Complex, reference: Complex) -> tuple[float, ...]:
    """Phase of the moved side re the reference, -180 to 180 degrees."""
    return tuple(np.degrees(np.angle(moved * reference.conj())).tolist())


def _levels(
    hz: Floats, moved: Complex, reference: Complex, best: Complex | None = None
) -> dict[str, Any]:
    """The curves of an `AlignmentResult` in dB, with those after the change where it is known."""
    curves = {
        "moved_db": np.abs(moved),
        "reference_db": np.abs(reference),
        "sum_db_curve": np.abs(moved + reference),
    }
    if best is not None:
        curves["best_sum_db_curve"] = np.abs(best + reference)
    top = max(float(curve.max()) for curve in curves.values())
    least = max(top, 1e-30) * 10 ** (FLOOR_DB / 20)
    found = {
        name: tuple((20 * np.log10(np.maximum(curve, least))).tolist())
        for name, curve in curves.items()
    }
    return found | {"frequency_hz": tuple(hz.tolist())}


def _as_inversion(plain: AlignmentResult, fit: Fit, delay_ms: float) -> str:
    """That an inversion stands in for a delay; "" where it is what the filters need."""
    if not fit.flip:
        return ""
    who, others = joined(plain.moved), joined(plain.reference)
    if abs(fit.add_ms) < NO_MATTER_MS:
        return f"{who}: inverted against {others}, but these filters need no inversion."
    if delay_ms <= -NO_MATTER_MS:
        return f"{who}: {others} must wait {-delay_ms:.1f} ms; inversion does not stand in for it."
    more = "" if fit.add_ms > 0 else " less"
    return f"{who} {verb(plain.moved, 'need')} {abs(fit.add_ms):.1f} ms{more}, not inversion."


def _to_do(plain: AlignmentResult, add_ms: float, delay_ms: float, flip: bool) -> Iterator[str]:
    """What to change, in words: the first sentence is whole by itself."""
    who, others = joined(plain.moved), joined(plain.reference)
    turn = " and turn its polarity over" if flip else ""
    also = f", and turn the polarity of {who} over" if flip else ""
    if abs(add_ms) < NO_MATTER_MS:
        yield f"{who}: leave the delay at {delay_words(max(delay_ms - add_ms, 0.0))}{turn}."
    elif delay_ms <= -NO_MATTER_MS:
        yield (
            f"{who} {verb(plain.moved, 'come')} too late even without any delay: delay {others} by "
            f"{delay_words(-delay_ms)} more instead{also}."
        )
    else:
        yield f"{who}: set the delay to {delay_words(max(delay_ms, 0.0))} in all{turn}."
    drift = plain.drift_ms or 0.0
    if abs(drift) >= NO_MATTER_MS:
        yield (
            f"That is for {number(plain.show_temperature_c)} °C at the show; at "
            f"{number(plain.set_temperature_c)} °C it is {delay_words(delay_ms + drift)}."
        )


def delay_words(value_ms: float) -> str:
    """A delay as people type it: two decimals."""
    text = f"{value_ms:.2f}"
    return f"{'0.00' if text == '-0.00' else text} ms"


def verb(names: Sequence[str], word: str) -> str:
    """A verb that fits one or many: 'comes', 'come'."""
    return word if len(names) > 1 else f"{word}s"
