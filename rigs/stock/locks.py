"""One lock order for whoever promises stock: items, by rising id."""

from collections.abc import Iterable

from rigs.catalogue.models import Item


def lock_items(ids: Iterable[int]) -> None:
    """Hold the items until the transaction ends, so that promises of each follow one another.

    Call it once in a transaction, with all its items, after any lock on the event itself.
    """
    wanted = Item.objects.filter(pk__in=set(ids)).order_by("pk")
    list(wanted.select_for_update(no_key=True, of=("self",)).values_list("pk", flat=True))
