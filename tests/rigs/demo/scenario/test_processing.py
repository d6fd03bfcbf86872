"""What the processing of each event is there to show."""

import pytest

from calc.check import check
from rigs.catalogue.models import Processor, Way
from rigs.events.models import Event
from rigs.people import rights
from rigs.systems import queries
from rigs.systems.actions.output_faults import output_faults
from rigs.systems.describe import describe
from rigs.systems.models import DriveLine, Output
from rigs.systems.plans import plans_of

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("filled")]

OF_PROCESSING = {
    "alignment", "delay_drift", "delay_as_inversion", "crossover_polarity", "crossover_order",
    "protection", "fits_processor",
}  # fmt: skip


def event(name: str) -> Event:
    return Event.objects.get(name=name)


def test_everything_about_processing_holds_at_the_gala():
    found = [
        f for f in check(describe(event("Quayside Gala"))).findings if f.check in OF_PROCESSING
    ]
    assert {f.check for f in found} == OF_PROCESSING - {"delay_as_inversion"}
    assert {f.sentence for f in found if f.state != "holds"} == set()


def test_the_gala_was_set_three_times_by_the_tech_each_time_otherwise():
    newest, second, oldest = queries.revisions(event("Quayside Gala"))
    assert [r.number for r in (newest, second, oldest)] == [3, 2, 1]
    assert newest.made_by.has_perm(rights.DESCRIBE_RIG)
    assert len({newest.reason, second.reason, oldest.reason}) == 3
    assert plans_of(newest) != plans_of(second) != plans_of(oldest)


def test_the_last_time_on_the_meadow_was_set_otherwise():
    last = queries.last_time_at_venue(event("Quayside Gala"))
    assert (last.event.name, last.number) == ("Raft Race Prizegiving", 2)


def test_every_driven_output_of_an_event_with_a_packet_is_described():
    gala = event("Quayside Gala")
    for each in Event.objects.filter(revisions__isnull=False).distinct():
        described = plans_of(queries.current_revision(each))
        driven = DriveLine.objects.filter(event=each, output__isnull=False)
        assert {(ln.processor_place_id, ln.output) for ln in driven} <= set(described), each
        assert all(plan.gain_db is not None for plan in described.values()), each
    assert len(plans_of(queries.current_revision(gala))) == 13


def test_every_output_could_be_saved_as_it_stands():
    for row in Output.objects.select_related("processor_place__processor", "revision__event"):
        plan = plans_of(queries.current_revision(row.revision.event)).get(
            (row.processor_place_id, row.number)
        )
        assert plan is None or output_faults(plan, row.processor_place) == {}, row


def test_processors_differ_in_what_they_can_be_set_to():
    coarse, fine, old = (
        Processor.objects.get(model=model)
        for model in ("Almanac 2-6", "Almanac 4-8", "Daybook 2-4")
    )
    assert coarse.filters_per_output < fine.filters_per_output
    assert coarse.sampling_hz < fine.sampling_hz and old.sampling_hz is None
    assert coarse.dials.get(quantity="pass_hz").scale == "steps per octave"
    assert not coarse.slopes.filter(family="Bessel").exists()
    assert not old.dials.filter(quantity="pass_hz", step__isnull=False).exists()


def test_some_ways_say_which_high_pass_they_need_and_some_do_not():
    horns = Way.objects.filter(name="HF")
    assert horns.filter(least_high_pass_hz__gt=500).count() >= 4
    assert horns.filter(least_high_pass_hz=None).exists()
