"""Changing the catalogue."""

from collections.abc import Iterable

from django.db import transaction
from django.forms import BaseInlineFormSet

from rigs.catalogue.models import Item
from rigs.people.models import Person
from rigs.versions import save_over


@transaction.atomic
def save_item(
    item: Item, lists: Iterable[BaseInlineFormSet], seen_version: int, person: Person
) -> Item:
    """Save an item with its ways, modes, ratings and ends: all of it or nothing.

    Raises `ChangedMeanwhile` when somebody else saved it after `seen_version`.
    """
    if item.pk is None:
        item.changed_by = person
        item.save()
    else:
        save_over(item, seen_version, person)
    for formset in lists:
        formset.instance = item
        formset.save()
    return item
