"""The room that was recorded, equalised: through the same doors as people use."""

from rigs.events.models import Event
from rigs.jobs.claims import claim
from rigs.people.models import Person
from rigs.tuning import analyses, fits, queries
from rigs.tuning.analyse.usable import usable_spots
from rigs.tuning.forms import FitForm
from rigs.tuning.models import Analysis, Equalisation

ASKED = {
    "target": "own:dance", "part": "venue", "means": "peaks", "boost_db": "3", "filters": "4",
    "low_hz": "60", "high_hz": "14000",
}  # fmt: skip


def fill_equalisation(event: Event, person: Person) -> None:
    """Analyse what an event recorded and fit filters; nothing where it has none.

    Nobody has taken them yet: that is left to who tries the demo.
    """
    waiting = Analysis.objects.filter(recording__event=event, recording__spot__isnull=False)
    if not waiting:
        return
    for row in waiting:
        held = claim(Analysis, row.pk, "reading the sound")
        if held:
            analyses.work(held)
    asked = _asked(event, person)
    held_fit = claim(Equalisation, asked.pk, "fitting filters")
    if held_fit:
        fits.work(held_fit)


def _asked(event: Event, person: Person) -> Equalisation:
    usable = usable_spots(list(event.listeningspots.all()), queries.latest_analyses(event))
    form = FitForm(None, event=event, usable=usable)
    outputs = {"outputs": form.fields["outputs"].initial}
    form = FitForm(ASKED | outputs, event=event, usable=usable)
    row = form.ask(person) if form.is_valid() else None
    if row is None:
        raise ValueError(f"the demo's fit was refused: {form.errors.as_text()}")
    return row
