"""Events around a given day, with rigs, kit lists and packets asked for."""

from datetime import date

from rigs.catalogue.models import Item
from rigs.demo.clock import times_of
from rigs.demo.data.events import EVENTS
from rigs.demo.fill.kit import fill_kit
from rigs.demo.fill.processing import fill_processing
from rigs.demo.fill.rig import RigFiller
from rigs.demo.fill.ringing import fill_ring_out
from rigs.demo.fill.stage import fill_stage
from rigs.demo.shapes import EventPlan
from rigs.events.actions import plan_event
from rigs.events.models import Event
from rigs.packets.actions import request_packet
from rigs.people.models import Person
from venues.models import Space

PLANS = {plan.name: plan for plan in EVENTS}


def fill_events(
    today: date,
    items: dict[str, Item],
    spaces: dict[tuple[str, str], Space],
    planner: Person,
    tech: Person,
) -> list[Event]:
    """Write every event of the tables."""
    rigs = RigFiller(items)
    events = []
    for plan in EVENTS:
        event = _event(plan, today, spaces[plan.venue, plan.space], planner)
        if plan.rig:
            rigs.fill(event, plan.rig)
            fill_processing(event, plan.rig, tech)
            fill_stage(event, plan.rig, tech)
            fill_ring_out(event, tech)
        if plan.rig or plan.kit:
            fill_kit(event, plan, items)
        events.append(event)
    return events


def ask_for_packets(events: list[Event], person: Person) -> int:
    """Ask for the packets that the tables want; a worker builds them."""
    wanted = [event for event in events if PLANS[event.name].packet]
    for event in wanted:
        request_packet(event, person)
    return len(wanted)


def _event(plan: EventPlan, today: date, space: Space, planner: Person) -> Event:
    times = times_of(plan, today, space.venue.zone)
    return plan_event(
        planner, name=plan.name, space=space, state=plan.state,
        out_at=times["out"], load_in_at=times["load_in"], show_from=times["start"],
        show_until=times["end"], back_at=times["back"],
        audience=plan.audience, crest_factor_db=plan.crest_db, target_dba=plan.target_dba,
        temperature_c=plan.temperature_c, humidity_pct=plan.humidity_pct,
        contact=plan.contact, notes=plan.notes,
    )  # fmt: skip
