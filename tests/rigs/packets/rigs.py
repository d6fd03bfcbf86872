"""Events with a rig, for the tests of packets."""

from typing import Any

from rigs.catalogue.models import Cable
from rigs.events.models import Event, KitRow
from rigs.packets.actions import request_packet
from rigs.packets.models import Packet
from rigs.packets.tasks import build
from tests import factories


def event_with_rig(lines: int = 2, **fields: Any) -> Event:
    """An event with so many drive lines of one box each, an area and a kit row."""
    event = factories.event(**fields)
    factories.area(space=event.space, name="Floor")
    box, amplifier = factories.loudspeaker(mass_kg=31.0), factories.amplifier()
    cable, processor = factories.cable(), factories.processor()
    where = factories.processor_place(event, processor, name="Processor")
    for n in range(lines):
        factories.line(
            event,
            factories.placement(event, box, name=f"Top {n + 1}", x_m=n * 0.5),
            amp=factories.amplifier_place(event, amplifier, name=f"Amp {n + 1}"),
            run=cable,
            name=f"Line {n + 1}",
            processor_place=where,
            output=n + 1 if n < 6 else None,
        )
    KitRow.objects.create(event=event, item=box, quantity=lines, place="line")
    KitRow.objects.create(event=event, item=cable, quantity=lines, place="line")
    return event


def made_packet(event: Event) -> Packet:
    """Ask for the event's packet and build it here, without a worker."""
    packet = request_packet(event, None)
    build(packet.run_id)
    packet.refresh_from_db()
    return packet


def thicker_cable(event: Event) -> Cable:
    """Change the rig: the first line gets another cable."""
    link = event.drivelines.order_by("name").first().links.get()
    link.cable = factories.cable(area_mm2=4.0)
    link.save()
    return link.cable
