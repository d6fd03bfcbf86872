"""Overview, revisions, alignments and sub arrays: what they show, and who may do what."""

import html
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from rigs.people.rights import CREW, WAREHOUSE
from rigs.systems import queries
from rigs.systems.models import (
    Alignment,
    DriveLine,
    ListeningSpot,
    MeasuredResponse,
    Output,
    Revision,
)
from tests import factories
from tests.rigs.systems.dialling import alignment, crossed_over, passed, set_output

pytestmark = pytest.mark.django_db


def said(response):
    return html.unescape(response.content.decode())


def get(rig, rest=""):
    response = rig.client.get(rig.url(f"processing/{rest}"))
    assert response.status_code == 200
    return said(response)


# --- overview -------------------------------------------------------------------------------


def test_the_overview_tells_how_each_output_is_set(rig):
    crossed_over(rig)
    set_output(rig, 2, passed("low-pass"), delay_ms=10.0, inverted=True, reason="turned")
    page = get(rig)
    assert "Low-pass, Linkwitz-Riley 24 dB/octave, 100 Hz" in page
    assert "10 ms (3.43 m, 11.3 ft)" in page
    assert "inverted" in page and "Tops" in page and "Sub 1" in page
    assert "turned" in page and str(rig.tech) in page


def test_outputs_that_nobody_described_say_so_and_idle_ones_stand_aside(rig):
    rig.line(name="Tops", processor_place=rig.processor, output=1)
    page = get(rig)
    assert "Nobody said how it is set" in page and "cannot check" in page
    assert "Nothing is connected to, or set for" in page


def test_an_output_that_its_processor_cannot_do_does_not_hold(rig):
    crossed_over(rig)
    set_output(rig, 2, passed("low-pass"), delay_ms=10.0)
    dials = rig.processor.processor.dials
    dials.update_or_create(quantity="delay_ms", defaults={"least": 0, "most": 5, "step": 0.01})
    assert "Does not fit the processor: Delay." in get(rig)


def test_an_empty_rig_has_an_overview(rig):
    rig.processor.delete()
    assert "no processor yet" in get(rig)


def test_more_outputs_are_read_no_more_often(rig):
    crossed_over(rig)
    alignment(rig)

    def count():
        with CaptureQueriesContext(connection) as seen:
            get(rig)
        return len(seen)

    count()
    before = count()
    for number in (3, 4, 5, 6):
        set_output(rig, number, passed("high-pass", 200.0))
    alignment(rig, name="Again")
    assert count() == before


# --- revisions ------------------------------------------------------------------------------


def test_revisions_stand_newest_first_with_who_and_why(rig):
    crossed_over(rig)
    page = get(rig, "revisions/")
    assert page.index("Revision 2") < page.index("Revision 1")
    assert "subs in" in page and "tops in" in page


def test_a_revision_tells_what_it_changed(rig):
    crossed_over(rig)
    set_output(rig, 2, passed("low-pass", 80.0), delay_ms=2.0, reason="lower")
    response = rig.client.get(rig.url("processing/revisions/3/"))
    (changed,) = response.context["changes"]
    assert changed.output == "Processor A, output 2"
    assert {(c.label, c.was, c.now) for c in changed.changes} == {
        ("Delay", "0 ms", "2 ms (0.69 m, 2.25 ft)"),
        ("Low-pass", "Linkwitz-Riley 24 dB/octave, 100 Hz", "Linkwitz-Riley 24 dB/octave, 80 Hz"),
    }


def test_going_back_is_one_step_and_loses_nothing(rig):
    crossed_over(rig)
    set_output(rig, 2, passed("low-pass", 80.0), reason="lower")
    page = get(rig, "revisions/2/")
    assert 'value="Back to revision 2: subs in"' in page
    response = rig.client.post(
        rig.url("processing/revisions/2/back/"),
        {"seen": "3", "reason": "Back to revision 2: subs in"},
    )
    assert response.status_code == 302
    assert [r.number for r in queries.revisions(rig.event)] == [4, 3, 2, 1]
    row = queries.current_revision(rig.event).outputs.get(number=2)
    assert row.filters.get().frequency_hz == 100.0


