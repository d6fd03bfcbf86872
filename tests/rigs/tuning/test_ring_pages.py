"""The ring-out's page: what it shows, refuses and keeps; and what the packet tells of it."""

import pytest
from django.urls import reverse

from rigs.packets.freeze import about_differences, freeze_about
from rigs.packets.sections.ringing import ringing_blocks
from rigs.people import rights
from rigs.systems.models import RingEntry, RingNotch, RingOut, StageMicrophone
from rigs.systems.plans import FilterPlan, OutputPlan
from rigs.systems.queries import current_revision
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def stage(site, client):
    site.place = factories.processor_place(
        site.event, factories.processor(filters_per_output=8), name="Rack control"
    )
    StageMicrophone.objects.create(event=site.event, name="Lectern")
    client.force_login(site.tech)
    return site


def send(client, site, name, data, *more):
    return client.post(reverse(f"tuning:{name}", args=[site.event.pk, *more]), data)


def sheet(client, site):
    answer = client.get(reverse("tuning:ring_out", args=[site.event.pk]))
    assert answer.status_code == 200
    return answer.text


def set_up(client, site, **changes):
    data = {
        "processor_place": site.place.pk, "outputs": "1, 2", "material": "speech",
        "notches": "6", "reserve": "", "seen": "0",
    }  # fmt: skip
    return send(client, site, "ring_out_set_up", data | changes)


def place(client, site, hz="212", **changes):
    data = {"frequency_hz": hz, "gain_db": "-6", "octaves": "0.167", "microphone": ""}
    return send(client, site, "notch_new", data | changes)


def test_cautions_stand_before_the_order_of_work(client, stage):
    text = sheet(client, stage)
    assert text.index("can harm hearing") < text.index("The order of work") < text.index("Notches")
    assert "in-ear" in text and "Stop rule" in text and "Not raised yet" in text


def test_half_of_the_notches_stay_in_reserve_unless_said(client, stage):
    assert set_up(client, stage).status_code == 302
    row = RingOut.objects.get()
    assert (row.outputs, row.notches, row.reserve) == ([1, 2], 6, 3)
    set_up(client, stage, seen=str(row.version), reserve="1")
    assert RingOut.objects.get().reserve == 1


def test_unless_said_there_are_as_many_notches_as_filters_free(client, stage):
    used = tuple(FilterPlan("peak", hz, gain_db=-1, q=2) for hz in (100, 200, 300))
    factories.revise(stage.event, OutputPlan(stage.place.pk, 2, filters=used))
    assert set_up(client, stage, notches="").status_code == 302
    row = RingOut.objects.get()
    most = stage.place.processor.filters_per_output
    assert (row.notches, row.reserve) == (min(12, most - 3), min(12, most - 3) // 2)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"outputs": "one"}, "Write numbers of outputs"),
        ({"outputs": "44"}, "there is no output 44"),
        ({"outputs": ""}, "Name one output at least"),
        ({"reserve": "9"}, "No more can be kept free"),
        ({"notches": "0"}, "One notch at least"),
        ({"processor_place": ""}, "Fill this in"),
    ],
)
def test_a_wrong_set_up_is_told_and_kept(client, stage, changes, sentence):
    answer = set_up(client, stage, **({"notches": "7"} | changes))
    assert sentence in answer.text and f'value="{changes.get("notches", "7")}"' in answer.text
    assert not RingOut.objects.exists()


def test_somebody_elses_set_up_is_not_overwritten(client, stage):
    set_up(client, stage)
    answer = set_up(client, stage, seen="0", notches="9")
    assert answer.status_code == 200 and RingOut.objects.get().notches == 6


