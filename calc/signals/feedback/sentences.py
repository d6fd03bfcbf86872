"""What a plan of notches says in words, the fault first."""

import math
from collections.abc import Iterator

import numpy as np

from calc.signals.feedback.asking import NotchAsk, limits_of
from calc.signals.feedback.choosing import Choices, cut
from calc.signals.feedback.plan import NotchPlan
from calc.signals.feedback.rings import NEVER_DB, Ring
from calc.signals.words import hz_words
from calc.words import joined, number

WISHED_DB = 6.0
"""dB of margin. Common practice, no source."""

LITTLE_DB = 1.5
"""dB. A notch that buys less than this is said to buy little. Own choice."""

CLOSE_OCTAVES = 1 / 6
CLOSE_DB = 3.0
"""Two rings so close to each other, both so close behind the first, are a pair. Own choice."""

CUT_OFF_DB = 0.2
PAIRED_CUT_DB = -6.0
TAMED_SHARE = 0.75


def sentences(plan: NotchPlan, ask: NotchAsk, choices: Choices) -> Iterator[str]:
    """All that is to be said, in the order in which it matters."""
    yield from plan.cannot
    yield from _of_the_margin(plan)
    yield from _of_the_hidden(plan)
    yield from _of_the_room(plan)
    if not plan.cannot:
        yield from limits_of(ask, choices)
    yield from _of_a_pair(plan, choices)
    if plan.notches:
        yield from _of_the_notches(plan, ask)
    elif ask.placed and not plan.cannot:
        yield "No notch buys anything that counts here. Move the microphone or the boxes."


def _of_the_margin(plan: NotchPlan) -> Iterator[str]:
    for loop in plan.loops:
        if loop.margin_before_db >= NEVER_DB:
            yield (
                f"{loop.name}: as far as it was measured this loop never comes in step. See that "
                "the right microphone was recorded, and in the right polarity, before trusting it."
            )
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
    if plan.absolute and 0 < plan.margin_after_db < WISHED_DB:
        yield (
            f"{number(plan.margin_after_db)} dB are left, less than the 6 dB of common practice: "
            "shorten a distance, close a microphone, or stay lower."
        )
    elif plan.absolute and plan.margin_after_db <= 0:
        yield "Notches do not stop it: shorten a distance, close a microphone, or stay lower."


def _of_the_hidden(plan: NotchPlan) -> Iterator[str]:
    for loop in plan.loops:
        if loop.hidden_db is not None and loop.hidden_db < loop.margin_after_db:
            assert loop.hidden_hz is not None
            sooner = number(loop.margin_after_db - loop.hidden_db)
            yield (
                f"{loop.name}: noise hides the loop around {hz_words(loop.hidden_hz)} and "
                f"elsewhere, and it may ring there {sooner} dB sooner than said here. "
                "Measure louder."
            )


def _of_the_room(plan: NotchPlan) -> Iterator[str]:
    for loop in plan.loops:
        if loop.cut_off_db > CUT_OFF_DB:
            yield (
                f"{loop.name}: the recording ends while the room still sounds, and it may ring up "
                f"to {number(loop.cut_off_db, 2)} dB sooner than said here. Let it run on for as "
                "long as the room is heard."
            )


def _of_a_pair(plan: NotchPlan, choices: Choices) -> Iterator[str]:
    """The first pair that one notch between would not tame, as wide as the material bears it."""
    pairs = (pair for loop in plan.loops for pair in _pairs(loop.rings))
    found = next(pairs, None)
    if found is None or not choices.qs:
        return
    low, high = found
    middle, q = np.array([math.sqrt(low * high)]), np.array([min(choices.qs)])
    off_db = 10 * math.log10(cut(np.array([low]), middle, q, np.array([PAIRED_CUT_DB]))[0])
    if off_db < TAMED_SHARE * PAIRED_CUT_DB:
        return
    yield (
        f"{hz_words(low)} and {hz_words(high)} are two rings, close together: one notch of "
        f"{number(-PAIRED_CUT_DB)} dB and Q {number(float(q[0]))} between them takes "
        f"{number(-off_db, 2)} dB off each. They need two, or a wider one."
    )


def _pairs(rings: tuple[Ring, ...]) -> Iterator[tuple[float, float]]:
    strong = [one for one in rings if one.margin_db <= rings[0].margin_db + CLOSE_DB]
    for at, one in enumerate(strong):
        for other in strong[:at]:
            low, high = sorted((one.frequency_hz, other.frequency_hz))
            if low > 0 and math.log2(high / low) <= CLOSE_OCTAVES:
                yield low, high


def _of_the_notches(plan: NotchPlan, ask: NotchAsk) -> Iterator[str]:
    bought, first = plan.margin_after_db - plan.margin_before_db, plan.notches[0]
    costs = f"{number(plan.costs_db)} dB of pink noise"
    if len(plan.notches) > 1:
        yield f"{len(plan.notches)} notches buy {number(bought)} dB and cost {costs}."
    else:
        yield f"One notch buys {number(bought)} dB and costs {costs}."
    if first.adds_db < LITTLE_DB:
        yield (
            f"The first notch alone buys only {number(first.adds_db)} dB: the next ring lies right "
            "behind. Half the distance from mouth to microphone buys 6 dB."
        )
    if len(plan.notches) < ask.placed:
        yield f"More than {len(plan.notches)} would buy nothing that counts."
    lost = plan.margin_after_db - plan.drifted_db
    if lost > 0.5 * bought:
        yield (
            f"When the room warms or cools by 5 °C the rings move, and {number(lost)} dB of it are "
            "lost: narrow notches suit one temperature."
        )
    several = [one for one in plan.notches if len(one.rings_hz) > 1]
    for one in several[:3]:
        names = joined(hz_words(hz) for hz in one.rings_hz)
        yield f"The notch at {hz_words(one.filter.frequency_hz)} lies on {names} together."
