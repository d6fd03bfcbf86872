"""Kit lists: what the rig needs and what goes along, all promised as people would do it."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from rigs.catalogue.models import End, Item, Kind, Loudspeaker
from rigs.demo.data.cables import AMP_LEAD, SMALL_LEAD, signal
from rigs.demo.data.connectors import C13, C19, XLR
from rigs.demo.shapes import EventPlan
from rigs.events.actions import put_on_kit
from rigs.events.models import Event, KitRow
from rigs.events.queries import free_counts
from rigs.events.refusals import Promised
from rigs.systems import queries
from rigs.systems.unfinished import cables_needed

Place = KitRow.Place
LEADS = {C19: AMP_LEAD, C13: SMALL_LEAD, XLR: signal(5)}


@dataclass
class Wish:
    """Pieces of one item at one place of the kit list, some of them by serial."""

    quantity: int = 0
    serials: list[str] = field(default_factory=list)


def fill_kit(event: Event, plan: EventPlan, items: dict[str, Item]) -> None:
    """Promise everything; what a short event can't have is left out and noted on the event."""
    refusals = []
    for (item, place), wish in _wishes(event, plan, items):
        try:
            put_on_kit(event, item, wish.quantity, place=place, serials=wish.serials)
        except Promised as refused:
            if not plan.may_be_short:
                raise
            refusals.append(str(refused))
            free = free_counts(event, [item])[item.pk]
            if free:
                put_on_kit(event, item, free, place=place, wanted=wish.quantity)
    if refusals:
        event.notes = "\n".join([event.notes, *refusals])
        event.save(update_fields=["notes"])


def _wishes(
    event: Event, plan: EventPlan, items: dict[str, Item]
) -> list[tuple[tuple[Item, Place], Wish]]:
    """One wish for each item and place, in the order of the list."""
    wishes: dict[tuple[Item, Place], Wish] = defaultdict(Wish)
    for item, serial in _of_rig(event):
        wish = wishes[item, place_of(item)]
        wish.quantity += 1
        wish.serials += [serial] if serial else []
    for item, quantity in cables_needed(queries.rig(event.pk)).items():
        wishes[item, Place.LINE].quantity += quantity
    for model, quantity in plan.kit.items():
        wishes[items[model], place_of(items[model])].quantity += quantity
    for model, quantity in _leads(wishes).items() if plan.wired else ():
        wishes[items[model], Place.LINE].quantity += quantity
    for model, quantity in plan.spares.items():
        wishes[items[model], Place.SPARE].quantity += quantity
    return list(wishes.items())


def _of_rig(event: Event) -> Iterator[tuple[Item, str]]:
    """Each box, amplifier and processor with the serial of its unit, if one is chosen."""
    for box in event.placements.select_related("loudspeaker", "unit"):
        yield box.loudspeaker, str(box.unit or "")
    for amplifier in event.amplifierplaces.select_related("amplifier", "unit"):
        yield amplifier.amplifier, str(amplifier.unit or "")
    for processor in event.processorplaces.select_related("processor", "unit"):
        yield processor.processor, str(processor.unit or "")


def _leads(wishes: dict[tuple[Item, Place], Wish]) -> Counter[str]:
    """A mains lead for every inlet and a short signal cable for every input, by model."""
    quantities = Counter[int]()
    for (item, _), wish in wishes.items():
        quantities[item.pk] += 0 if item.kind == Kind.CABLE else wish.quantity
    leads = Counter[str]()
    ends = End.objects.filter(item__in=quantities, side="takes", connector__name__in=LEADS)
    for end in ends.select_related("connector"):
        leads[LEADS[end.connector.name]] += end.count * quantities[end.item_id]
    return +leads


def place_of(item: Item) -> Place:
    """Where on the list a piece of the item stands."""
    if item.kind in ("amplifier", "processor"):
        return Place.RACK
    on_stage = isinstance(item, Loudspeaker) and item.role == Loudspeaker.Role.MONITOR
    return Place.STAGE if on_stage or item.kind in ("accessory", "mixer") else Place.LINE
