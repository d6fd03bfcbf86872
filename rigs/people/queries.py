"""Who holds which role, who has which right, and who guessed too often."""

from datetime import timedelta

from django.contrib.auth.models import AnonymousUser
from django.utils import timezone

from rigs.people import rights
from rigs.people.models import FailedSignIn, Person

FAILURES_ALLOWED = 10
WINDOW = timedelta(minutes=10)


def roles_of(person: Person | AnonymousUser) -> tuple[str, ...]:
    """The roles that somebody holds, in the order of the table of rights."""
    if not isinstance(person, Person):
        return ()
    held = set(person.groups.values_list("name", flat=True))
    return tuple(role for role in rights.RIGHTS if role in held)


def roles_with(right: str) -> tuple[str, ...]:
    """The roles that carry a right."""
    return tuple(role for role, carried in rights.RIGHTS.items() if right in carried)


def refusal(person: Person | AnonymousUser, right: str) -> str:
    """Say which right somebody lacks and who has it; "" for a right that is not in the table."""
    if right not in rights.WORDS:
        return ""
    held = roles_of(person)
    you = f"You are signed in as {_joined(held)}" if held else "You hold no role yet"
    return (
        f"{you}, and that does not include the right to {rights.WORDS[right]}. "
        f"It belongs to: {_joined(roles_with(right))}."
    )


def sign_in_is_blocked(name: str, address: str) -> bool:
    """Whether this name was tried too often from this address within the last minutes."""
    recent = FailedSignIn.objects.filter(
        name=name[:150], address=address, at__gt=timezone.now() - WINDOW
    )
    return recent.count() >= FAILURES_ALLOWED


def _joined(words: tuple[str, ...]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))
