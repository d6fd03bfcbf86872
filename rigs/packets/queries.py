"""Named reads of packets and ticks, each in a constant number of queries."""

from django.db.models import QuerySet
from django.db.models.fields.json import KeyTextTransform

from rigs.events.models import Event
from rigs.packets.models import Packet, Tick

HEAVY = ("sections", "pictures", "kit", "run__description", "run__prediction")
"""Fields that only the one packet that is shown needs."""


def event_with_place(event_id: int) -> Event | None:
    """An event with its space and venue."""
    return Event.objects.select_related("space__venue").filter(pk=event_id).first()


def packets_of(event: Event) -> QuerySet[Packet]:
    """All versions of an event's packet, newest first, without their contents."""
    return (
        Packet.objects.filter(event=event)
        .select_related("run", "asked_by")
        .defer(*HEAVY)
        .order_by("-number")
    )


def whole_packet(packet_id: int) -> Packet | None:
    """One packet with its contents, its run and its event's place."""
    return (
        Packet.objects.select_related("run", "asked_by", "event__space__venue")
        .defer("kit", "pictures", "run__description", "run__prediction")
        .filter(pk=packet_id)
        .first()
    )


def ticks_of(packet: Packet) -> dict[str, Tick]:
    """What was seen on site, by card."""
    ticks = Tick.objects.filter(packet=packet).select_related("person")
    return {tick.card: tick for tick in ticks}


def picture_of(packet_id: int, key: str) -> str | None:
    """A drawing of a packet as SVG text."""
    drawn = Packet.objects.filter(pk=packet_id).values_list(KeyTextTransform(key, "pictures"))
    return drawn[0][0] if drawn else None
