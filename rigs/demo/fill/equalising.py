"""What was recorded, equalised: through the same doors as people use."""

from collections.abc import Iterable

import numpy as np

from rigs.demo.fill.recordings import MEASURED, fill_sweeps
from rigs.events.models import Event
from rigs.jobs.claims import claim
from rigs.people.models import Person
from rigs.systems.queries import current_revision
from rigs.tuning import analyses, fits, queries
from rigs.tuning.actions import take
from rigs.tuning.analyse.usable import usable_spots
from rigs.tuning.forms import FitForm
from rigs.tuning.models import Analysis, Equalisation, Recording

USUAL = {
    "target": "own:gentle slope", "part": "venue", "means": "peaks", "boost_db": "3",
    "filters": "4", "low_hz": "60", "high_hz": "14000",
}  # fmt: skip
TAKEN = "Harbour Lights"
"""There the fits were taken and measured again; elsewhere that is left to who tries the demo."""

ROOM = USUAL | {"filters": "3", "high_hz": "1200"}
BOXES = USUAL | {"part": "boxes", "filters": "1", "low_hz": "1200"}


def fill_equalisation(event: Event, person: Person) -> None:
    """Analyse what an event recorded and fit filters; nothing where it has none."""
    if event.name not in MEASURED:
        return
    _analyse(event)
    if event.name != TAKEN:
        _fitted(event, person, USUAL | {"target": "own:dance"})
        return
    # Both are asked for before either is taken: they go by the same recordings.
    room, boxes = _fitted(event, person, ROOM), _fitted(event, person, BOXES)
    _take(room, "The place itself: quay wall and water", person)
    _take(boxes, "Our tops: less of the horn", person)
    for row in fill_sweeps(event, person, _together((room, boxes)), run=1):
        Recording.objects.filter(pk=row.pk).update(note="Again, with the filters set")
    _analyse(event)


def _analyse(event: Event) -> None:
    for row in Analysis.objects.filter(recording__event=event, recording__spot__isnull=False):
        held = claim(Analysis, row.pk, "reading the sound")
        if held:
            analyses.work(held)


def _fitted(event: Event, person: Person, asked: dict[str, str]) -> Equalisation:
    usable = usable_spots(list(event.listeningspots.all()), queries.latest_analyses(event))
    form = FitForm(None, event=event, usable=usable)
    outputs = {"outputs": form.fields["outputs"].initial}
    form = FitForm(asked | outputs, event=event, usable=usable)
    row = form.ask(person) if form.is_valid() else None
    if row is None:
        raise ValueError(f"the demo's fit was refused: {form.errors.as_text()}")
    held = claim(Equalisation, row.pk, "fitting filters")
    if held:
        fits.work(held)
    row.refresh_from_db()
    return row


def _take(row: Equalisation, why: str, person: Person) -> None:
    now = current_revision(row.event)
    take(row, seen=now.number if now else 0, reason=why, person=person)


def _together(rows: Iterable[Equalisation]) -> tuple[np.ndarray, np.ndarray]:
    """What all of them do: Hz and dB."""
    results = [row.result or {} for row in rows]
    levels = np.sum([result["equaliser_db"] for result in results], axis=0)
    return np.array(results[0]["frequency_hz"]), levels
