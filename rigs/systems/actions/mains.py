"""Changes to the mains feeds, and to what bears loads."""

from rigs.events.models import Event
from rigs.people.models import Person
from rigs.systems import queries
from rigs.systems.actions.base import changing, remove, save
from rigs.systems.faults import NotSaved, faults_of, refuse
from rigs.systems.models import ExtraLoad, RackFeed, Support
from venues.models import Supply


def save_feed(feed: RackFeed, seen: int | None, person: Person | None) -> RackFeed:
    """Save the mains cable of a rack, or of an amplifier by itself."""
    with changing(feed):
        if feed.circuit and feed.phase is None:
            feed.phase = feed.circuit.phase
        faults = faults_of(feed)
        racks = queries.rack_names(feed.event)
        if feed.rack and feed.rack not in racks:
            faults.setdefault("rack", []).append(f"There is no rack {feed.rack} in this rig.")
        if feed.amplifier_place and feed.amplifier_place.event_id != feed.event_id:
            faults["amplifier_place"] = ["This amplifier belongs to another event."]
        refuse(faults)
        save(feed, seen, person)
    return feed


def remove_feed(feed: RackFeed, seen: int) -> None:
    """Forget a mains cable."""
    remove(feed, seen)


def take_plan(
    event: Event, supply: Supply, plan: dict[str, int], person: Person | None
) -> list[RackFeed]:
    """Plug racks (and amplifiers by themselves) of one supply as a plan says, all or none.

    `plan` gives the phase by the rack's or the amplifier place's name. Cables stay as they are.
    """
    racks = queries.rack_names(event)
    alone = {str(place): place for place in queries.amplifiers_in_no_rack(event)}
    stored = {feed.load: feed for feed in queries.feeds(event)}
    feeds = []
    for load, phase in sorted(plan.items()):
        feed = stored.get(load) or RackFeed(event=event)
        if feed.pk is None and load in racks:
            feed.rack = load
        elif feed.pk is None:
            feed.amplifier_place = alone.get(load)
        feed.supply, feed.phase = supply, phase
        if feed.circuit and (
            feed.circuit.supply_id != supply.pk or feed.circuit.phase not in (None, phase)
        ):
            feed.circuit = None  # that socket hangs elsewhere: somebody must choose another
        feeds.append(feed)
    with changing(RackFeed(event=event)):
        for feed in feeds:
            refuse(faults_of(feed))
            save(feed, feed.version if feed.pk else None, person)
    return feeds


def save_support(support: Support, seen: int | None, person: Person | None) -> Support:
    """Save something that bears loads."""
    with changing(support):
        refuse(faults_of(support))
        save(support, seen, person)
    return support


def remove_support(support: Support, seen: int) -> None:
    """Forget a support; its boxes stay in the rig and hang on nothing."""
    remove(support, seen)


def save_load(load: ExtraLoad, seen: int | None, person: Person | None) -> ExtraLoad:
    """Save an extra load on a support."""
    with changing(load):
        faults = faults_of(load)
        if not faults and load.support.event_id != load.event_id:
            raise NotSaved({"support": ["This support belongs to another event."]})
        refuse(faults)
        save(load, seen, person)
    return load


def remove_load(load: ExtraLoad, seen: int) -> None:
    """Take an extra load off."""
    remove(load, seen)
