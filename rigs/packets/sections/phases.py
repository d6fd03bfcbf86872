"""The phase table of a supply and the mains cables to the racks."""

from collections.abc import Iterable

from rigs.packets.compute import FeedResult, PhaseResult, SupplyResult
from rigs.packets.sections.blocks import UNKNOWN, Json, number, quantity, table


def phase_name(phase: int | None) -> str:
    """L1 to L3."""
    return UNKNOWN if phase is None else f"L{phase}"


def supply_table(supply: SupplyResult, feeds: Iterable[FeedResult]) -> Json:
    """A rack that nobody has plugged yet stands where the plan wants it, and is said to."""
    plugged = {feed.rack for feed in feeds if feed.given} if len(supply.phases) > 1 else None
    return table(
        "",
        ("Phase", "Racks", "#Idle", "#At 1/8 power", "#At 1/3 power", "#Usable", "#In use"),
        [
            (
                phase_name(phase.phase),
                ", ".join(_rack(name, plugged) for name in phase.racks) or "nothing",
                quantity(phase.idle_a, "A"),
                quantity(phase.eighth_power_a, "A"),
                quantity(phase.third_power_a, "A"),
                quantity(phase.usable_a, "A"),
                _share(phase),
            )
            for phase in supply.phases
        ],
    )


def _rack(name: str, plugged: set[str] | None) -> str:
    return name if plugged is None or name in plugged else f"{name} (planned)"


def _share(phase: PhaseResult) -> str:
    """The current at 1/8 power against what may be used all the time."""
    if phase.eighth_power_a is None or not phase.usable_a:
        return UNKNOWN
    return f"{100 * phase.eighth_power_a / phase.usable_a:.0f} %"


def supply_facts(supply: SupplyResult, feeds: Iterable[FeedResult]) -> list[tuple[str, str]]:
    """Neutral, and the best plugging where it is not the one that is plugged."""
    if len(supply.phases) == 1:
        return []
    return [
        ("Neutral, at most, at 1/8 power", quantity(_neutral(supply), "A")),
        ("Neutral by the vector sum", quantity(supply.neutral_a, "A")),
        ("Best plugging", _plan(supply, feeds)),
    ]


def _neutral(supply: SupplyResult) -> float | None:
    """The larger of the two sums: which one it is depends on the amplifiers' power supplies."""
    sums = (supply.neutral_a, supply.neutral_rectifier_a)
    known = [value for value in sums if value is not None]
    return max(known) if len(known) == len(sums) else None


def _plan(supply: SupplyResult, feeds: Iterable[FeedResult]) -> str:
    if supply.best_highest_a is None or not supply.best_plan:
        return ""
    plugged = {feed.rack: feed.phase for feed in feeds if feed.given}
    best = f"{quantity(supply.best_highest_a, 'A')} on the fullest phase"
    if all(plugged.get(planned.rack) == planned.phase for planned in supply.best_plan):
        return f"as it is plugged: {best}"
    rule = "" if supply.exact else ", found by a rule of thumb"
    where = "; ".join(
        f"{phase_name(phase)}: {', '.join(p.rack for p in supply.best_plan if p.phase == phase)}"
        for phase in sorted({planned.phase for planned in supply.best_plan})
    )
    return f"{where} ({best}{rule})"


def feeds_table(feeds: Iterable[FeedResult]) -> Json:
    return table(
        "Mains cable to each rack",
        ("Rack", "Supply", "Phase", "#At 1/8 power", "#Voltage drop"),
        [
            (
                feed.rack,
                f"{feed.supply}, {feed.circuit}" if feed.circuit else feed.supply,
                phase_name(feed.phase) + ("" if feed.given else ", planned"),
                quantity(feed.eighth_power_a, "A"),
                _drop(feed),
            )
            for feed in feeds
        ],
    )


def _drop(feed: FeedResult) -> str:
    words = quantity(feed.drop_v, "V")
    if feed.drop_share is None:
        return words
    return f"{words}, {number(100 * feed.drop_share)} %"
