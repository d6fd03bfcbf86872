"""Parts of a page that are asked for when nobody is signed in any more."""

from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client

from tests import factories as make

pytestmark = pytest.mark.django_db


def part_headers(page: str) -> dict[str, str]:
    return {"HX-Request": "true", "HX-Current-URL": page}


def sent_to(response) -> str:
    """Where sign-in leads back to."""
    assert response.content == b"", "no page lands inside the page"
    address = urlsplit(response.headers["HX-Redirect"])
    assert address.path == "/sign-in/"
    return parse_qs(address.query)["next"][0]


def test_the_whole_page_goes_to_sign_in_and_back(client: Client) -> None:
    page = f"/events/{make.event().pk}/kit/"
    headers = part_headers(f"http://testserver{page}?q=marrow")
    response = client.get(f"{page}search/", {"q": "marrow"}, headers=headers)
    assert sent_to(response) == f"{page}?q=marrow"


def test_a_form_sent_without_a_session_too() -> None:
    """Its cookies gone, the form is refused before anybody is asked for an account."""
    page = f"/events/{make.event().pk}/kit/"
    response = Client(enforce_csrf_checks=True).post(
        page, {"enter": 1}, headers=part_headers(f"http://testserver{page}")
    )
    assert sent_to(response) == page


def test_it_never_leads_to_another_site(client: Client) -> None:
    page = f"/events/{make.event().pk}/kit/search/"
    assert sent_to(client.get(page, headers=part_headers("https://elsewhere.example/x"))) == "/"


def test_who_is_signed_in_reads_the_refusal(client: Client) -> None:
    client.force_login(make.person("crew"))
    page = f"/events/{make.event().pk}/kit/"
    assert client.post(page, {"enter": 1}, headers=part_headers(page)).status_code == 403
