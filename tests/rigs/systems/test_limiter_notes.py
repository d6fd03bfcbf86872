"""Limiter figures that were set, and what voids them."""

import html

import pytest

from rigs.systems.models import AmplifierPlace, DriveLine, LimiterNote
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(rig):
    made = rig.line(name="Tops", processor_place=rig.processor, output=1)
    tap(rig, made)
    return made


def page(rig, line):
    return rig.client.get(rig.url(f"lines/{line.pk}/"))


def shown(rig, line):
    return html.unescape(page(rig, line).content.decode())


def tap(rig, line, **changes):
    made_for = page(rig, line).context["limiter"].made_for
    return rig.client.post(
        rig.url(f"lines/{line.pk}/limiter/"), {"made_for": made_for} | changes, follow=True
    )


def test_one_tap_keeps_figures_name_and_time(rig, line):
    note = LimiterNote.objects.get(line=line)
    result = page(rig, line).context["result"]
    assert note.person == rig.tech
    assert (note.rms_dbu, note.peak_dbu) == (result.limiter_rms_dbu, result.limiter_peak_dbu)
    assert "They hold" in shown(rig, line) and "These are set now" not in shown(rig, line)


def other_amplifier(rig, line):
    rig.amp.amplifier = factories.amplifier(gain_db=38.0)
    rig.amp.save()
    return "sheet"


def other_box(rig, line):
    rig.box.loudspeaker.ways.update(noise_power_w=200)
    return "noise power 400 W"


def other_mode(rig, line):
    DriveLine.objects.filter(pk=line.pk).update(mode="bridged", channels="[1,3)")
    return "mode 'per channel' became 'bridged'"


def other_gain(rig, line):
    AmplifierPlace.objects.update(gain_db=26.0)
    return "gain nothing became 26 dB"


def other_level(rig, line):
    DriveLine.objects.filter(pk=line.pk).update(level_control_db=-6)
    return "level control 0 dB became -6 dB"


def one_more_box(rig, line):
    box = factories.placement(rig.event, rig.box.loudspeaker, name="Top right")
    line.links.create(
        order=2, placement=box, way=box.loudspeaker.ways.get(), cable=rig.cable, pieces=1
    )
    return "box Top right was put on"


@pytest.mark.parametrize(
    "change", [other_amplifier, other_box, other_mode, other_gain, other_level, one_more_box]
)
def test_what_changes_a_limiter_voids_the_old_figures_visibly(rig, line, change):
    old = page(rig, line).context["limiter"].now
    said = change(rig, line)
    text = shown(rig, line)
    assert "no longer hold" in text and said in text
    assert f'<s><span class="visually-hidden">no longer right: </span>{old}</s>' in text
    tap(rig, line)
    assert "They hold" in shown(rig, line)


def test_what_does_not_enter_the_limiter_voids_nothing(rig, line):
    rig.box.x_m, rig.box.name = 7, "Top left"
    rig.box.save()
    line.links.update(cable=factories.cable(length_m=30.0), pieces=2)
    DriveLine.objects.filter(pk=line.pk).update(name="Tops, stage left")
    rig.event.notes = "Bring tape"
    rig.event.save()
    assert "They hold" in shown(rig, line)


def test_a_tap_on_a_page_that_is_old_keeps_nothing(rig, line):
    before = LimiterNote.objects.values().get()
    other_level(rig, line)
    said = tap(rig, line, made_for=before["made_for"]).content.decode()
    assert "changed while you had the page open" in said
    assert LimiterNote.objects.values().get() == before


def test_unknown_thresholds_cannot_be_set(rig):
    rig.box.loudspeaker.ways.update(noise_power_w=None, peak_power_w=None)
    line = rig.line(name="Tops", processor_place=rig.processor, output=1)
    assert "These are set now" not in shown(rig, line)
    assert "nothing to set" in tap(rig, line).content.decode()
    assert not LimiterNote.objects.exists()


def test_inputs_that_cannot_be_read_any_more_do_not_hold(rig, line):
    LimiterNote.objects.update(inputs={"format": 999}, made_for="old")
    assert "cannot be read any more" in shown(rig, line)


def test_crew_sees_but_cannot_set(rig, line):
    rig.client.force_login(factories.person("crew"))
    other_level(rig, line)
    assert "no longer hold" in shown(rig, line) and "These are set now" not in shown(rig, line)
    assert rig.client.post(rig.url(f"lines/{line.pk}/limiter/")).status_code == 403
