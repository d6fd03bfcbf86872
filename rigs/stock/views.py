"""The stock in the browser."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from rigs.people.rights import KEEP_STOCK, SEE_PACKETS
from rigs.stock import actions, queries
from rigs.stock.forms import SetAsideForm, StockFilter
from rigs.stock.models import Unit

sees_stock = permission_required(SEE_PACKETS, raise_exception=True)
keeps_stock = permission_required(KEEP_STOCK, raise_exception=True)


@sees_stock
def list_stock(request: HttpRequest) -> HttpResponse:
    form = StockFilter(request.GET)
    wanted = form.wanted()
    items = queries.stock_list(timezone.now(), **wanted)
    context = {"form": form, "items": items, "narrowed": any(wanted.values())}
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
