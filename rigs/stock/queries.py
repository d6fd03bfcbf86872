"""Named reads of the stock: what is owned, what is out, what is free now."""

from datetime import datetime, timedelta
from typing import Any

from django.db.models import (
    BigIntegerField,
    Case,
    Count,
    DateTimeField,
    F,
    Func,
    IntegerField,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
    prefetch_related_objects,
)
from django.db.models.functions import Coalesce

from rigs.catalogue.models import Item, Kind, Tracking
from rigs.stock.models import Unit

ORDER_OF_KINDS = (
    Kind.LOUDSPEAKER,
    Kind.AMPLIFIER,
    Kind.PROCESSOR,
    Kind.MIXER,
    Kind.CABLE,
    Kind.ACCESSORY,
)


def kind_order(path: str = "kind") -> Case:
    """To order rows by kind as people think of a rig: what is heard first, small parts last."""
    whens = [When(**{path: kind}, then=Value(n)) for n, kind in enumerate(ORDER_OF_KINDS)]
    return Case(*whens, default=Value(len(whens)), output_field=IntegerField())


def stock_list(
    now: datetime, *, words: str = "", kind: str = "", state: str = "", item: int | None = None
) -> QuerySet[Any]:
    """Items the company owns, each with `owned`, `aside`, `out` and `free` pieces.

    `out`: left the warehouse and not back. `free`: promised to nobody at this instant, tests
    and preparation included. The number of queries does not depend on the number of rows.
    """
    items = (
        Item.objects.annotate(
            owned=_by_tracking(_units(~Q(state=Unit.State.GONE)), F("count__owned")),
            aside=_by_tracking(_units(Q(state=Unit.State.SET_ASIDE)), F("count__set_aside")),
            usable=_by_tracking(
                _units(Q(state=Unit.State.READY)), F("count__owned") - F("count__set_aside")
            ),
            out=_by_tracking(_units_out(now), _pieces_out(now)),
            promised=_promised(now),
        )
        .annotate(
            free=Case(
                When(usable__gt=F("promised"), then=F("usable") - F("promised")),
                default=0,
                output_field=BigIntegerField(),
            )
        )
        .filter(Q(owned__gt=0) | Q(units__state=Unit.State.GONE))
        .distinct()
        .select_related("cable", "loudspeaker")
        .order_by(kind_order(), "maker", "model")
    )
    return _filtered(items.filter(pk=item) if item else items, words, kind, state)


def with_units(items: list[Any]) -> list[Any]:
    """The same items, their units read with them."""
    shown = Unit.objects.select_related("rack").order_by("serial")
    prefetch_related_objects(items, Prefetch("units", shown))
    return items


def _filtered(items: QuerySet[Any], words: str, kind: str, state: str) -> QuerySet[Any]:
    for word in words.split():
        by_name = Q(maker__icontains=word) | Q(model__icontains=word) | Q(kind__icontains=word)
        items = items.filter(
            by_name | Q(pk__in=Unit.objects.filter(serial__icontains=word).values("item"))
        )
    if kind:
        items = items.filter(kind=kind)
    if state == Unit.State.SET_ASIDE:
        items = items.filter(aside__gt=0)
    elif state:
        items = items.filter(pk__in=Unit.objects.filter(state=state).values("item"))
    return items


def _by_tracking(serialised: Coalesce, counted: object) -> Case:
    return Case(
        When(tracking=Tracking.SERIAL, then=serialised),
        default=Coalesce(counted, 0),
        output_field=BigIntegerField(),
    )


def _units(condition: Q) -> Coalesce:
    units = Unit.objects.filter(condition, item=OuterRef("pk"))
    return _one(units.order_by().values("item").annotate(total=Count("pk")))


def _units_out(now: datetime) -> Coalesce:
    units = Unit.objects.filter(
        item=OuterRef("pk"),
        bookings__row__event__out_at__lte=now,
        bookings__row__event__back_at__gt=now,
    )
    return _one(units.order_by().values("item").annotate(total=Count("pk", distinct=True)))


def _pieces_out(now: datetime) -> Coalesce:
    rows = Item.objects.filter(
        pk=OuterRef("pk"),
        count_bookings__row__event__out_at__lte=now,
        count_bookings__row__event__back_at__gt=now,
    )
    return _one(rows.order_by().values("pk").annotate(total=Sum("count_bookings__quantity")))


def _one(totals: QuerySet) -> Coalesce:
    return Coalesce(Subquery(totals.values("total")), 0, output_field=BigIntegerField())


def _promised(now: datetime) -> Func:
    """Pieces promised at this instant, by the database's own function."""
    stamp = DateTimeField()
    instant = Func(
        Value(now, stamp), Value(now + timedelta(microseconds=1), stamp), function="tstzrange"
    )
    return Func(F("pk"), instant, function="promised_peak", output_field=BigIntegerField())


def promised_ahead(item: Item, now: datetime) -> int:
    """The most pieces of the item that are promised at any one instant from now on."""
    ahead = Func(Value(now, DateTimeField()), Value(None, DateTimeField()), function="tstzrange")
    peak = Func(F("pk"), ahead, function="promised_peak", output_field=BigIntegerField())
    return int(Item.objects.annotate(peak=peak).values_list("peak", flat=True).get(pk=item.pk))


def count_bookings_ahead(item: Item, now: datetime) -> QuerySet[Any]:
    """Who has pieces of a counted item from now on, soonest first."""
    bookings = item.count_bookings.filter(period__endswith__gt=now)
    return bookings.select_related("row__event__space__venue").order_by("period")


def bookings_ahead(unit: Unit, now: datetime) -> QuerySet:
    """What the unit is promised to from now on, soonest first."""
    bookings = unit.bookings.filter(period__endswith__gt=now)
    return bookings.select_related("row__event__space__venue").order_by("period")
