"""The database's own rules can be taken away and brought back."""

import pytest
from django.core.management import call_command
from django.db import connection

OURS = ("promised_peak", "refuse_above_count", "count_booking_within_limit")


def functions() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT proname FROM pg_proc WHERE proname = ANY(%s)", [list(OURS)])
        return {name for (name,) in cursor.fetchall()}


@pytest.mark.django_db(transaction=True)
def test_backwards_and_forwards() -> None:
    try:
        call_command("migrate", "events", "0002", verbosity=0)
        assert functions() == set()
    finally:
        call_command("migrate", verbosity=0)
    assert functions() == set(OURS)
