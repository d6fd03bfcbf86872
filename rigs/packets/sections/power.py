"""Mains: cautions first, then the supplies phase by phase, the racks, and switching on."""

from collections.abc import Iterable, Sequence

from rigs.packets.compute import (
    ELECTRICITY,
    HEAT,
    AmplifierDraw,
    FeedResult,
    Finding,
    Prediction,
    SupplyResult,
    SystemDescription,
)
from rigs.packets.sections.blocks import (
    Json,
    card,
    cards_worst_first,
    cautions,
    checklist,
    quantity,
    table,
)
from rigs.packets.sections.phases import feeds_table, supply_facts, supply_table
from rigs.systems.describe import MAINS_CHECKS


def power_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    if not (system.amplifier_places or system.supplies):
        return []
    return [
        *cautions(prediction, ELECTRICITY, HEAT),
        *cards_worst_first(_cards(system, prediction)),
        *([feeds_table(prediction.feeds)] if prediction.feeds else []),
        *([_currents(prediction.draws)] if prediction.draws else []),
        *(
            [checklist("Switch on in this order", prediction.start_order, ordered=True)]
            if prediction.start_order
            else []
        ),
    ]


def _cards(system: SystemDescription, prediction: Prediction) -> list[Json]:
    """One card for each supply and circuit, and for each rack whose cable does not hold."""
    found = [finding for finding in prediction.findings if finding.check in MAINS_CHECKS]
    supplies = {supply.name: supply for supply in prediction.supplies}
    circuits = {circuit.name for circuit in system.circuits}
    cards = []
    for name in dict.fromkeys([*(finding.subject for finding in found), *supplies]):
        about = [finding for finding in found if finding.subject == name]
        if name in supplies:
            cards.append(_supply(supplies[name], about, prediction.feeds))
        elif not all(one.check == "volt_drop" and one.state == "holds" for one in about):
            kind = "Circuit" if name in circuits else _kind(about)
            cards.append(card(f"supply:{name}", name[:1].upper() + name[1:], kind, about))
    return cards


def _kind(about: Sequence[Finding]) -> str:
    return "Rack" if any(finding.check == "volt_drop" for finding in about) else "Mains"


def _supply(supply: SupplyResult, about: Sequence[Finding], feeds: Iterable[FeedResult]) -> Json:
    """A supply with its phase table, where something is plugged into it."""
    return card(
        f"supply:{supply.name}",
        supply.name[:1].upper() + supply.name[1:],
        "Supply" if about else "Supply, nothing plugged in",
        about,
        facts=supply_facts(supply, feeds) if about else (),
        rows=supply_table(supply, feeds) if about else None,
    )


def _currents(draws: Iterable[AmplifierDraw]) -> Json:
    return table(
        "Mains current of each amplifier",
        ("Amplifier", "Rack", "#Idle", "#At 1/8 power", "#At 1/3 power", "#Inrush"),
        [
            (
                draw.place,
                draw.rack,
                quantity(draw.idle_a, "A"),
                quantity(draw.eighth_power_a, "A"),
                quantity(draw.third_power_a, "A"),
                quantity(draw.inrush_a, "A"),
            )
            for draw in draws
        ],
    )
