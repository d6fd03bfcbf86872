"""Who may look at a rig and who may change it."""

from typing import cast

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

from rigs.people.models import Person
from rigs.people.queries import refusal
from rigs.people.rights import DESCRIBE_RIG, SEE_LOADING, SEE_PACKETS


def demand_look(request: HttpRequest) -> None:
    """Rigs are open to all who may see packets or the amplifier loading."""
    user = person(request)
    if not (user.has_perm(SEE_PACKETS) or user.has_perm(SEE_LOADING)):
        raise PermissionDenied(refusal(user, SEE_PACKETS))


def demand_change(request: HttpRequest) -> None:
    """Changing a rig needs its own right."""
    user = person(request)
    if not user.has_perm(DESCRIBE_RIG):
        raise PermissionDenied(refusal(user, DESCRIBE_RIG))


def person(request: HttpRequest) -> Person:
    """Who asks. Every page demands an account, so that there is one."""
    return cast(Person, request.user)
