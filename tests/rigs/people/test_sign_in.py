"""Signing in and out, and where each role starts."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from rigs.people import rights
from rigs.people.actions import make_demo_accounts
from rigs.people.demo import DEMO_ACCOUNTS, DEMO_PASSWORD
from rigs.people.models import FailedSignIn, Person
from rigs.people.queries import FAILURES_ALLOWED
from tests import factories

pytestmark = pytest.mark.django_db
SIGN_IN = "/sign-in/"


@pytest.fixture
def wanda():
    return Person.objects.create_user("wanda", password="right horse")


def try_password(client, password, name="wanda"):
    return client.post(SIGN_IN, {"username": name, "password": password})


def test_a_wrong_password_is_a_sentence_and_keeps_the_name(client, wanda):
    page = try_password(client, "wrong")
    assert page.status_code == 200
    assert "do not belong together" in page.text
    assert 'value="wanda"' in page.text


def test_the_right_password_signs_in(client, wanda):
    assert try_password(client, "right horse").status_code == 302
    assert int(client.session["_auth_user_id"]) == wanda.pk


def test_after_many_failures_even_the_right_password_waits(client, wanda):
    for _ in range(FAILURES_ALLOWED):
        try_password(client, "wrong")
    page = try_password(client, "right horse")
    assert "Too many wrong passwords for wanda" in page.text
    assert "_auth_user_id" not in client.session


def test_the_wait_ends_and_touches_nobody_else(client, wanda):
    Person.objects.create_user("mara", password="right horse")
    for _ in range(FAILURES_ALLOWED):
        try_password(client, "wrong")
    assert try_password(client, "right horse", name="mara").status_code == 302
    client.logout()
    FailedSignIn.objects.update(at=timezone.now() - timedelta(minutes=11))
    assert try_password(client, "right horse").status_code == 302


def test_success_forgets_earlier_failures(client, wanda):
    try_password(client, "wrong")
    try_password(client, "right horse")
    assert not FailedSignIn.objects.exists()


def test_demo_accounts_show_only_in_demo_mode(client, settings):
    make_demo_accounts()
    settings.DEMO = False
    hidden = client.get(SIGN_IN).text
    assert DEMO_PASSWORD not in hidden
    assert "Demo accounts" not in hidden
    settings.DEMO = True
    shown = client.get(SIGN_IN).text
    for account in DEMO_ACCOUNTS:
        assert f'value="{account.username}"' in shown
        posted = client.post(
            SIGN_IN, {"username": account.username, "password": DEMO_PASSWORD, "next": "/"}
        )
        assert posted.status_code == 302
        client.logout()


@pytest.mark.parametrize(
    ("role", "start"),
    [
        (rights.WAREHOUSE, "events:list"),
        (rights.MANAGER, "fleet:loading"),
        (rights.SYSTEM_TECH, "events:list"),
        (rights.CREW, "events:list"),
        (rights.ADMINISTRATOR, "events:list"),
    ],
)
def test_each_role_starts_at_its_page(client, role, start):
    client.force_login(factories.person(role))
    assert client.get("/").url == reverse(start)


def test_an_account_without_a_role_is_told_so(client):
    client.force_login(Person.objects.create_user("newcomer"))
    assert "You hold no role yet" in client.get("/").text


def test_signing_out_is_by_post(client, wanda):
    client.force_login(wanda)
    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/").url == SIGN_IN


def test_strangers_are_sent_to_the_sign_in(client):
    assert client.get("/").url == "/sign-in/?next=/"
