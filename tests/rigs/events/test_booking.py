"""What a kit list is promised, and in which words it is refused."""

from datetime import UTC, datetime, timedelta

import pytest

from rigs.events import actions
from rigs.events.models import CountBooking, KitRow, UnitBooking
from rigs.events.queries import booking_period, free_counts
from rigs.events.refusals import Promised, Refused
from rigs.stock.models import Unit
from tests import factories as make

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)
LISBON = {"zone": "Europe/Lisbon"}


def serials(row: KitRow) -> set[str]:
    return set(row.unit_bookings.values_list("unit__serial", flat=True))


def test_a_refusal_says_what_is_missing_who_has_it_until_when_and_what_else_would_do() -> None:
    space = make.space(venue=make.venue(**LISBON))
    out = datetime(2027, 3, 12, 10, tzinfo=UTC)
    ball = make.event(
        name="Harvest Ball",
        space=space,
        out_at=out,
        back_at=datetime(2027, 3, 14, 2, tzinfo=UTC),
    )
    marrow = make.loudspeaker(maker="Marrow", model="12", turnaround=2 * HOUR)
    fennel = make.loudspeaker(maker="Fennel", model="12", way={"sensitivity_db": 97.0})
    make.loudspeaker(maker="Sorrel", model="sub", role="sub")
    make.units(marrow, 8)
    make.units(fennel, 4)
    gala = make.event(name="Gala", space=space, out_at=out + HOUR)
    actions.put_on_kit(ball, marrow, 6)

    with pytest.raises(Promised) as refusal:
        actions.put_on_kit(gala, marrow, 4)

    assert str(refusal.value) == (
        "Only 2 of 4 Marrow 12 are free. Harvest Ball has 6 until Sun 14 Mar 02:00 (with 2 h "
        "test until 04:00). Instead: 4 Fennel 12 are free (same role, 1 dB quieter)."
    )
    assert not KitRow.objects.filter(event=gala).exists(), "nothing half-saved"


def test_kit_is_free_again_at_the_instant_its_test_ends() -> None:
    box = make.loudspeaker(turnaround=2 * HOUR, preparation=HOUR)
    make.unit(box)
    first = make.event()
    actions.put_on_kit(first, box, 1)
    touching = make.event(out_at=first.back_at + 3 * HOUR)
    minute_early = make.event(out_at=first.back_at + 3 * HOUR - timedelta(minutes=1))

    assert free_counts(touching, [box]) == {box.pk: 1}
    assert free_counts(minute_early, [box]) == {box.pk: 0}
    with pytest.raises(Promised):
        actions.put_on_kit(minute_early, box, 1)
    actions.put_on_kit(touching, box, 1)


def test_return_at_four_with_test_clashes_with_a_pick_at_five_when_the_clocks_change() -> None:
    """Job, trap 5. In Lisbon the clocks go back on Sun 31 Oct 2027 at 02:00 to 01:00."""
    space = make.space(venue=make.venue(**LISBON))
    amplifier = make.amplifier(turnaround=2 * HOUR)
    make.unit(amplifier)
    # 04:00 local is 04:00 UTC by then; the wall clock says 23:00 to 04:00, but that is 6 h.
    saturday = make.event(
        space=space,
        out_at=datetime(2027, 10, 29, 9, tzinfo=UTC),
        back_at=datetime(2027, 10, 31, 4, tzinfo=UTC),
    )
    sunday = make.event(space=space, out_at=datetime(2027, 10, 31, 5, tzinfo=UTC))
    later = make.event(space=space, out_at=datetime(2027, 10, 31, 6, tzinfo=UTC))
    actions.put_on_kit(saturday, amplifier, 1, place="rack")

    with pytest.raises(Promised, match=r"until Sun 31 Oct 04:00 \(with 2 h test until 06:00\)"):
        actions.put_on_kit(sunday, amplifier, 1, place="rack")
    assert actions.put_on_kit(later, amplifier, 1, place="rack").pieces_promised == 1


def test_the_second_hour_of_a_clock_change_is_another_hour() -> None:
    """01:30 comes twice that night; back at the first, out at the second: no clash."""
    cable = make.cable(turnaround=0 * HOUR)
    make.count(cable, 1)
    first = make.event(
        out_at=datetime(2027, 10, 30, 9, tzinfo=UTC),
        back_at=datetime(2027, 10, 31, 0, 30, tzinfo=UTC),
    )
    second = make.event(out_at=datetime(2027, 10, 31, 1, 30, tzinfo=UTC))
    actions.put_on_kit(first, cable, 1)
    assert actions.put_on_kit(second, cable, 1).quantity == 1


