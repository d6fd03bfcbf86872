"""Filling an empty database with the demo's company."""

from datetime import date

from django.conf import settings
from django.db import connection, transaction

from rigs.catalogue.models import Item
from rigs.demo.fill.catalogue import fill_catalogue
from rigs.demo.fill.equalising import fill_equalisation
from rigs.demo.fill.events import ask_for_packets, fill_events
from rigs.demo.fill.loops import fill_loops
from rigs.demo.fill.recordings import fill_recordings
from rigs.demo.fill.stock import fill_stock
from rigs.demo.fill.venues import fill_venues
from rigs.events.models import Event
from rigs.people import rights
from rigs.people.actions import make_demo_accounts
from rigs.people.models import Person
from venues.models import Venue

MODES = ("demo", "test")
LOCK = 2_611_502_017  # any number, the same for all: two fillings never run at once


class NotHere(RuntimeError):
    """Demo data are refused here; the text says why."""


def fill_demo(today: date, *, packets: bool = False) -> bool:
    """Fill an empty database around `today`; False, and nothing done, if it is not empty."""
    if settings.MODE not in MODES:
        raise NotHere(
            f"Rigwright runs in {settings.MODE} mode: demo data and their public password "
            "don't belong there. Set RIGWRIGHT_MODE=demo to have them."
        )
    with transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [LOCK])
        if not _is_empty():
            return False
        people = {_role(person): person for person in make_demo_accounts()}
        items, spaces = fill_catalogue(), fill_venues()
        fill_stock(items)
        manager, tech = people[rights.MANAGER], people[rights.SYSTEM_TECH]
        events = fill_events(today, items, spaces, manager, tech)
        if packets:
            ask_for_packets(events, tech)
            for event in events:
                fill_recordings(event, tech)
                fill_equalisation(event, tech)
                fill_loops(event, tech)
    return True


def _is_empty() -> bool:
    """People's own changes must survive: one row of theirs, and nothing is touched."""
    tables = (Item, Venue, Event)
    return not any(model.objects.exists() for model in tables)


def _role(person: Person) -> str:
    return person.groups.values_list("name", flat=True)[0]
