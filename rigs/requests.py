"""The request as our views meet it, for type hints."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from rigs.people.models import Person


class PageRequest(HttpRequest):
    """A request of somebody signed in (the middleware lets nobody else reach a view)."""

    user: Person
    htmx: HtmxDetails
