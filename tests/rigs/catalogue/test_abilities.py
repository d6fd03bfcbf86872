"""What a processor can be set to: entered, shown, and refused where it cannot be."""

import html

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from rigs.catalogue.models import Loudspeaker, Processor, ProcessorDial, ProcessorSlope
from rigs.people import rights
from rigs.systems.describe import describe
from tests import factories
from tests.rigs.catalogue.test_pages import WAY, base, rows

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper(client):
    client.force_login(factories.person(rights.WAREHOUSE))
    return client


def entries(**fields):
    return base(inputs=4, outputs=8, bessel_corner="unknown", mixes_inputs="unknown") | fields


KNOWN = {
    "filters_per_output": 10, "kinds": ["peak", "notch"], "bessel_corner": "-3 dB",
    "mixes_inputs": "true", "sampling_hz": 96000, "latency_ms": 1.5,
    "abilities-delay_ms-least": 0, "abilities-delay_ms-most": 1300,
    "abilities-delay_ms-step": "0.01", "abilities-pass_hz-step": 24,
    "abilities-pass_hz-scale": "steps per octave", "abilities-BUTTERWORTH": [1, 2],
    "abilities-LINKWITZ_RILEY": [4],
}  # fmt: skip


def words_of(client, processor):
    return html.unescape(client.get(reverse("catalogue:item", args=[processor.pk])).text)


def test_what_is_typed_is_kept_and_shown_in_words(keeper):
    keeper.post(reverse("catalogue:new", args=["processor"]), entries(**KNOWN))
    made = Processor.objects.get()
    assert (made.filters_per_output, made.kinds, made.mixes_inputs) == (10, ["peak", "notch"], True)
    assert (made.sampling_hz, made.latency_ms, made.bessel_corner) == (96000, 1.5, "-3 dB")
    assert {d.quantity for d in made.dials.all()} == {"delay_ms", "pass_hz"}
    page = words_of(keeper, made)
    assert "from 0 to 1300 ms in steps of 0.01 ms" in page
    assert "in 24 steps to an octave" in page
    assert "Butterworth 6, 12 dB/octave; Linkwitz-Riley 24 dB/octave" in page
    assert "10, besides the passes" in page


def test_nothing_known_is_allowed_and_said(keeper):
    keeper.post(reverse("catalogue:new", args=["processor"]), entries())
    made = Processor.objects.get()
    assert not made.dials.exists() and made.mixes_inputs is None
    assert words_of(keeper, made).count("<td>unknown</td>") == 15


def test_editing_starts_from_what_is_stored_and_an_emptied_dial_is_forgotten(keeper):
    keeper.post(reverse("catalogue:new", args=["processor"]), entries(**KNOWN))
    made = Processor.objects.get()
    address = reverse("catalogue:edit", args=[made.pk])
    assert 'value="1300"' in keeper.get(address).text
    less = KNOWN | {f"abilities-delay_ms-{end}": "" for end in ("least", "most", "step")}
    keeper.post(address, entries(**less, model="New one", seen_version=made.version))
    assert [d.quantity for d in made.dials.all()] == ["pass_hz"]
    assert made.slopes.count() == 3


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"abilities-delay_ms-least": 9, "abilities-delay_ms-most": 3}, "from a greater"),
        ({"abilities-gain_db-step": 0}, "A step lies above 0"),
        ({"abilities-gain_db-step": "fine"}, "Write a number, or leave it empty"),
        ({"abilities-LINKWITZ_RILEY": [3]}, "3 is not one of the available choices"),
        ({"filters_per_output": 65}, "More than 64 filters"),
        ({"sampling_hz": 44}, "at least 8000"),
        ({"kinds": ["wah"]}, "wah is not one of the available choices"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_lost(keeper, changes, sentence):
    answer = keeper.post(reverse("catalogue:new", args=["processor"]), entries(**KNOWN | changes))
    page = html.unescape(answer.text)
    assert answer.status_code == 422 and sentence in page
    assert 'value="Testmade"' in page
    assert not Processor.objects.exists()


@pytest.mark.parametrize(
    "fields",
    [
        {"quantity": "gain_db", "least": 3, "most": 1},
        {"quantity": "gain_db", "step": 0},
        {"quantity": "gain_db", "step": 24, "scale": "steps per octave"},
        {"quantity": "limiter_dbu"},
    ],
)
def test_the_database_refuses_impossible_dials(fields):
    processor = factories.processor()
    with pytest.raises(IntegrityError), transaction.atomic():
        ProcessorDial.objects.create(processor=processor, **fields)


def test_the_database_refuses_an_odd_linkwitz_riley():
    with pytest.raises(IntegrityError), transaction.atomic():
        ProcessorSlope.objects.create(
            processor=factories.processor(), family="Linkwitz-Riley", order=3
        )


def test_abilities_reach_the_description():
    sheet = factories.processor(
        dials={"pass_hz": {"least": 20, "most": 20000, "step": 24, "scale": "steps per octave"}},
        sampling_hz=48000, filters_per_output=4, kinds=["notch", "peak"], mixes_inputs=False,
    )  # fmt: skip
    sheet.slopes.create(family="Bessel", order=3)
    place = factories.processor_place(factories.event(), sheet)
    (described,) = describe(place.event).processors
    able = described.abilities
    assert (able.pass_hz.least, able.pass_hz.step, able.pass_hz.scale) == (
        20, 24, "steps per octave",
    )  # fmt: skip
    assert able.kinds == ("peak", "notch") and able.filters_per_output == 4
    assert [(s.family, s.order) for s in able.slopes] == [("Bessel", 3)]
    assert able.mixes_inputs is False and able.sampling_hz.value == 48000
    assert able.delay_ms.step is None


def test_the_lowest_high_pass_of_a_way_is_kept_and_needs_a_frequency(keeper):
    def box(**way):
        return base(role="top") | rows("ways", WAY | way)

    address = reverse("catalogue:new", args=["loudspeaker"])
    refused = keeper.post(address, box(least_high_pass_order=4))
    assert "Say from which frequency this slope protects" in refused.text
    keeper.post(address, box(least_high_pass_order=4, least_high_pass_hz=1100))
    way = Loudspeaker.objects.get().ways.get()
    assert (way.least_high_pass_hz, way.least_high_pass_order) == (1100, 4)
    assert (
        "24 dB/octave or more"
        in keeper.get(reverse("catalogue:item", args=[way.loudspeaker_id])).text
    )


def test_a_response_on_the_axis_may_have_phase(keeper):
    def posted(text):
        return base(role="top") | rows("ways", WAY | {"axis_text": text})

    address = reverse("catalogue:new", args=["loudspeaker"])
    refused = keeper.post(address, posted("100, 95, -40\n200, 96"))
    assert "Write degrees on every line, or on none" in refused.text
    keeper.post(address, posted("100, 95, -40\n200, 96, -60.5"))
    box = Loudspeaker.objects.get()
    assert box.ways.get().axis_response["phase_deg"] == [-40, -60.5]
    place = factories.placement(factories.event(), box)
    (sheet,) = describe(place.event).loudspeakers
    axis = sheet.ways[0].axis_response
    assert axis.phase_deg == (-40, -60.5) and axis.basis == "data sheet"
