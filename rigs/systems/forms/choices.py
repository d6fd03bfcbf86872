"""What a drive line's rows can choose from, read once for all rows."""

from dataclasses import dataclass, field
from typing import Any

from rigs.catalogue.models import Cable, Way
from rigs.events.models import Event
from rigs.systems import queries
from rigs.systems.models import DriveLine, Placement

Choice = tuple[str, Any]


@dataclass(frozen=True, slots=True)
class LineChoices:
    """Select options, and what their values stand for."""

    boxes: list[Choice]
    cables: list[Choice]
    box_of: dict[str, tuple[Placement, Way]] = field(default_factory=dict)
    cable_of: dict[str, Cable] = field(default_factory=dict)

    @classmethod
    def of(cls, event: Event, line: DriveLine) -> "LineChoices":
        """Every way of every box of the event, and every loudspeaker cable."""
        made = cls([("", "Choose a box")], [("", "not stated yet")])
        driven = queries.driven_ways(event)
        for box in queries.boxes_with_ways(event):
            for way in box.loudspeaker.ways.all():
                value = f"{box.pk}:{way.pk}"
                other = driven.get((box.pk, way.pk))
                taken = f" (on {other})" if other is not None and other.pk != line.pk else ""
                made.boxes.append((value, f"{box}, {way}{taken}"))
                made.box_of[value] = (box, way)
        made._add_cables(event)
        return made

    def _add_cables(self, event: Event) -> None:
        on_kit = queries.kit_item_ids(event)
        groups: dict[str, list[Choice]] = {"On the kit list": [], "Elsewhere in stock": []}
        for cable in queries.loudspeaker_cables():
            group = "On the kit list" if cable.pk in on_kit else "Elsewhere in stock"
            groups[group].append((str(cable.pk), cable_words(cable)))
            self.cable_of[str(cable.pk)] = cable
        self.cables.extend((name, choices) for name, choices in groups.items() if choices)


def cable_words(cable: Cable) -> str:
    """A cable with the figures that matter to the line."""
    length = f"{cable.length_m:g} m" if cable.length_m else "length unknown"
    area = f"{cable.area_mm2:g} mm²" if cable.area_mm2 else "area unknown"
    return f"{cable}, {length}, {area}"
