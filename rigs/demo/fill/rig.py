"""The rig of one event: what stands where, driven by what."""

from collections import defaultdict
from typing import TypeVar

from rigs.catalogue.models import Amplifier, Cable, Item, Loudspeaker, Processor, Way
from rigs.demo.fill.catalogue import create_all
from rigs.demo.fill.power import fill_feeds, fill_mixer, fill_supports
from rigs.demo.shapes import Line, RigPlan, Run
from rigs.events.models import Event
from rigs.stock.models import Unit
from rigs.systems.models import AmplifierPlace, DriveLine, Link, Placement, ProcessorPlace

Sheet = TypeVar("Sheet", bound=Item)


class RigFiller:
    """Holds what every rig needs: items by model, ways by box, units by rack."""

    def __init__(self, items: dict[str, Item]) -> None:
        self.items = items
        self.ways: dict[tuple[int, str], Way] = {
            (way.loudspeaker_id, way.name): way for way in Way.objects.select_related("loudspeaker")
        }
        self.racks: dict[str, list[Unit]] = defaultdict(list)
        for unit in Unit.objects.filter(rack__isnull=False).select_related("item", "rack"):
            self.racks[str(unit.rack)].append(unit)
        for units in self.racks.values():
            units.sort(key=lambda unit: unit.rack_position or 0)

    def fill(self, event: Event, plan: RigPlan) -> None:
        """Write the whole rig."""
        supports = fill_supports(event, plan, self.items)
        boxes = {
            box.name: Placement(
                event=event, name=box.name, loudspeaker=self._item(Loudspeaker, box.model),
                x_m=box.x, y_m=box.y, z_m=box.z, azimuth_deg=box.azimuth, tilt_deg=box.tilt,
                support=supports.get(box.name),
            )
            for box in plan.boxes
        }  # fmt: skip
        create_all(Placement, boxes.values())
        amplifiers, processors = self._places(event, plan)
        create_all(AmplifierPlace, amplifiers.values())
        create_all(ProcessorPlace, processors.values())
        fill_mixer(event, plan, self.items)
        fill_feeds(event, plan, amplifiers, self.items)
        lines = [
            DriveLine(
                event=event, name=line.name, amplifier_place=amplifiers[line.amplifier],
                processor_place=processors[line.processor] if line.processor else None,
                output=line.output, first_channel=line.channel, mode=line.mode,
                level_control_db=line.level_db,
            )
            for line in plan.lines
        ]  # fmt: skip
        create_all(DriveLine, lines)
        links = [
            link
            for row, line in zip(lines, plan.lines, strict=True)
            for link in self._links(row, line, boxes)
        ]
        create_all(Link, links)

    def _places(
        self, event: Event, plan: RigPlan
    ) -> tuple[dict[str, AmplifierPlace], dict[str, ProcessorPlace]]:
        amplifiers, processors = {}, {}
        for rack in plan.racks:
            for unit in self.racks[rack]:
                if unit.item.kind == "processor":
                    name = f"{rack} control"
                    processors[name] = ProcessorPlace(
                        event=event, name=name, processor=unit.item.processor, unit=unit
                    )
                    continue
                name = f"{rack} amp {unit.rack_position}"
                amplifiers[name] = AmplifierPlace(
                    event=event, name=name, rack=rack, amplifier=unit.item.amplifier, unit=unit
                )
        for loose in plan.amplifiers:
            amplifiers[loose.name] = AmplifierPlace(
                event=event,
                name=loose.name,
                rack=loose.rack,
                amplifier=self._item(Amplifier, loose.model),
            )
        for name, model in plan.processors:
            processors[name] = ProcessorPlace(
                event=event, name=name, processor=self._item(Processor, model)
            )
        for name, gain_db in plan.gains_db.items():
            amplifiers[name].gain_db = gain_db
        return amplifiers, processors

    def _links(self, row: DriveLine, line: Line, boxes: dict[str, Placement]) -> list[Link]:
        links = []
        for order, name in enumerate(line.boxes, start=1):
            cable, pieces = line.run if order == 1 else self._further(line)
            box = boxes[name]
            links.append(
                Link(
                    line=row, order=order, placement=box,
                    way=self.ways[box.loudspeaker_id, line.way],
                    cable=self._item(Cable, cable), pieces=pieces, from_amplifier=order == 1,
                )
            )  # fmt: skip
        return links

    def _further(self, line: Line) -> Run:
        if line.link is None:
            raise ValueError(f"{line.name}: no cable from box to box")
        return line.link

    def _item(self, kind: type[Sheet], model: str) -> Sheet:
        """The catalogue's item of that model, which must be of that kind."""
        item = self.items[model]
        if not isinstance(item, kind):
            raise TypeError(f"{model} is no {kind.__name__}")
        return item
