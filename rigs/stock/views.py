"""The stock in the browser."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from rigs.catalogue.models import Item, Tracking
from rigs.people.rights import KEEP_STOCK, SEE_PACKETS
from rigs.stock import actions, queries
from rigs.stock.forms import CountForm, SetAsideForm, StockFilter
from rigs.stock.models import Count, Unit

sees_stock = permission_required(SEE_PACKETS, raise_exception=True)
MOST_WITH_UNITS = 3  # of so many items every unit is listed; of more, it is one tap away
keeps_stock = permission_required(KEEP_STOCK, raise_exception=True)


@sees_stock
def list_stock(request: HttpRequest) -> HttpResponse:
    form = StockFilter(request.GET)
    wanted = form.wanted()
    items = list(queries.stock_list(timezone.now(), **wanted))
    narrowed = any(wanted.values())
    show_units = narrowed and len(items) <= MOST_WITH_UNITS
    context = {
        "form": form,
        "items": queries.with_units(items) if show_units else items,
        "narrowed": narrowed,
        "show_units": show_units,
    }
    return render(request, "stock/list.html", context)


@sees_stock
def unit(request: HttpRequest, unit_id: int) -> HttpResponse:
    return _unit_page(request, _unit(unit_id), SetAsideForm())


@require_POST
@keeps_stock
def set_aside(request: HttpRequest, unit_id: int) -> HttpResponse:
    shown, form = _unit(unit_id), SetAsideForm(request.POST)
    if not form.is_valid():
        return _unit_page(request, shown, form)
    actions.set_aside(shown, form.cleaned_data["reason"])
    messages.success(request, f"{shown} is set aside. It is not offered to any event.")
    return redirect("stock:unit", unit_id)


@require_POST
@keeps_stock
def make_ready(request: HttpRequest, unit_id: int) -> HttpResponse:
    shown = actions.make_ready(_unit(unit_id))
    messages.success(request, f"{shown} is ready again.")
    return redirect("stock:unit", unit_id)


@sees_stock
def pieces(request: HttpRequest, counted_id: int) -> HttpResponse:
    """A counted item: who has pieces of it, and how many there are."""
    item = get_object_or_404(Item, pk=counted_id, tracking=Tracking.COUNT)
    if request.method == "POST":
        return _set_count(request, item)
    counted = Count.objects.filter(item=item).first() or Count(item=item)
    start = {"owned": counted.owned, "set_aside": counted.set_aside}
    return _pieces_page(request, item, CountForm(initial=start))


@keeps_stock
def _set_count(request: HttpRequest, item: Item) -> HttpResponse:
    form = CountForm(request.POST)
    if form.is_valid() and form.save(item) is not None:
        messages.success(request, f"{item}: the count is saved.")
        return redirect("stock:pieces", item.pk)
    return _pieces_page(request, item, form)


def _pieces_page(request: HttpRequest, item: Item, form: CountForm) -> HttpResponse:
    bookings = queries.count_bookings_ahead(item, timezone.now())
    context = {"item": item, "form": form, "bookings": bookings}
    return render(request, "stock/pieces.html", context)


def _unit_page(request: HttpRequest, shown: Unit, form: SetAsideForm) -> HttpResponse:
    now = timezone.now()
    context = {
        "unit": shown,
        "form": form,
        "bookings": queries.bookings_ahead(shown, now),
        "now": now,
    }
    return render(request, "stock/unit.html", context)


def _unit(unit_id: int) -> Unit:
    return get_object_or_404(Unit.objects.select_related("item", "rack"), pk=unit_id)
