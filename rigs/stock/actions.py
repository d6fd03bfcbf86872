"""Every change of the stock, each with its transaction."""

from django.db import transaction

from rigs.stock.locks import lock_items
from rigs.stock.models import Unit


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