def test_going_back_needs_a_reason_and_the_newest_page(rig):
    crossed_over(rig)
    back = rig.url("processing/revisions/1/back/")
    assert "Say why" in said(rig.client.post(back, {"seen": "2", "reason": " "}))
    late = said(rig.client.post(back, {"seen": "1", "reason": "mine"}))
    assert "changed this at" in late and 'value="mine"' in late
    assert Revision.objects.count() == 2


def test_a_revision_that_is_not_there_is_not_found(rig):
    crossed_over(rig)
    assert rig.client.get(rig.url("processing/revisions/9/")).status_code == 404
    assert rig.client.post(rig.url("processing/revisions/9/back/")).status_code == 404


def test_the_last_time_at_this_venue_is_named_with_its_date(rig):
    earlier = factories.event(
        name="Last spring", space=rig.event.space, out_at=rig.event.out_at - timedelta(days=90)
    )
    place = factories.processor_place(earlier, rig.processor.processor, name="Processor A")
    crossed_over(rig)
    then = type(rig)(earlier, rig.box, rig.amp, place, rig.cable, rig.tech, rig.client)
    set_output(then, 1, passed("high-pass", 120.0), reason="as heard")
    page = get(rig, "revisions/")
    day = earlier.show_from
    assert f"Last spring, {day:%a} {day.day} {day:%b} {day.year}" in page
    assert "Linkwitz-Riley 24 dB/octave, 120 Hz" in page


# --- alignments -----------------------------------------------------------------------------


def test_an_alignment_says_first_what_to_do(rig):
    crossed_over(rig)
    row = alignment(rig)
    page = get(rig, f"alignments/{row.pk}/")
    assert "to Subs" in page or "wait" in page
    assert "within ±60°" in page
    assert "What to enter" in page


def test_taking_an_alignments_delay_makes_a_revision_after_which_nothing_is_left_to_do(rig):
    crossed_over(rig)
    row = alignment(rig)
    page = rig.url(f"processing/alignments/{row.pk}/")
    before = rig.client.get(page).context
    assert abs(before["result"].add_ms) > 1
    response = rig.client.post(f"{page}take/", {"seen": "2", "reason": before["reason"]})
    assert response.status_code == 302
    assert Revision.objects.count() == 3
    after = rig.client.get(page).context
    assert after["result"].add_ms == pytest.approx(0, abs=0.02)
    assert after["result"].worst_phase_deg == pytest.approx(
        before["result"].best_worst_phase_deg, abs=2
    )


def test_where_the_reference_must_wait_its_outputs_move(rig):
    crossed_over(rig)
    far = DriveLine.objects.get(event=rig.event, name="Subs").links.get().placement
    far.y_m = -6.0
    far.save()
    row = alignment(rig)
    page = rig.url(f"processing/alignments/{row.pk}/")
    seen = rig.client.get(page).context
    assert seen["result"].delay_ms < 0 and "wait" in seen["decides"]
    rig.client.post(f"{page}take/", {"seen": "2", "reason": "wait"})
    delays = dict(queries.current_revision(rig.event).outputs.values_list("number", "delay_ms"))
    assert delays[2] == 0 and delays[1] == pytest.approx(-seen["result"].delay_ms, abs=0.01)


def test_lines_that_share_an_output_cannot_be_moved_apart(rig):
    crossed_over(rig)
    DriveLine.objects.filter(name="Subs").update(output=1)
    row = alignment(rig)
    page = get(rig, f"alignments/{row.pk}/")
    assert "can't be taken" in page and "feeds lines on both sides" in page
    response = rig.client.post(
        rig.url(f"processing/alignments/{row.pk}/take/"), {"seen": "2", "reason": "try"}
    )
    assert response.status_code == 200 and Revision.objects.count() == 2


