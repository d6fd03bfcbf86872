"""Notches against feedback: how many, how wide, what each buys, and what it costs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from calc.signals.dial_in.dials import closest, of_a_frequency
from calc.signals.feedback.choosing import Choices, chosen_notches, margin_db, notched, q_of
from calc.signals.feedback.loop import Loop
from calc.signals.feedback.rings import Complex, Floats, Ring, rings_of
from calc.signals.response import filters_response
from calc.system import Filter, ProcessorAbilities
from calc.words import joined, number

Material = Literal["speech", "music"]

WIDTHS = {"speech": (1 / 3, 1 / 4, 1 / 6), "music": (1 / 10, 1 / 15)}
"""Octaves between half-gain edges: wide is quicker to catch a ring and stands more drift, narrow
is kinder to the sound. Common practice, no source: speech 1/6 to 1/3, music 1/10 at most."""

CUTS_DB = (-3.0, -6.0, -9.0, -12.0)
WISHED_DB = 6.0
"""dB of margin. Common practice, no source."""

LITTLE_DB = 1.5
"""dB. A notch that buys less than this is said to buy little. Own choice."""

DRIFT = 0.009
"""1. Rings move with the speed of sound: 0.9 % for 5 degrees C (MATH)."""

PINK_HZ = (100.0, 10_000.0)
HEARD_DB = 1.0


@dataclass(frozen=True, slots=True)
class NotchAsk:
    """What notches may be used: `placed` at most, for speech or music, by one processor."""

    material: Material
    placed: int
    abilities: ProcessorAbilities = field(default_factory=ProcessorAbilities)
    low_hz: float = 60.0
    high_hz: float = 12_000.0
    deepest_db: float = 12.0


@dataclass(frozen=True, slots=True)
class LoopRings:
    """One microphone: its margin before and after all notches, and what would ring before."""

    name: str
    margin_before_db: float
    margin_after_db: float
    rings: tuple[Ring, ...]
    rings_after: tuple[Ring, ...]


@dataclass(frozen=True, slots=True)
class ChosenNotch:
    """One notch: which rings it lies on, the margin it adds after those before it, and its cost.

    `costs_db` is what pink noise from 100 Hz to 10 kHz loses by it, `heard_octaves` how wide it
    takes more than 1 dB.
    """

    filter: Filter
    rings_hz: tuple[float, ...]
    adds_db: float
    costs_db: float
    heard_octaves: float


@dataclass(frozen=True, slots=True)
class NotchPlan:
    """Notches in the order of placing, and what they do; nothing is set by itself.

    Margins are those of the show position where `absolute`, else only their differences count.
    `drifted_db` is the least margin when the air has become 5 degrees C warmer or colder.
    """

    absolute: bool
    margin_before_db: float
    margin_after_db: float
    drifted_db: float
    costs_db: float
    loops: tuple[LoopRings, ...]
    notches: tuple[ChosenNotch, ...]
    says: tuple[str, ...]
    cannot: tuple[str, ...] = ()


def notches_for(loops: Sequence[Loop], ask: NotchAsk) -> NotchPlan:
    """Choose notches for all loops at once: the one with the least margin decides.

    Raises
    ------
    ValueError
        No loop, loops of different lines, or no notch is allowed.
    """
    hz, curves = _curves(loops)
    if ask.placed < 0:
        raise ValueError("no fewer than no notches can be placed")
    faults = _cannot(ask)
    wished = () if faults else chosen_notches(hz, curves, _choices(ask), ask.placed)
    sampling_hz = ask.abilities.sampling_hz.value
    notches = tuple(_dialled(part, ask.abilities) for part in wished)
    steps = _margins(hz, curves, notches, sampling_hz)
    told = [_rings(loop, hz, row, ()) for loop, row in zip(loops, curves, strict=True)]
    done = notched(hz, curves, notches, sampling_hz)
    whole = tuple(
        LoopRings(loop.name, margin_db(row[None]), margin_db(after[None]), rings,
                  _rings(loop, hz, after, notches))
        for loop, row, after, rings in zip(loops, curves, done, told, strict=True)
    )  # fmt: skip
    plan = NotchPlan(
        absolute=all(loop.absolute for loop in loops),
        margin_before_db=steps[0],
        margin_after_db=steps[-1],
        drifted_db=min(
            _margins(hz, curves, _moved(notches, share), sampling_hz)[-1]
            for share in (1 + DRIFT, 1 - DRIFT)
        ),
        costs_db=_cost_db(notches, sampling_hz),
        loops=whole,
        notches=tuple(_told(notches, steps, whole, sampling_hz)),
        says=(),
        cannot=faults,
    )
    return replace(plan, says=tuple(_sentences(plan, ask)))


def _curves(loops: Sequence[Loop]) -> tuple[Floats, Complex]:
    if not loops:
        raise ValueError("no loop was measured")
    hz = loops[0].frequency_hz
    if any(not np.array_equal(loop.frequency_hz, hz) for loop in loops):
        raise ValueError("the loops were measured at different rates: measure all at one rate")
    return hz, np.stack([loop.as_set for loop in loops])


def _cannot(ask: NotchAsk) -> tuple[str, ...]:
    if ask.abilities.kinds and "peak" not in ask.abilities.kinds:
        return ("This processor has no peak filters that could cut: use another one.",)
    return ()


def _choices(ask: NotchAsk) -> Choices:
    """Widths and cuts that the material asks for and the dials have."""
    gain, q = ask.abilities.filter_gain_db, ask.abilities.filter_q
    cuts = {closest(gain, max(cut, -ask.deepest_db)) for cut in CUTS_DB}
    top = ask.abilities.sampling_hz.value
    return Choices(
        gains_db=tuple(sorted(cut for cut in cuts if cut < 0)),
        qs=tuple(sorted({closest(q, q_of(octaves)) for octaves in WIDTHS[ask.material]})),
        low_hz=ask.low_hz,
        high_hz=ask.high_hz if top is None else min(ask.high_hz, 0.45 * top),
        sampling_hz=top,
    )


def _dialled(part: Filter, abilities: ProcessorAbilities) -> Filter:
    pitch = of_a_frequency(abilities.filter_hz, abilities.sampling_hz.value)
    exact = abilities.filter_hz.step is not None
    hz = closest(pitch, part.frequency_hz if exact else round(part.frequency_hz, 1))
    return replace(part, frequency_hz=hz, q=part.q if part.q is None else round(part.q, 3))


def _moved(notches: Sequence[Filter], share: float) -> tuple[Filter, ...]:
    """Rings that move by a share meet notches that stay: the same as the other way round."""
    return tuple(replace(part, frequency_hz=part.frequency_hz / share) for part in notches)


def _margins(
    hz: Floats, curves: Complex, notches: Sequence[Filter], sampling_hz: float | None
) -> list[float]:
    """The least margin with none of them, with the first, ... with all."""
    found, now = [margin_db(curves)], curves
    for part in notches:
        now = notched(hz, now, [part], sampling_hz)
        found.append(margin_db(now))
    return found


def _rings(loop: Loop, hz: Floats, row: Complex, notches: Sequence[Filter]) -> tuple[Ring, ...]:
    return rings_of(hz, row, believed=loop.believed, most=12)


def _told(
    notches: Sequence[Filter],
    steps: Sequence[float],
    loops: Sequence[LoopRings],
    sampling_hz: float | None,
) -> Iterator[ChosenNotch]:
    rings = sorted({ring.frequency_hz for loop in loops for ring in loop.rings})
    for part, before, after in zip(notches, steps, steps[1:], strict=False):
        hz = np.geomspace(*PINK_HZ, 2000)
        level = 20 * np.log10(np.abs(filters_response([part], hz, sampling_hz)))
        octaves = np.log2(PINK_HZ[1] / PINK_HZ[0]) * float((level < -HEARD_DB).mean())
        cut = 20 * np.log10(np.abs(filters_response([part], np.array(rings or [1e3]), sampling_hz)))
        met = [ring for ring, db in zip(rings, cut, strict=False) if db < part.gain_db / 2]
        yield ChosenNotch(
            part, tuple(met), after - before, _cost_db([part], sampling_hz), float(octaves)
        )


def _cost_db(notches: Sequence[Filter], sampling_hz: float | None) -> float:
    """What pink noise loses."""
    if not notches:
        return 0.0
    hz = np.geomspace(*PINK_HZ, 2000)
    power = np.abs(filters_response(list(notches), hz, sampling_hz)) ** 2
    return float(-10 * np.log10(power.mean()))


def _sentences(plan: NotchPlan, ask: NotchAsk) -> Iterator[str]:
    yield from plan.cannot
    if not plan.absolute:
        yield (
            "Nobody said how loud the loop was measured against its show position: how far each "
            "ring lies behind the first is known, the margin itself is not."
        )
    elif plan.margin_before_db <= 0:
        yield (
            f"It rings at the show position already, {number(-plan.margin_before_db)} dB beyond "
            "its limit: turn it down before anything else."
        )
    if not plan.notches:
        if not plan.cannot:
            yield "No notch buys anything that counts here. Move the microphone or the boxes."
        return
    bought = plan.margin_after_db - plan.margin_before_db
    yield (
        f"{len(plan.notches)} notches buy {number(bought)} dB and cost {number(plan.costs_db)} dB "
        "of pink noise."
        if len(plan.notches) > 1
        else f"One notch buys {number(bought)} dB."
    )
    first = plan.notches[0]
    if first.adds_db < LITTLE_DB:
        yield (
            f"The first notch alone buys only {number(first.adds_db)} dB: the next ring lies right "
            "behind. Half the distance from mouth to microphone buys 6 dB."
        )
    if len(plan.notches) < ask.placed:
        yield f"More than {len(plan.notches)} would buy nothing that counts."
    if plan.absolute and 0 < plan.margin_after_db < WISHED_DB:
        yield (
            f"{number(plan.margin_after_db)} dB are left, less than the 6 dB of common practice: "
            "shorten a distance, close a microphone, or stay lower."
        )
    lost = plan.margin_after_db - plan.drifted_db
    if lost > 0.5 * bought:
        yield (
            f"When the room warms by 5 °C the rings move, and {number(lost)} dB of it are lost: "
            "narrow notches suit one temperature."
        )
    several = [one for one in plan.notches if len(one.rings_hz) > 1]
    for one in several[:3]:
        names = joined(f"{number(hz, 4)} Hz" for hz in one.rings_hz)
        yield f"The notch at {number(one.filter.frequency_hz, 4)} Hz lies on {names} together."
