"""`manage.py demo`: fills once, changes nothing that is there, and only where it may."""

from io import StringIO

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command

from rigs.catalogue.models import Item
from rigs.events.models import Event
from rigs.people.models import Person
from rigs.people.queries import roles_of
from rigs.people.rights import RIGHTS
from rigs.stock.models import Unit
from tests import factories

ROOMS = ("catalogue", "stock", "venues", "events", "systems", "packets", "people", "auth")
# 27 October 2030, the morning of the Regatta Breakfast: the clocks went back in the night.
CLOCKS_CHANGE = "2030-10-06"


def run(today: str = CLOCKS_CHANGE) -> str:
    out = StringIO()
    call_command("demo", "--today", today, stdout=out)
    return out.getvalue()


def everything() -> dict[str, list]:
    """All rows of all tables."""
    models = [model for room in ROOMS for model in apps.get_app_config(room).get_models()]
    return {model.__name__: list(model.objects.order_by("pk").values()) for model in models}


@pytest.mark.django_db
def test_twice_changes_nothing_not_even_what_people_changed():
    said = run()
    assert "27 loudspeaker" in said
    assert "17 events" in said
    assert len(said.splitlines()) < 10
    assert {role for person in Person.objects.all() for role in roles_of(person)} == set(RIGHTS)
    assert "Foundry Night has 3" in Event.objects.get(name="Regatta Breakfast").notes
    Event.objects.get(name="Year of the Otter").delete()
    Unit.objects.filter(serial="RW-0001").update(state="set aside", fault="Fell off the ramp.")
    before = everything()
    assert "nothing is changed" in run()
    assert "nothing is changed" in run("2030-12-24")
    assert everything() == before


@pytest.mark.django_db
def test_a_database_with_anything_of_its_own_is_left_alone():
    factories.accessory()
    assert "nothing is changed" in run()
    assert Item.objects.count() == 1
    assert not Person.objects.exists()


def test_production_refuses_with_a_sentence(settings):
    settings.MODE = "production"
    with pytest.raises(CommandError, match=r"production mode: demo data .* don't belong there"):
        run()


def test_an_absurd_day_is_refused():
    with pytest.raises(CommandError, match="invalid"):
        run("2030-02-30")
