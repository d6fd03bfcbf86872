"""Groups follow the table of rights."""

import pytest
from django.contrib.auth.models import Group, Permission

from rigs.people import rights
from rigs.people.actions import fill_groups, make_demo_accounts
from rigs.people.queries import refusal, roles_of, roles_with
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("role", rights.RIGHTS)
def test_each_role_may_do_exactly_what_the_table_says(role):
    person = factories.person(role)
    held = {right for right in rights.WORDS if person.has_perm(right)}
    assert held == set(rights.RIGHTS[role])


def test_every_right_has_words_and_exists():
    assert set(rights.WORDS) == {right for carried in rights.RIGHTS.values() for right in carried}
    for right in rights.WORDS:
        label, codename = right.split(".")
        assert Permission.objects.filter(
            content_type__app_label=label, codename=codename
        ).exists(), right


def test_filling_again_removes_what_the_table_no_longer_has():
    crew = Group.objects.get(name=rights.CREW)
    before = set(crew.permissions.values_list("pk", flat=True))
    crew.permissions.add(Permission.objects.get(codename="keep_stock"))
    fill_groups()
    assert set(crew.permissions.values_list("pk", flat=True)) == before
    assert Group.objects.filter(name__in=rights.RIGHTS).count() == len(rights.RIGHTS)


def test_roles_come_in_the_order_of_the_table():
    person = factories.person(rights.MANAGER)
    person.groups.add(Group.objects.get(name=rights.WAREHOUSE))
    assert roles_of(person) == (rights.WAREHOUSE, rights.MANAGER)


def test_a_refusal_names_the_right_and_its_holders():
    sentence = refusal(factories.person(rights.CREW), rights.KEEP_STOCK)
    assert "crew" in sentence
    assert "keep the stock" in sentence
    for role in roles_with(rights.KEEP_STOCK):
        assert role in sentence


def test_demo_accounts_cover_all_roles_and_can_be_made_twice():
    make_demo_accounts()
    people = make_demo_accounts()
    assert sorted(role for person in people for role in roles_of(person)) == sorted(rights.RIGHTS)
    assert not any(person.is_superuser for person in people)
