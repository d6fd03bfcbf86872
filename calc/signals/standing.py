"""Where to stand with a measuring microphone, from where the boxes stand: what a spot will show."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calc.acoustics.air import speed_of_sound
from calc.acoustics.geometry import inside_polygon
from calc.system import ListeningSpot, Placement, SystemDescription
from calc.words import number

STACK_M = 1.5
"""m in plan: boxes this close stand in one stack."""

CENTRE_M = 1.0
"""m from the middle between two stacks: closer, both arrive as one. Own choice."""

USUAL_M = (7.0, 8.0)
NEAR_M, FAR_M = 5.0, 10.0
"""m from the nearest stack: usual, and worth a word beyond. Common practice, no source."""

FLOOR_M = 0.1
"""m above the floor: a microphone this low has no floor bounce below about 850 Hz anywhere."""

AUDIBLE_HZ = 20_000.0
FEW = 3
CUSTOM = "(common practice, no source)"


@dataclass(frozen=True, slots=True)
class Stack:
    """Boxes that stand together; the highest one speaks for them."""

    name: str
    sheet: str
    x_m: float
    y_m: float
    z_m: float
    azimuth_deg: float


@dataclass(frozen=True, slots=True)
class SpotAdvice:
    """What the geometry says of one spot. `null_hz` is the floor bounce's, None without one."""

    spot: str
    stack: str
    distance_m: float | None
    null_hz: float | None
    central: bool
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProposedSpot:
    """A place to measure at that no spot covers yet, and why."""

    kind: str
    x_m: float
    y_m: float
    z_m: float
    why: str


def floor_bounce_hz(
    source_m: float, microphone_m: float, distance_m: float, speed_m_s: float
) -> float | None:
    """First frequency at which the sound by way of a hard floor cancels the direct sound.

    Half a wavelength is the difference between both ways; heights are above the floor, the
    distance is along it. None where it lies above 20 kHz.
    """
    direct = math.hypot(distance_m, source_m - microphone_m)
    longer = math.hypot(distance_m, source_m + microphone_m) - direct
    if longer <= speed_m_s / 2 / AUDIBLE_HZ:
        return None
    return speed_m_s / 2 / longer


def stacks_of(placements: Sequence[Placement]) -> tuple[Stack, ...]:
    """The stacks of a rig that face the audience, from left to right."""
    groups: list[list[Placement]] = []
    ahead = [box for box in placements if math.cos(math.radians(box.azimuth_deg)) > 0]
    for box in sorted(ahead, key=lambda each: -each.z_m):
        for group in groups:
            if math.hypot(group[0].x_m - box.x_m, group[0].y_m - box.y_m) <= STACK_M:
                group.append(box)
                break
        else:
            groups.append([box])
    tops = [group[0] for group in groups]
    found = (Stack(b.name, b.sheet, b.x_m, b.y_m, b.z_m, b.azimuth_deg) for b in tops)
    return tuple(sorted(found, key=lambda stack: (stack.x_m, stack.y_m)))


def mirrored(stacks: Sequence[Stack]) -> tuple[Stack, Stack] | None:
    """Two stacks of one kind beside each other: next to the stage, and furthest apart there."""
    pairs = [
        (a, b)
        for n, a in enumerate(stacks)
        for b in stacks[n + 1 :]
        if a.sheet == b.sheet and abs(a.y_m - b.y_m) <= STACK_M and b.x_m - a.x_m > 2 * STACK_M
    ]
    return min(
        pairs, key=lambda pair: (round(pair[0].y_m), pair[0].x_m - pair[1].x_m), default=None
    )


def advice(system: SystemDescription) -> tuple[SpotAdvice, ...]:
    """What to expect at each spot of a rig, in their order."""
    stacks = stacks_of(system.placements)
    return tuple(_of_spot(spot, stacks, system) for spot in system.spots)


def proposed(system: SystemDescription) -> tuple[ProposedSpot, ...]:
    """Spots that are still worth measuring at, in front of one stack."""
    stacks = stacks_of(system.placements)
    if not stacks:
        return ()
    pair = mirrored(stacks)
    stack = pair[0] if pair else stacks[0]
    away = sum(USUAL_M) / 2
    x = stack.x_m + away * math.sin(math.radians(stack.azimuth_deg))
    y = stack.y_m + away * math.cos(math.radians(stack.azimuth_deg))
    if pair and abs(x - _middle(pair)) < 2 * CENTRE_M:
        x = stack.x_m
    x, y = round(x, 1), round(y, 1)
    floor = floor_m(system, x, y)
    found = []
    if not any(_free(each, system) for each in advice(system)):
        why = (
            f"{away:g} m in front of {stack.name} and off the middle, as high as ears are: box "
            f"and room both count there {CUSTOM}."
        )
        found.append(ProposedSpot("standing", x, y, floor + 1.6, why))
    if not any(spot.kind == "on the floor" for spot in system.spots):
        why = (
            f"Flat on the floor in front of {stack.name}: nothing bounces off the floor there, so "
            f"that low and middle frequencies show the box and the room alone {CUSTOM}."
        )
        found.append(ProposedSpot("on the floor", x, y, floor, why))
    return tuple(found)