def test_any_takes_the_unit_with_the_tightest_gap() -> None:
    box = make.loudspeaker(turnaround=0 * HOUR)
    for serial in ("A", "B", "C"):
        make.unit(box, serial)
    day = 24 * HOUR
    before = make.event(out_at=make.NOON - 3 * day, back_at=make.NOON - HOUR)
    long_before = make.event(out_at=make.NOON - 9 * day, back_at=make.NOON - 6 * day)
    actions.put_on_kit(before, box, 1, serials=["B"])
    actions.put_on_kit(long_before, box, 1, serials=["C"])
    row = actions.put_on_kit(make.event(), box, 1)
    assert serials(row) == {"B"}


def test_units_out_of_racks_are_taken_before_racks_are_torn_apart() -> None:
    amplifier = make.amplifier()
    make.rack(make.unit(amplifier, "A"))
    make.unit(amplifier, "B")
    assert serials(actions.put_on_kit(make.event(), amplifier, 1)) == {"B"}


def three_events_that_need_an_exchange() -> tuple:
    """Two units; early holds A, late holds B, and the third overlaps both."""
    box = make.loudspeaker(turnaround=0 * HOUR)
    for serial in ("A", "B"):
        make.unit(box, serial)
    day = 24 * HOUR
    early = make.event(out_at=make.NOON, back_at=make.NOON + 2 * day)
    late = make.event(out_at=make.NOON + 3 * day, back_at=make.NOON + 5 * day)
    early_row = actions.put_on_kit(early, box, 1, serials=["A"])
    late_row = actions.put_on_kit(late, box, 1, serials=["B"])
    whole = make.event(out_at=make.NOON + HOUR, back_at=make.NOON + 4 * day)
    return box, early_row, late_row, whole


def test_units_of_other_events_are_exchanged_when_no_single_one_is_free_throughout() -> None:
    box, early_row, late_row, whole = three_events_that_need_an_exchange()
    UnitBooking.objects.update(chosen=False)
    row = actions.put_on_kit(whole, box, 1)
    assert row.pieces_promised == 1
    assert serials(early_row) == serials(late_row) != serials(row)


def test_serials_that_were_chosen_are_not_exchanged() -> None:
    box, *_, whole = three_events_that_need_an_exchange()
    assert free_counts(whole, [box]) == {box.pk: 1}, "one is idle at every instant"
    with pytest.raises(Promised, match="no exchange between events frees the same unit"):
        actions.put_on_kit(whole, box, 1)


def test_kit_that_is_out_already_is_not_exchanged(monkeypatch: pytest.MonkeyPatch) -> None:
    box, _, _, whole = three_events_that_need_an_exchange()
    UnitBooking.objects.update(chosen=False)
    now = make.NOON + timedelta(days=4)
    monkeypatch.setattr("django.utils.timezone.now", lambda: now)
    with pytest.raises(Promised, match="out already"):
        actions.put_on_kit(whole, box, 1)


def test_choosing_a_serial_moves_an_event_that_takes_any() -> None:
    box = make.loudspeaker()
    for serial in ("A", "B"):
        make.unit(box, serial)
    other = actions.put_on_kit(make.event(), box, 1)
    (held,) = serials(other)
    row = actions.put_on_kit(make.event(), box, 1)
    actions.choose_units(row, [held])
    assert serials(row) == {held}
    assert serials(other) == {"A", "B"} - {held}


def test_choosing_a_serial_that_is_chosen_elsewhere_names_the_event() -> None:
    box = make.loudspeaker()
    make.units(box, 3)
    make.unit(box, "A")
    actions.put_on_kit(make.event(name="Fair"), box, 1, serials=["A"])
    row = actions.put_on_kit(make.event(), box, 1)
    before = serials(row)
    with pytest.raises(Promised, match=r"^A is with Fair until Mon 3 Jun 12:00 and free again"):
        actions.choose_units(row, ["A"])
    assert serials(row) == before


def test_units_set_aside_are_not_offered_and_not_chosen() -> None:
    box = make.loudspeaker()
    make.unit(box, "A")
    make.unit(box, "B", state=Unit.State.SET_ASIDE, fault="rattles")
    event = make.event()
    assert free_counts(event, [box]) == {box.pk: 1}
    with pytest.raises(Refused, match="B is set aside: rattles"):
        actions.put_on_kit(event, box, 1, serials=["B"])
    with pytest.raises(Promised, match=r"Only 1 of 2 .* is free. The company owns 2, 1 of them"):
        actions.put_on_kit(event, box, 2)


def test_a_unit_set_aside_after_it_was_promised_can_be_replaced() -> None:
    box = make.loudspeaker()
    make.units(box, 3)
    row = actions.put_on_kit(make.event(), box, 2)
    unfit = row.unit_bookings.first().unit
    Unit.objects.filter(pk=unfit.pk).update(state="set aside", fault="hum")
    actions.replace_unit(row, unfit)
    assert row.unit_bookings.filter(unit__state="ready").count() == 2


