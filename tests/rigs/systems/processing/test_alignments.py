"""Listening spots, alignments and measured responses: kept, refused in words, described."""

import pytest

from rigs.systems import actions
from rigs.systems.describe import describe
from rigs.systems.faults import NotSaved
from rigs.systems.models import Alignment, ListeningSpot, MeasuredResponse
from rigs.versions import ChangedMeanwhile
from tests import factories

pytestmark = pytest.mark.django_db

CURVE = {"frequency_hz": [50.0, 100.0], "level_db": [92.0, 95.5], "phase_deg": [-20.0, -140.0]}


@pytest.fixture
def pair(rig):
    """A top and a sub on lines of their own, and a spot."""
    rig.top = factories.plays(rig.line(name="Top"))
    rig.sub = factories.plays(factories.line(rig.event, factories.placement(rig.event), name="Sub"))
    rig.spot = actions.save_spot(
        ListeningSpot(event=rig.event, name="Mix", x_m=1, y_m=12, z_m=1.2, kind="seated"),
        None,
        rig.tech,
    )
    return rig


def alignment(pair, **fields):
    return Alignment(
        event=pair.event, **{"name": "Low end", "kind": "sub to top", "spot": pair.spot} | fields
    )


def aligned(pair, moved=None, reference=None, **fields):
    return actions.save_alignment(
        alignment(pair, **fields),
        [pair.sub] if moved is None else moved,
        [pair.top] if reference is None else reference,
        None,
        pair.tech,
    )


def test_all_of_it_is_described(pair):
    aligned(pair, offset_ms=8, set_temperature_c=22)
    measured = MeasuredResponse(
        event=pair.event, line=pair.top, spot=pair.spot, curve=CURVE, removed_ms=35
    )
    actions.save_measured(measured, None, pair.tech)
    system = describe(pair.event)
    (spot,) = system.spots
    assert (spot.name, spot.x_m, spot.y_m, spot.z_m, spot.kind) == ("Mix", 1, 12, 1.2, "seated")
    (found,) = system.alignments
    assert (found.moved, found.reference, found.spot) == (("Sub",), ("Top",), "Mix")
    assert (found.kind, found.offset_ms, found.set_temperature_c) == ("sub to top", 8, 22)
    (heard,) = system.measured
    assert (heard.line, heard.spot, heard.removed_ms) == ("Top", "Mix", 35)
    assert heard.phase_deg == (-20, -140)


def test_describing_takes_the_same_number_of_queries(pair, django_assert_max_num_queries):
    aligned(pair)
    with django_assert_max_num_queries(60) as few:
        describe(pair.event)
    for number in range(4):
        spot = factories.spot(pair.event)
        aligned(pair, name=f"More {number}", spot=spot)
        factories.plays(
            factories.line(pair.event, factories.placement(pair.event), name=f"Line {number}x"),
            delay_ms=number,
        )
        MeasuredResponse.objects.create(
            event=pair.event, line=pair.top, spot=spot, curve=CURVE, removed_ms=0
        )
    with django_assert_max_num_queries(len(few)):
        describe(pair.event)


@pytest.mark.parametrize(
    ("sides", "field", "sentence"),
    [
        ({"moved": []}, "moved", "Choose at least one line to delay."),
        ({"reference": []}, "reference", "Choose at least one line that they shall meet."),
    ],
)
def test_both_sides_need_a_line(pair, sides, field, sentence):
    with pytest.raises(NotSaved) as told:
        aligned(pair, **sides)
    assert told.value.faults[field] == [sentence]
    assert not Alignment.objects.exists()


def test_a_line_cannot_wait_for_itself(pair):
    with pytest.raises(NotSaved, match="Top stands on both sides"):
        aligned(pair, moved=[pair.top])


def test_lines_and_spots_of_another_event_are_refused(pair):
    other = factories.event()
    line = factories.line(other, factories.placement(other))
    with pytest.raises(NotSaved, match="another event"):
        aligned(pair, reference=[line])
    with pytest.raises(NotSaved, match="another event"):
        aligned(pair, spot=factories.spot(other))


@pytest.mark.parametrize(
    ("fields", "field"),
    [({"offset_ms": -1}, "offset_ms"), ({"set_temperature_c": 80}, "set_temperature_c"),
     ({"kind": "by ear"}, "kind"), ({"name": ""}, "name")],
)  # fmt: skip
def test_what_an_alignment_cannot_be_is_said_by_its_field(pair, fields, field):
    with pytest.raises(NotSaved) as told:
        aligned(pair, **fields)
    assert field in told.value.faults


def test_a_spot_in_use_stays_and_says_for_what(pair):
    aligned(pair)
    with pytest.raises(NotSaved, match="Alignment Low end is judged at Mix"):
        actions.remove_spot(pair.spot, pair.spot.version)
    actions.remove_alignment(pair.event.alignments.get(), 1)
    actions.remove_spot(pair.spot, pair.spot.version)
    assert not ListeningSpot.objects.exists()


def test_a_line_in_an_alignment_stays_and_says_so(pair):
    aligned(pair)
    with pytest.raises(NotSaved, match="Alignment Low end counts on Sub"):
        actions.remove_line(pair.sub, pair.sub.version)
    assert pair.event.drivelines.filter(name="Sub").exists()


def test_the_second_of_two_people_is_told(pair):
    made = aligned(pair)
    actions.save_alignment(made, [pair.sub], [pair.top], 1, pair.tech)
    with pytest.raises(ChangedMeanwhile):
        actions.save_alignment(made, [pair.sub], [pair.top], 1, pair.tech)


def test_two_spots_of_one_name_are_refused_by_the_name(pair):
    with pytest.raises(NotSaved) as told:
        actions.save_spot(ListeningSpot(event=pair.event, name="Mix"), None, None)
    assert told.value.faults == {"name": ["This event has a listening spot of that name already."]}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"level_db": [92.0]}, "one level and one phase"),
        ({"frequency_hz": [100.0, 50.0]}, "must rise"),
        ({"frequency_hz": [0.0, 50.0]}, "from above 0"),
        ({"phase_deg": [float("nan"), 0.0]}, "no numbers"),
        ({"phase_deg": ["a", 0.0]}, "no numbers"),
        ({"phase_deg": None}, "frequencies, levels and phases"),
    ],
)
def test_a_broken_response_is_refused(pair, changes, words):
    measured = MeasuredResponse(
        event=pair.event, line=pair.top, spot=pair.spot, curve=CURVE | changes
    )
    with pytest.raises(NotSaved, match=words):
        actions.save_measured(measured, None, None)
    assert not MeasuredResponse.objects.exists()
