"""Mains: cautions first, then the supplies phase by phase, the racks, and switching on."""

from collections.abc import Iterable

from rigs.packets.compute import ELECTRICITY, HEAT, AmplifierDraw, Prediction, SystemDescription
from rigs.packets.sections.blocks import (
    Json,
    card,
    cards_worst_first,
    cautions,
    checklist,
    quantity,
    table,
    text,
)
from rigs.packets.sections.phases import feeds_table, supply_facts, supply_table
from rigs.systems.describe import MAINS_CHECKS

LAST_WORD = (
    "A competent electrician and the local code have the last word on everything here. Never "
    "lift an earth: not against hum, not for one song."
)


def power_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    if not (system.amplifier_places or system.supplies):
        return []
    return [
        *cautions(prediction, ELECTRICITY, HEAT),
        text(LAST_WORD),
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
    """One card for each supply, circuit and rack that a finding speaks of."""
    found = [finding for finding in prediction.findings if finding.check in MAINS_CHECKS]
    supplies = {supply.name: supply for supply in prediction.supplies}
    circuits = {circuit.name for circuit in system.circuits}
    cards = []
    for name in dict.fromkeys([*(f.subject for f in found), *supplies]):
        about = [finding for finding in found if finding.subject == name]
        supply = supplies.get(name)
        if supply:
            kind = "Supply"
        elif name in circuits:
            kind = "Circuit"
        else:
            kind = "Rack" if any(f.check == "volt_drop" for f in about) else "Mains"
        cards.append(
            card(
                f"supply:{name}",
                name[:1].upper() + name[1:],
                kind,
                about,
                facts=supply_facts(supply, prediction.feeds) if supply else (),
                rows=supply_table(supply, prediction.feeds) if supply else None,
                figure=None if about else "nothing plugged in",
            )
        )
    return cards


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
