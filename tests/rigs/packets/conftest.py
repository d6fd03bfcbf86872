"""Fixtures for the tests of packets."""

from collections.abc import Iterator

import pytest

from tests.rigs.packets.sheets import predicted


@pytest.fixture
def no_sheets() -> Iterator[None]:
    """Packets as they are where no output is described: a card for each line."""
    with predicted(sheets=()):
        yield
