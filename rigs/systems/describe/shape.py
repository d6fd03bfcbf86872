"""How a way radiates, for the page of its data sheet."""

from calc.acoustics.directivity.summary import DirectivitySummary, directivity_summary
from rigs.catalogue.models import Way
from rigs.systems.describe.sheets import loudspeaker

TEMPERATURE_C = 20.0


def shape_of(way: Way) -> DirectivitySummary | None:
    """Index, angles and polars of a way; None where its directivity is unknown."""
    return directivity_summary(loudspeaker(way.loudspeaker), way.name, TEMPERATURE_C)
