"""Every change of the stock, each with its transaction."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from rigs.catalogue.models import Item
from rigs.stock.locks import lock_items
from rigs.stock.models import Count, Unit
from rigs.stock.queries import promised_ahead


@transaction.atomic
def set_aside(unit: Unit, reason: str) -> Unit:
    """No event is offered the unit any more; who has it already sees so on the kit list.

    Raises ValidationError where no reason is given.
    """
    return _set_state(unit, Unit.State.SET_ASIDE, reason.strip())


@transaction.atomic
def make_ready(unit: Unit) -> Unit:
    """The unit can go out again."""
    return _set_state(unit, Unit.State.READY, "")


def _set_state(unit: Unit, state: str, fault: str) -> Unit:
    lock_items([unit.item_id])
    stored = Unit.objects.select_for_update(of=("self",)).get(pk=unit.pk)
    stored.state, stored.fault = state, fault
    stored.full_clean()
    stored.save()
    return stored


@transaction.atomic
def set_count(item: Item, owned: int, set_aside: int) -> Count:
    """Say how many pieces of a counted item there are, and how many of them can't go out.

    Raises ValidationError where more are promised ahead than would be left.
    """
    lock_items([item.pk])
    counted = Count.objects.filter(item=item).first() or Count(item=item)
    counted.owned, counted.set_aside = owned, set_aside
    counted.full_clean()
    promised = promised_ahead(item, timezone.now())
    if counted.usable < promised:
        raise ValidationError(
            f"{promised} are promised at the same time to events ahead, but only "
            f"{counted.usable} would be left. Take some off those kit lists first."
        )
    counted.save()
    return counted
