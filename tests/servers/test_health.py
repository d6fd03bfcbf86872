"""The health page asks the database."""

import pytest
from django.test import Client


@pytest.mark.django_db
def test_health_page_answers_without_an_account(client: Client) -> None:
    answer = client.get("/healthy/")
    assert answer.status_code == 200
    assert answer.content == b"healthy\n"