def test_a_notch_goes_onto_the_sheet_and_into_the_processing(client, stage):
    set_up(client, stage)
    assert place(client, stage).status_code == 302
    notch = RingNotch.objects.get()
    # 1/6 octave between half-gain edges: Q = 1 / (2 sinh(ln 2 / 12)) = 8.65 (MATH).
    assert notch.q == pytest.approx(8.65, abs=0.05) and notch.made_by == stage.tech
    text = sheet(client, stage)
    assert "212 Hz" in text and "not set yet" in text
    assert send(client, stage, "notches_set", {"seen": "0"}).status_code == 302
    output = current_revision(stage.event).outputs.get(number=2)
    assert output.filters.get().frequency_hz == 212
    assert "in revision 1" in sheet(client, stage)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"frequency_hz": "nought"}, "number"),
        ({"frequency_hz": "5"}, "Below 20 Hz nothing rings"),
        ({"gain_db": "3"}, "A notch cuts"),
        ({"octaves": "7"}, "7 is not one of"),
    ],
)
def test_a_wrong_notch_is_told_and_kept(client, stage, changes, sentence):
    set_up(client, stage)
    answer = place(client, stage, **({"gain_db": "-5.5"} | changes))
    assert sentence in answer.text
    assert f'value="{changes.get("gain_db", "-5.5")}"' in answer.text
    assert not RingNotch.objects.exists()


def test_the_reserve_is_refused_in_a_sentence(client, stage):
    set_up(client, stage, notches="2")
    place(client, stage)
    assert "kept free for the show" in place(client, stage, hz="226").text
    assert place(client, stage, hz="226", from_reserve="on").status_code == 302
    assert "from the reserve" in sheet(client, stage)


def test_a_notch_comes_off(client, stage):
    set_up(client, stage)
    place(client, stage)
    send(client, stage, "notch_off", {}, RingNotch.objects.get().pk)
    assert not RingNotch.objects.exists()


@pytest.mark.parametrize(
    ("ended", "level", "state", "words"),
    [
        ("rang", "2", "tight", "less than the 6 dB"),
        ("rang", "7", "holds", "left at its show position"),
        ("rang", "-1", "fails", "It rings at its show position"),
        ("clear", "6", "holds", "at least 6.0 dB"),
        ("clear", "3", "tight", "was not raised further"),
    ],
)
def test_the_log_tells_each_microphones_margin(client, stage, ended, level, state, words):
    data = {"microphone": "Lectern", "ended": ended, "level_db": level, "frequency_hz": "254"}
    assert send(client, stage, "ring_entry", data).status_code == 302
    text = sheet(client, stage)
    assert f'data-state="{state}"' in text and words in text
    assert RingEntry.objects.get().made_by == stage.tech


def test_a_line_without_a_level_is_refused(client, stage):
    answer = send(client, stage, "ring_entry", {"microphone": "Lectern", "ended": "rang"})
    assert "Say how far it was raised" in answer.text and not RingEntry.objects.exists()


def test_who_may_not_measure_reads_it(client, stage):
    set_up(client, stage)
    place(client, stage)
    client.force_login(factories.person(rights.CREW))
    text = sheet(client, stage)
    assert "212 Hz" in text and "Place it" not in text and "Take off" not in text


def test_the_packet_tells_it_and_notices_when_it_changes(client, stage):
    before = freeze_about(stage.event)
    assert ringing_blocks(before) == []
    set_up(client, stage)
    place(client, stage)
    line = {"microphone": "Lectern", "ended": "rang", "level_db": "2", "frequency_hz": "212"}
    send(client, stage, "ring_entry", line)
    after = freeze_about(stage.event)
    assert about_differences(before, after) == ["The ring-out's notches or log changed."]
    blocks = ringing_blocks(after)
    kinds = [block["kind"] for block in blocks]
    assert kinds.index("caution") < kinds.index("checklist")
    tables = {block["title"]: block["rows"] for block in blocks if block["kind"] == "table"}
    assert tables["Placed notches"][0][0].startswith("212")
    assert tables["Log, 1 line"][0][1:3] == ["Lectern", "rang"]
    old = {key: value for key, value in before.items() if key != "ringing"}
    assert ringing_blocks(old) == [] and about_differences(old, before) == []


def test_the_sheet_takes_no_more_queries_for_more(client, stage, django_assert_max_num_queries):
    set_up(client, stage, notches="20")
    for hz in range(200, 1000, 100):
        place(client, stage, hz=str(hz))
    with django_assert_max_num_queries(30):
        sheet(client, stage)