def test_an_alignment_is_added_and_the_same_line_on_both_sides_is_refused(rig):
    top, sub = crossed_over(rig)
    spot = ListeningSpot.objects.create(event=rig.event, name="Mix", y_m=20)
    sent = {
        "seen": "1",
        "name": "Subs to tops",
        "kind": "sub to top",
        "moved": [sub.pk],
        "reference": [top.pk],
        "spot": spot.pk,
    }
    bad = rig.client.post(rig.url("alignments/new/"), sent | {"moved": [top.pk, sub.pk]})
    assert "stands on both sides" in said(bad)
    nothing = rig.client.post(rig.url("alignments/new/"), sent | {"moved": []})
    assert "at least one line to delay" in said(nothing)
    assert rig.client.post(rig.url("alignments/new/"), sent).status_code == 302
    row = Alignment.objects.get()
    assert list(row.moved.all()) == [sub] and list(row.reference.all()) == [top]
    assert row.offset_ms == 0


def test_a_listening_spot_is_added_and_stands_on_the_plan(rig):
    sent = {
        "seen": "1",
        "name": "Mix position",
        "x_m": "1",
        "y_m": "18",
        "z_m": "",
        "kind": "seated",
    }
    assert rig.client.post(rig.url("spots/new/"), sent).status_code == 302
    spot = ListeningSpot.objects.get()
    assert (spot.x_m, spot.y_m, spot.z_m) == (1, 18, 1.6)
    plan = said(rig.client.get(rig.url()))
    assert "Listening spots: Mix position at x 1 m, y 18 m" in plan


RISING = "\n".join(f"{20 * 2 ** (n / 3):.2f}, {90 - n}, {-30 * n}" for n in range(12))


def upload(rig, text, **changes):
    spot, _ = ListeningSpot.objects.get_or_create(event=rig.event, name="Mix")
    line = DriveLine.objects.get(event=rig.event, name="Subs")
    sent = {"seen": "1", "line": line.pk, "spot": spot.pk, "removed_ms": "", "text": ""}
    sent["file"] = SimpleUploadedFile("sub.csv", text if isinstance(text, bytes) else text.encode())
    return rig.client.post(rig.url("responses/new/"), sent | changes)


def test_a_measured_response_is_uploaded(rig):
    crossed_over(rig)
    assert upload(rig, f"Hz,dB,deg\n{RISING}", removed_ms="4").status_code == 302
    row = MeasuredResponse.objects.get()
    assert len(row.curve["frequency_hz"]) == 12 and row.removed_ms == 4
    assert row.curve["level_db"][:2] == [90.0, 89.0]
    assert "12 points" in get(rig, "alignments/")


def test_a_long_response_is_thinned_evenly_over_the_octaves(rig):
    crossed_over(rig)
    lines = "\n".join(f"{hz}, 90, {-hz * 3}" for hz in range(20, 8000))
    assert upload(rig, lines).status_code == 302
    kept = MeasuredResponse.objects.get().curve["frequency_hz"]
    assert len(kept) <= 500 and (kept[0], kept[-1]) == (20, 7999)
    octaves = [sum(low <= hz < 2 * low for hz in kept) for low in (250, 500, 1000, 2000)]
    assert max(octaves) - min(octaves) <= 2
    assert rig.client.get(rig.url("processing/")).status_code == 200


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "empty"),
        ("20, 90\n30, 91", "write Hz, dB and degrees"),
        ("30, 90, 0\n20, 91, 0", "frequencies must rise"),
        (RISING.replace("90,", "1e9,", 1), "not believable"),
        (RISING.replace("90,", "nan,", 1), "write Hz, dB and degrees"),
        ("20, 90, 0\n40, 91, 5", "8 to 20000 points"),
        (b"\x00\x01\x02" * 200, "no text file"),
        ("9" * 300_000, "too large"),
    ],
)
def test_a_hostile_file_is_refused_in_a_sentence(rig, text, sentence):
    crossed_over(rig)
    response = upload(rig, text)
    assert response.status_code == 200
    assert sentence in said(response)
    assert not MeasuredResponse.objects.exists()


# --- sub arrays -----------------------------------------------------------------------------


