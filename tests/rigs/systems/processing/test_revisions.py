"""Revisions: each whole, none ever changed, nothing lost when two people save."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from rigs.people import rights
from rigs.systems import actions, queries
from rigs.systems.faults import NotSaved
from rigs.systems.models import Output, OutputFilter, Revision
from rigs.systems.plans import FilterPlan, OutputPlan, plans_of
from rigs.versions import ChangedMeanwhile
from tests import factories

pytestmark = pytest.mark.django_db

HIGH = FilterPlan("high-pass", 98.4, "Linkwitz-Riley", 4)
PEAK = FilterPlan("peak", 315.0, gain_db=-3.5, q=2.0)


def plan(rig, number=1, **fields) -> OutputPlan:
    return OutputPlan(rig.processor.pk, number, **{"gain_db": -3.0} | fields)


def revised(rig, *plans, seen=0, reason="first"):
    return actions.revise(rig.event, plans, seen=seen, reason=reason, person=rig.tech)


def unsaved(rig, number=1, **fields) -> Output:
    return Output(processor_place=rig.processor, number=number, **fields)


def test_a_revision_holds_all_that_was_said(rig):
    wanted = plan(rig, inputs=(1, 2), delay_ms=7.25, inverted=True, filters=(HIGH, PEAK))
    revised(rig, wanted, plan(rig, 2))
    made = queries.current_revision(rig.event)
    assert (made.number, made.reason, made.made_by) == (1, "first", rig.tech)
    assert plans_of(made) == {wanted.key: wanted, (rig.processor.pk, 2): plan(rig, 2)}


def test_saving_one_output_copies_all_others(rig):
    revised(rig, plan(rig, filters=(HIGH,)), plan(rig, 2, delay_ms=4))
    made = actions.save_output(
        unsaved(rig, 2, gain_db=-6.0, delay_ms=5.0),
        [PEAK.row(unsaved(rig), 1)],
        seen=1, reason="towers later", person=rig.tech,
    )  # fmt: skip
    assert made.number == 2
    now = plans_of(queries.current_revision(rig.event))
    assert now[rig.processor.pk, 1].filters == (HIGH,)
    assert now[rig.processor.pk, 2].filters == (PEAK,)
    assert now[rig.processor.pk, 2].delay_ms == 5
    first = queries.revisions(rig.event)[-1]
    assert plans_of(first)[rig.processor.pk, 2].delay_ms == 4


def test_the_second_of_two_people_is_told_and_changes_nothing(rig):
    revised(rig, plan(rig))
    revised(rig, plan(rig, delay_ms=1), seen=1, reason="theirs")
    with pytest.raises(ChangedMeanwhile, match=r"changed this at .* while you had it open") as told:
        actions.save_output(unsaved(rig, delay_ms=9), [], seen=1, reason="mine", person=None)
    assert told.value.row.number == 2
    assert Revision.objects.count() == 2


def test_nothing_new_needs_no_revision(rig):
    revised(rig, plan(rig, filters=(HIGH,)))
    with pytest.raises(NotSaved, match="Nothing differs from revision 1"):
        revised(rig, plan(rig, filters=(HIGH,)), seen=1)
    assert Revision.objects.count() == 1


@pytest.mark.parametrize("reason", ["", "   "])
def test_a_revision_without_a_reason_is_refused(rig, reason):
    with pytest.raises(NotSaved) as told:
        revised(rig, plan(rig), reason=reason)
    assert told.value.faults == {"reason": ["Say why: the next person will ask."]}


def test_a_novel_for_a_reason_is_refused_by_its_field(rig):
    with pytest.raises(NotSaved) as told:
        revised(rig, plan(rig), reason="x" * 201)
    assert "reason" in told.value.faults


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"number": 7}, "number", "has 6 outputs"),
        ({"number": 0}, "number", ""),
        ({"inputs": [3]}, "inputs", "has 2 inputs"),
        ({"inputs": [1, 1]}, "inputs", "twice"),
        ({"delay_ms": -1}, "delay_ms", "look ahead"),
        ({"delay_ms": 2001}, "delay_ms", "not believable"),
        ({"gain_db": 41}, "gain_db", "not believable"),
    ],
)
def test_what_an_output_cannot_be_is_said_by_its_field(rig, fields, field, sentence):
    with pytest.raises(NotSaved) as told:
        actions.save_output(unsaved(rig, **fields), [], seen=0, reason="first", person=rig.tech)
    assert any(sentence in each for each in told.value.faults[field])
    assert not Revision.objects.exists()


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"kind": "peak", "frequency_hz": 100.0}, "q"),
        ({"kind": "notch", "frequency_hz": 100.0}, "q"),
        ({"kind": "low-pass", "frequency_hz": 100.0}, "family"),
        ({"kind": "peak", "frequency_hz": 100.0, "q": 1, "family": "Bessel"}, "family"),
        ({"kind": "low-pass", "frequency_hz": 99, "family": "Linkwitz-Riley", "order": 3}, "order"),
        ({"kind": "low-pass", "frequency_hz": 100, "family": "Bessel", "order": 9}, "order"),
        ({"kind": "all-pass", "frequency_hz": 100, "order": 4}, "order"),
        ({"kind": "notch", "frequency_hz": 100, "q": 9, "gain_db": 3}, "gain_db"),
        ({"kind": "peak", "frequency_hz": 100, "q": 1, "gain_db": 30}, "gain_db"),
        ({"kind": "peak", "frequency_hz": 1, "q": 1}, "frequency_hz"),
    ],
)  # fmt: skip
def test_what_a_filter_cannot_be_is_said_by_its_field(rig, fields, field):
    good = HIGH.row(unsaved(rig), 1)
    with pytest.raises(NotSaved) as told:
        actions.save_output(
            unsaved(rig), [good, OutputFilter(**fields)], seen=0, reason="first", person=rig.tech
        )
    assert set(told.value.faults) == {f"filters.1.{field}"}


def test_two_high_passes_on_an_output_are_refused(rig):
    with pytest.raises(NotSaved, match="one high pass and one low pass at most"):
        revised(rig, plan(rig, filters=(HIGH, HIGH)))


def test_above_half_the_sampling_rate_there_is_no_filter(rig):
    rig.processor.processor.sampling_hz = 48_000
    rig.processor.processor.save()
    with pytest.raises(NotSaved, match="works up to 24000 Hz"):
        revised(rig, plan(rig, filters=(FilterPlan("peak", 24_000.0, q=1.0),)))


def test_a_processor_of_another_event_is_refused(rig):
    other = factories.processor_place(factories.event())
    with pytest.raises(NotSaved, match="not in this rig"):
        revised(rig, OutputPlan(other.pk, 1, gain_db=0.0))


def test_some_figures_of_some_outputs_change_the_rest_stays(rig):
    revised(rig, plan(rig, filters=(HIGH,)), plan(rig, 2))
    key = rig.processor.pk, 1
    actions.change_outputs(
        rig.event,
        {key: {"delay_ms": 3.5, "inverted": True}, (rig.processor.pk, 3): {"gain_db": 1}},
        seen=1, reason="aligned", person=rig.tech,
    )  # fmt: skip
    now = plans_of(queries.current_revision(rig.event))
    assert now[key] == plan(rig, delay_ms=3.5, inverted=True, filters=(HIGH,))
    assert now[rig.processor.pk, 3].gain_db == 1
    assert len(now) == 3


def test_going_back_repeats_an_earlier_revision_in_a_new_one(rig):
    first = revised(rig, plan(rig, filters=(HIGH,)))
    revised(rig, plan(rig, delay_ms=9), plan(rig, 2), seen=1, reason="worse")
    made = actions.go_back(first, seen=2, reason="back to the start", person=rig.tech)
    assert made.number == 3
    assert plans_of(queries.current_revision(rig.event)) == plans_of(
        queries.revisions(rig.event)[2]
    )


@pytest.mark.parametrize("model", [Revision, Output, OutputFilter])
def test_the_database_refuses_to_change_a_revision(rig, model):
    revised(rig, plan(rig, filters=(HIGH,)))
    field = {Revision: "reason", Output: "delay_ms", OutputFilter: "frequency_hz"}[model]
    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        model.objects.update(**{field: 50})


def test_an_account_and_an_event_can_go(rig):
    author = factories.person(rights.SYSTEM_TECH)
    actions.revise(rig.event, [plan(rig, filters=(HIGH,))], seen=0, reason="x", person=author)
    author.delete()
    assert queries.current_revision(rig.event).made_by is None
    rig.event.delete()
    assert not OutputFilter.objects.exists()


def test_reading_revisions_takes_the_same_number_of_queries(rig, django_assert_num_queries):
    revised(rig, plan(rig, filters=(HIGH,)))
    revised(rig, *(plan(rig, n, filters=(HIGH, PEAK)) for n in range(1, 7)), seen=1, reason="all")
    with django_assert_num_queries(3):
        for revision in queries.revisions(rig.event):
            plans_of(revision)


def test_the_last_time_at_the_venue_is_the_newest_revision_of_the_event_before(rig):
    assert queries.last_time_at_venue(rig.event) is None
    before = factories.event(space=rig.event.space, out_at=factories.NOON - timedelta(days=30))
    place = factories.processor_place(before)
    for number in (1, 2):
        actions.revise(
            before, [OutputPlan(place.pk, 1, delay_ms=number)],
            seen=number - 1, reason="x", person=None,
        )  # fmt: skip
    elsewhere = factories.event(out_at=factories.NOON - timedelta(days=5))
    actions.revise(
        elsewhere, [OutputPlan(factories.processor_place(elsewhere).pk, 1, delay_ms=1)],
        seen=0, reason="x", person=None,
    )  # fmt: skip
    found = queries.last_time_at_venue(rig.event)
    assert (found.event, found.number) == (before, 2)
