"""Mains: cautions first, then the supply, the currents, and the order of switching on."""

from collections import defaultdict
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
)


def power_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    if not (system.amplifier_places or system.supplies):
        return []
    return [
        *cautions(prediction, ELECTRICITY, HEAT),
        *_supplies(prediction),
        *([_currents(prediction.draws)] if prediction.draws else []),
        *(
            [checklist("Switch on in this order", prediction.start_order, ordered=True)]
            if prediction.start_order
            else []
        ),
    ]


def _supplies(prediction: Prediction) -> list[Json]:
    by_subject = defaultdict(list)
    for finding in prediction.findings:
        if finding.check == "supply":
            by_subject[finding.subject].append(finding)
    return cards_worst_first(
        [
            card(f"supply:{name}", name[:1].upper() + name[1:], "Mains", findings)
            for name, findings in by_subject.items()
        ]
    )


def _currents(draws: Iterable[AmplifierDraw]) -> Json:
    return table(
        "Mains current of each amplifier",
        ("Amplifier", "Rack", "#Idle", "#At 1/8 power", "#Inrush"),
        [
            (
                draw.place,
                draw.rack,
                quantity(draw.idle_a, "A"),
                quantity(draw.eighth_power_a, "A"),
                quantity(draw.inrush_a, "A"),
            )
            for draw in draws
        ],
    )
