"""The request as our views meet it, for type hints."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from rigs.people.models import Person


class PageRequest(HttpRequest):
    """A request of somebody signed in (the middleware lets nobody else reach a view)."""

    user: Person
    htmx: HtmxDetails


def typed_number(text: object, digits: int = 9) -> int | None:
    """A whole number that a page sent, of so many digits at most; None for anything else."""
    typed = str(text)
    return int(typed) if typed.isdecimal() and len(typed) <= digits else None


def seen_in(request: HttpRequest, name: str = "seen") -> int:
    """The version that the sent page showed; 0, which no row has, when it does not say."""
    return typed_number(request.POST.get(name, "")) or 0