def rows_of_subs(rig, shared=False):
    """Two subs, one behind the other, on outputs 2 and 3 or both on output 2."""
    crossed_over(rig)
    first = DriveLine.objects.get(event=rig.event, name="Subs").links.get().placement
    second = factories.placement(
        rig.event, first.loudspeaker, name="Sub 2", y_m=first.y_m - 1.0, z_m=0.5
    )
    factories.line(
        rig.event,
        second,
        amp=factories.amplifier_place(rig.event, rig.amp.amplifier, name="Amp B"),
        run=rig.cable,
        name="Subs back",
        processor_place=rig.processor,
        output=2 if shared else 3,
    )
    return first, second


ASKED = "?boxes=Sub+1&boxes=Sub+2&kind=gradient&design_hz=80&aim_deg=0&opening_deg=90&bands=80"


def test_a_sub_array_shows_what_it_costs_and_what_to_enter(rig):
    rows_of_subs(rig)
    page = get(rig, f"sub-array/{ASKED}")
    assert "What to enter" in page and "Processor A, output 3" in page and "inverted" in page
    assert "level all round" in page and "Lost ahead" in page


def test_taking_a_sub_array_sets_delay_and_polarity_of_each_output(rig):
    rows_of_subs(rig)
    response = rig.client.post(
        rig.url("processing/sub-array/take/"),
        {
            "seen": "2", "reason": "quiet stage", "boxes": ["Sub 1", "Sub 2"],
            "kind": "gradient", "design_hz": "80", "aim_deg": "0", "opening_deg": "90",
        },
    )  # fmt: skip
    assert response.status_code == 302
    now = queries.current_revision(rig.event)
    assert now.reason == "quiet stage"
    front, back = (now.outputs.get(number=number) for number in (2, 3))
    assert (front.delay_ms, front.inverted) == (0, False)
    assert back.inverted and back.delay_ms == pytest.approx(1000 / 343.2, rel=0.02)


def test_boxes_that_share_an_output_are_named_as_the_obstacle(rig):
    rows_of_subs(rig, shared=True)
    page = get(rig, f"sub-array/{ASKED}")
    assert "Sub 1 and Sub 2 share Processor A, output 2" in page
    assert ">Take it<" not in page


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (ASKED.replace("boxes=Sub+2&", ""), "2 to 64 boxes"),
        (ASKED.replace("design_hz=80", "design_hz=5"), "at least 20"),
        (ASKED.replace("kind=gradient", "kind=star"), "not one of"),
        (ASKED.replace("Sub+2", "Sub+9"), "not one of"),
        (ASKED.replace("aim_deg=0", "aim_deg=inf"), "number"),
    ],
)
def test_wrong_wishes_for_an_array_are_told(rig, asked, sentence):
    rows_of_subs(rig)
    page = get(rig, f"sub-array/{asked}")
    assert "There is no plan" in page and sentence in page


# --- rights ---------------------------------------------------------------------------------


@pytest.mark.parametrize("role", [CREW, WAREHOUSE])
def test_others_look_and_change_nothing(rig, role):
    rows_of_subs(rig)
    row = alignment(rig)
    rig.client.force_login(factories.person(role))
    for rest in ("", "revisions/", "revisions/1/", "alignments/", f"alignments/{row.pk}/"):
        page = get(rig, rest)
        assert "Go back to this one" not in page and "Take this delay" not in page
    assert ">Take it<" not in get(rig, f"sub-array/{ASKED}")
    for rest in ("revisions/1/back/", f"alignments/{row.pk}/take/", "sub-array/take/"):
        assert rig.client.post(rig.url(f"processing/{rest}"), {"seen": "2"}).status_code == 403
    for rest in ("spots/new/", "alignments/new/", "responses/new/"):
        assert rig.client.get(rig.url(rest)).status_code == 403
    assert Revision.objects.count() == 2
    assert Output.objects.filter(revision__number=2).count() == 2


def test_nobody_looks_without_an_account(rig):
    rig.client.logout()
    assert rig.client.get(rig.url("processing/")).status_code == 302