def _free(found: SpotAdvice, system: SystemDescription) -> bool:
    kind = next(spot.kind for spot in system.spots if spot.name == found.spot)
    distance = found.distance_m
    near = distance is not None and NEAR_M <= distance <= FAR_M
    return near and not found.central and kind != "on the floor"


def floor_m(system: SystemDescription, x_m: float, y_m: float) -> float:
    """How high the floor lies: that of a level audience area that holds the place, else 0."""
    for area in system.areas:
        inside = inside_polygon(area.corners, np.array([x_m]), np.array([y_m]))
        if area.rake_deg == 0 and inside.any():
            return area.floor_z_m
    return 0.0


def _faces(stack: Stack, spot: ListeningSpot) -> bool:
    turn = math.radians(stack.azimuth_deg)
    ahead = (spot.x_m - stack.x_m) * math.sin(turn) + (spot.y_m - stack.y_m) * math.cos(turn)
    return ahead > 0


def _middle(pair: tuple[Stack, Stack]) -> float:
    return (pair[0].x_m + pair[1].x_m) / 2


def _of_spot(spot: ListeningSpot, stacks: Sequence[Stack], system: SystemDescription) -> SpotAdvice:
    facing = [stack for stack in stacks if _faces(stack, spot)]
    if not facing:
        why = "No box faces this spot: what it will show is unknown."
        return SpotAdvice(spot.name, "", None, None, False, (why,))
    stack = min(facing, key=lambda each: math.hypot(each.x_m - spot.x_m, each.y_m - spot.y_m))
    distance = math.hypot(stack.x_m - spot.x_m, stack.y_m - spot.y_m)
    speed = speed_of_sound(system.surroundings.temperature_c)
    floor = floor_m(system, spot.x_m, spot.y_m)
    said, null = _floor_words(spot, stack, distance, floor, speed)
    central = _central_words(spot, facing, speed)
    away = _distance_words(spot, stack, distance)
    return SpotAdvice(
        spot.name, stack.name, distance, null, bool(central), (*central, *said, *away)
    )


def _floor_words(
    spot: ListeningSpot, stack: Stack, distance: float, floor: float, speed: float
) -> tuple[tuple[str, ...], float | None]:
    high = spot.z_m - floor
    if spot.kind == "on the floor":
        if high <= FLOOR_M:
            return ((f"On the floor nothing bounces off the floor {CUSTOM}.",), None)
        return (
            (
                f"It is said to be on the floor and stands {number(high)} m above it: lay the "
                "microphone down, or change its kind.",
            ),
            floor_bounce_hz(stack.z_m - floor, high, distance, speed),
        )
    null = floor_bounce_hz(stack.z_m - floor, high, distance, speed)
    if null is None:
        return (), None
    return (
        (
            f"Expect a hole near {null:.0f} Hz from the floor: box {number(stack.z_m - floor)} m "
            f"and microphone {number(high)} m high, {number(distance)} m apart. It moves with "
            "every height, so leave it alone; a spot on the floor tells it from the room's.",
        ),
        null,
    )


def _central_words(spot: ListeningSpot, stacks: Sequence[Stack], speed: float) -> tuple[str, ...]:
    pair = mirrored(stacks)
    if pair is None or abs(spot.x_m - _middle(pair)) > CENTRE_M:
        return ()
    left, right = pair
    ways = [math.dist((s.x_m, s.y_m, s.z_m), (spot.x_m, spot.y_m, spot.z_m)) for s in (left, right)]
    apart = abs(ways[0] - ways[1])
    first = f", here from {speed / 2 / apart:.0f} Hz up" if apart > 0.01 else ""
    return (
        f"It stands {number(abs(spot.x_m - _middle(pair)))} m off the middle between {left.name} "
        f"and {right.name}. With both playing they cancel each other at places that move with "
        f"every step{first}: no filter mends that {CUSTOM}. Play one of them alone, or stand "
        f"{number(2 * CENTRE_M)} m to the side.",
    )


def _distance_words(spot: ListeningSpot, stack: Stack, distance: float) -> tuple[str, ...]:
    if NEAR_M <= distance <= FAR_M:
        return ()
    rules = "one box rules" if distance < NEAR_M else "the room rules"
    return (
        f"{number(distance)} m from {stack.name}, {rules}. {USUAL_M[0]:g} to {USUAL_M[1]:g} m is "
        f"usual {CUSTOM}.",
    )
