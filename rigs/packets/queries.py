"""Named reads of packets and ticks, each in a constant number of queries."""

from dataclasses import dataclass, field

from django.db.models import QuerySet
from django.db.models.fields.json import KeyTextTransform

from rigs.events.models import Event
from rigs.packets.models import Packet, Tick

HEAVY = ("sections", "pictures", "kit", "run__description", "run__prediction")
"""Fields that only the one packet that is shown needs."""


TICK_FIELDS = ("card", "mark", "said", "at", "person", "packet__number")


@dataclass
class Ticks:
    """Ticks of this version and of earlier ones by card; of these the latest of each card."""

    now: dict[str, Tick] = field(default_factory=dict)
    earlier: dict[str, Tick] = field(default_factory=dict)

    def same(self, card: str, mark: str) -> Tick | None:
        """Who saw last in an earlier version what the card says now."""
        tick = self.earlier.get(card)
        return tick if tick and mark and tick.mark == mark else None

    def other(self, card: str, mark: str) -> Tick | None:
        """Who saw last in an earlier version something else than the card says now."""
        tick = self.earlier.get(card)
        return tick if tick and tick.mark != mark else None


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
    """One packet with its run and its event's place; its contents are read when asked for."""
    return (
        Packet.objects.select_related("run", "asked_by", "event__space__venue")
        .defer("kit", "sections", "pictures", "run__description", "run__prediction")
        .filter(pk=packet_id)
        .first()
    )


def ticks_of(packet: Packet) -> Ticks:
    """What was seen on site: as this version says it, and as earlier ones did."""
    up_to_now = Tick.objects.filter(
        packet__event=packet.event_id, packet__number__lte=packet.number
    )
    rows = up_to_now.select_related("person", "packet").order_by("packet__number")
    found = Ticks()
    for tick in rows.only(*TICK_FIELDS):
        if tick.packet_id == packet.pk:
            found.now[tick.card] = tick
        elif tick.mark:
            found.earlier[tick.card] = tick
    return found


def picture_of(packet_id: int, key: str) -> str | None:
    """A drawing of a packet as SVG text."""
    drawn = Packet.objects.filter(pk=packet_id).values_list(KeyTextTransform(key, "pictures"))
    return drawn[0][0] if drawn else None
