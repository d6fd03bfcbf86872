"""What else would do in place of an item: same job, at least as good. Unknown is never as good."""

from dataclasses import dataclass
from math import log10

from django.db.models import QuerySet

from rigs.catalogue.models import Amplifier, Cable, End, Item, Kind, Loudspeaker, Way

CLOSE_DB = 6.0  # further apart than half the level is no stand-in for a loudspeaker


@dataclass(frozen=True)
class StandIn:
    """An item that would do, and in what way."""

    item: Item
    why: str


def stand_ins(item: Item) -> list[StandIn]:
    """What else would do, closest first; nothing for processors and accessories."""
    if item.kind == Kind.LOUDSPEAKER:
        return _loudspeakers(item)
    if item.kind == Kind.AMPLIFIER:
        return _amplifiers(item)
    if item.kind == Kind.CABLE:
        return _cables(item)
    return []


def _loudspeakers(item: Item) -> list[StandIn]:
    wanted = Loudspeaker.objects.prefetch_related("ways").get(pk=item.pk)
    level = _mean_level(list(wanted.ways.all()))
    others = Loudspeaker.objects.filter(role=wanted.role).exclude(pk=item.pk)
    found = []
    for other in others.prefetch_related("ways"):
        other_level = _mean_level(list(other.ways.all()))
        if level is None or other_level is None or len(other.ways.all()) != len(wanted.ways.all()):
            continue
        apart = other_level - level
        if abs(apart) <= CLOSE_DB:
            louder = "louder" if apart > 0 else "quieter"
            differs = "as loud" if abs(apart) < 0.5 else f"{abs(apart):.0f} dB {louder}"
            found.append((abs(apart), StandIn(other, f"same role, {differs}")))
    return [stand_in for _, stand_in in sorted(found, key=lambda pair: pair[0])]


def _mean_level(ways: list[Way]) -> float | None:
    """Mean over the ways of the level at 1 m from the rated noise power, in dB."""
    levels = []
    for way in ways:
        if way.sensitivity_db is None or not way.noise_power_w:
            return None
        level = way.sensitivity_db + 10 * log10(way.noise_power_w)
        if way.sensitivity_basis == Way.SensitivityBasis.VOLTS:
            if not way.rated_impedance_ohm:
                return None
            level -= 10 * log10(8 / way.rated_impedance_ohm)  # 2.83 V is 1 W at 8 ohm only
        levels.append(level)
    return sum(levels) / len(levels) if levels else None


def _amplifiers(item: Item) -> list[StandIn]:
    amplifiers = Amplifier.objects.prefetch_related("ratings", "modes")
    wanted = amplifiers.get(pk=item.pk)
    others = amplifiers.filter(channels__gte=wanted.channels).exclude(pk=item.pk)
    found = []
    for other in others:
        excess = _power_over(other, wanted)
        if excess is not None and _drives_as_low(other, wanted):
            more = other.channels - wanted.channels
            width = f"{other.channels} channels" if more else "as many channels"
            found.append((more, excess, StandIn(other, f"{width}, its ratings cover")))
    return [stand_in for *_, stand_in in sorted(found, key=lambda each: each[:2])]


def _power_over(other: Amplifier, wanted: Amplifier) -> float | None:
    """Largest ratio of powers, or None where a rating of `wanted` is unknown or not covered."""
    has = {(r.mode, r.load_ohm): r.power_w for r in other.ratings.all()}
    ratios = []
    for rating in wanted.ratings.all():
        power = has.get((rating.mode, rating.load_ohm))
        if not power or not rating.power_w or power < rating.power_w:
            return None
        ratios.append(power / rating.power_w)
    return max(ratios, default=None)


def _drives_as_low(other: Amplifier, wanted: Amplifier) -> bool:
    has = {m.mode: m for m in other.modes.all()}
    for mode in wanted.modes.all():
        match = has.get(mode.mode)
        if match is None or match.minimum_kind != mode.minimum_kind:
            return False
        if not match.minimum_load_ohm or not mode.minimum_load_ohm:
            return False
        if match.minimum_load_ohm > mode.minimum_load_ohm:
            return False
    return True


def _cables(item: Item) -> list[StandIn]:
    cables: QuerySet[Cable] = Cable.objects.prefetch_related("ends")
    wanted = cables.get(pk=item.pk)
    if not wanted.length_m:
        return []
    others = cables.filter(
        use=wanted.use, pole_pairs__gte=wanted.pole_pairs, length_m__gte=wanted.length_m
    ).exclude(pk=item.pk)
    if wanted.area_mm2:
        others = others.filter(area_mm2__gte=wanted.area_mm2)
    ends = _ends_of(list(wanted.ends.all()))
    fitting = [
        c for c in others.order_by("length_m", "area_mm2") if _ends_of(list(c.ends.all())) == ends
    ]
    return [StandIn(cable, f"same use and ends, {cable.length_m:g} m") for cable in fitting]


def _ends_of(ends: list[End]) -> frozenset[tuple[int, str, int]]:
    return frozenset((end.connector_id, end.side, end.count) for end in ends)
