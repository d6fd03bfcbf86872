"""What changes people: groups from the table of rights, demo accounts, failed sign-ins."""

from django.apps import apps
from django.contrib.auth.hashers import make_password
from django.contrib.auth.management import create_permissions
from django.contrib.auth.models import Group, Permission
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from rigs.people import rights
from rigs.people.demo import DEMO_ACCOUNTS, DEMO_PASSWORD
from rigs.people.models import FailedSignIn, Person
from rigs.people.queries import WINDOW

ADMIN_SITE_APPS = ("catalogue", "venues", "stock")
"""Whose tables administrators may also correct by hand in Django's own admin site."""


@transaction.atomic
def fill_groups() -> None:
    """Make one group per role with exactly the rights of the table. May run again and again."""
    for label in (*ADMIN_SITE_APPS, "people", "events", "systems", "packets", "tuning"):
        create_permissions(apps.get_app_config(label), verbosity=0, apps=apps)
    for role, carried in rights.RIGHTS.items():
        group, _ = Group.objects.get_or_create(name=role)
        group.permissions.set(_permissions(role, carried))


def _permissions(role: str, carried: tuple[str, ...]) -> list[Permission]:
    wanted = Q(pk__in=[])
    for right in carried:
        label, codename = right.split(".")
        wanted |= Q(content_type__app_label=label, codename=codename)
    if role == rights.ADMINISTRATOR:
        wanted |= Q(content_type__app_label__in=ADMIN_SITE_APPS)
        wanted |= Q(content_type__app_label="people", content_type__model="person")
    return list(Permission.objects.filter(wanted))


@transaction.atomic
def make_demo_accounts() -> list[Person]:
    """One account per role, for demo mode only; existing ones are put right again."""
    people = []
    hashed = make_password(DEMO_PASSWORD)  # one hash for all: it is slow, and public anyway
    for account in DEMO_ACCOUNTS:
        person, new = Person.objects.get_or_create(username=account.username)
        person.first_name, person.last_name = account.first_name, account.last_name
        person.is_staff = account.role == rights.ADMINISTRATOR
        if new or not person.check_password(DEMO_PASSWORD):
            person.password = hashed
        person.save()
        person.groups.set(Group.objects.filter(name=account.role))
        people.append(person)
    return people


def note_failed_sign_in(name: str, address: str) -> None:
    """Remember a wrong password, and forget those that no longer count."""
    FailedSignIn.objects.filter(at__lt=timezone.now() - WINDOW).delete()
    FailedSignIn.objects.create(name=name[:150], address=address)


def forget_failed_sign_ins(name: str, address: str) -> None:
    """A right password clears the account's record at this address."""
    FailedSignIn.objects.filter(name=name[:150], address=address).delete()