def test_a_promise_on_a_unit_set_aside_still_counts() -> None:
    """The event needs a unit in its place: nobody else may take the last one meanwhile."""
    box = make.loudspeaker()
    make.units(box, 2)
    row = actions.put_on_kit(make.event(), box, 1)
    Unit.objects.filter(bookings__row=row).update(state="set aside", fault="hum")
    other = make.event()
    assert free_counts(other, [box]) == {box.pk: 0}
    with pytest.raises(Promised):
        actions.put_on_kit(other, box, 1)
    actions.replace_unit(row, row.unit_bookings.first().unit)
    assert row.unit_bookings.get().unit.state == Unit.State.READY


def test_the_same_item_at_the_same_place_is_one_row() -> None:
    cable = make.cable()
    make.count(cable, 10)
    event = make.event()
    actions.put_on_kit(event, cable, 3, why="for line Sub left")
    row = actions.put_on_kit(event, cable, 4, why="for line Sub right")
    actions.put_on_kit(event, cable, 2, place="spare")
    assert (row.quantity, row.why) == (7, "for line Sub left; for line Sub right")
    assert free_counts(event, [cable]) == {cable.pk: 1}
    assert KitRow.objects.filter(event=event).count() == 2


def test_quantity_can_rise_to_what_is_there_and_no_further() -> None:
    cable = make.cable(maker="Plain", model="cable")
    make.count(cable, 10, set_aside=1)
    event = make.event()
    row = actions.put_on_kit(event, cable, 4)
    assert actions.set_quantity(row, 9).quantity == 9
    with pytest.raises(Promised, match=r"None of 2 .* This kit list has 9 already. The company"):
        actions.set_quantity(row, 11)
    assert CountBooking.objects.get(row=row).quantity == 9
    assert actions.set_quantity(row, 1).pieces_promised == 1
    with pytest.raises(Refused, match="take the row off"):
        actions.set_quantity(row, 0)


def test_lowering_lets_any_units_go_but_never_a_chosen_one() -> None:
    box = make.loudspeaker()
    make.units(box, 3)
    make.unit(box, "A")
    row = actions.put_on_kit(make.event(), box, 3, serials=["A"])
    assert serials(actions.set_quantity(row, 1)) == {"A"}


def test_an_edit_over_somebody_elses_edit_is_told() -> None:
    cable = make.cable()
    make.count(cable, 10)
    row = actions.put_on_kit(make.event(), cable, 4)
    actions.set_quantity(row, 6, seen=4)
    with pytest.raises(Refused, match="Somebody set this to 6 meanwhile"):
        actions.set_quantity(row, 5, seen=4)


def test_a_row_joins_the_row_at_the_place_it_is_moved_to() -> None:
    box = make.loudspeaker()
    make.units(box, 5)
    event = make.event()
    line = actions.put_on_kit(event, box, 3)
    spare = actions.put_on_kit(event, box, 2, place="spare")
    joined = actions.describe_row(spare, place="line", why="")
    assert (joined.pk, joined.quantity, joined.unit_bookings.count()) == (line.pk, 5, 5)
    assert KitRow.objects.filter(event=event).count() == 1


def test_a_rack_comes_with_its_own_units() -> None:
    amplifier = make.amplifier()
    processor = make.processor()
    inside = [make.unit(amplifier, "A1"), make.unit(amplifier, "A2"), make.unit(processor, "P1")]
    rack = make.rack(*inside, name="Rack 2")
    make.unit(amplifier, "A3")
    event = make.event()
    rows = actions.put_rack_on_kit(event, rack)
    assert {s for row in rows for s in serials(row)} == {"A1", "A2", "P1"}
    assert {(row.place, row.why) for row in rows} == {("rack", "Rack 2")}
    with pytest.raises(Refused, match="on this kit list already"):
        actions.put_rack_on_kit(event, rack)


def test_a_rack_is_added_whole_or_not_at_all() -> None:
    amplifier, processor = make.amplifier(), make.processor()
    rack = make.rack(make.unit(amplifier, "A1"), make.unit(processor, "P1"))
    actions.put_on_kit(make.event(name="Fair"), processor, 1, serials=["P1"])
    event = make.event()
    with pytest.raises(Promised, match="Fair"):
        actions.put_rack_on_kit(event, rack)
    assert not event.kit.exists()
    Unit.objects.filter(serial="A1").update(state="set aside", fault="fan")
    with pytest.raises(Refused, match=r"A1 \(.*\) is set aside: fan"):
        actions.put_rack_on_kit(make.event(), rack)


def test_booking_period_adds_the_items_own_times() -> None:
    box = make.loudspeaker(preparation=HOUR, turnaround=3 * HOUR)
    event = make.event()
    assert booking_period(event, box) == (event.out_at - HOUR, event.back_at + 3 * HOUR)


def test_counted_pieces_have_no_serials() -> None:
    cable = make.cable()
    make.count(cable, 3)
    with pytest.raises(Refused, match="have no serials"):
        actions.put_on_kit(make.event(), cable, 1, serials=["X"])
