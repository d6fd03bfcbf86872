"""The demo's database, filled once for all tests of this folder: they only read it."""

from datetime import date

import pytest
from django.db import connection, transaction

from rigs.demo.actions import fill_demo

TODAY = date(2030, 6, 4)


@pytest.fixture(scope="package")
def filled(django_db_setup, django_db_blocker):
    """A filled database. Everything is rolled back after the last of them."""
    with django_db_blocker.unblock():
        try:
            with transaction.atomic():
                fill_demo(TODAY)
                connection.check_constraints()
                yield
                transaction.set_rollback(True)
        finally:
            connection.close()
