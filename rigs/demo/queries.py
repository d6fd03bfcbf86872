"""What there is, in a few lines."""

from django.db.models import Count, Max, Sum

from rigs.catalogue.models import Item, Kind
from rigs.events.models import Event
from rigs.people.demo import DEMO_ACCOUNTS, DEMO_PASSWORD
from rigs.stock import models as stock
from venues.models import Venue


def contents() -> list[str]:
    """How much of everything the database holds."""
    kinds = dict(Item.objects.order_by().values_list("kind").annotate(Count("pk")))
    types = ", ".join(f"{kinds.get(kind.value, 0)} {kind.label.lower()}" for kind in Kind)
    counted = stock.Count.objects.aggregate(pieces=Sum("owned"))["pieces"] or 0
    return [
        f"Catalogue: {types} types.",
        f"Stock: {stock.Unit.objects.count()} units, {counted} counted pieces.",
        f"{Venue.objects.count()} venues, {Event.objects.count()} events.",
    ]


def last_day() -> str:
    """When the last event is back, as 2030-06-01; "" if there is none."""
    last = Event.objects.aggregate(last=Max("back_at"))["last"]
    return f"{last:%Y-%m-%d}" if last else ""


def accounts() -> str:
    """The demo accounts in a sentence."""
    names = ", ".join(f"{a.username} ({a.role})" for a in DEMO_ACCOUNTS)
    return f"Sign in as {names}. Password for all: {DEMO_PASSWORD}"
