"""Events and what is free, for other programs."""

import pytest
from django.test import Client

from rigs.events import actions
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client: Client) -> Client:
    client.force_login(make.person("crew"))
    return client


def test_events(crew: Client) -> None:
    event = make.event(name="Gala")
    answer = crew.get("/api/events/").json()
    assert [e["name"] for e in answer["results"]] == ["Gala"]
    assert answer["results"][0]["out_at"] == event.out_at.isoformat().replace("+00:00", "Z")


def test_availability(crew: Client) -> None:
    box = make.loudspeaker()
    make.units(box, 5)
    fair, gala = make.event(name="Fair"), make.event(name="Gala")
    actions.put_on_kit(fair, box, 3)
    answer = crew.get(f"/api/events/{gala.pk}/availability/", {"item": box.pk}).json()
    assert (answer["owned"], answer["usable"], answer["free"]) == (5, 5, 2)
    (holder,) = answer["promised_to"]
    assert (holder["event"], holder["quantity"]) == ("Fair", 3)


@pytest.mark.parametrize(("item", "status"), [("", 400), ("x", 400), ("999999", 404)])
def test_what_it_cannot_answer(crew: Client, item: str, status: int) -> None:
    address = f"/api/events/{make.event().pk}/availability/"
    assert crew.get(address, {"item": item}).status_code == status


def test_it_is_read_only_and_for_people_with_the_right(crew: Client, client: Client) -> None:
    assert crew.post("/api/events/", {}).status_code in (403, 405)
    client.logout()
    assert client.get("/api/events/").status_code in (302, 401, 403)
