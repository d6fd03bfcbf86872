"""The packet as PDF: the same words and figures, and no name that is taken for an order."""

import io
from dataclasses import replace

import pytest
from django.urls import reverse
from pypdf import PdfReader

from rigs.packets.models import Packet
from rigs.packets.paper import make_pdf
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet
from tests.rigs.packets.sheets import (
    alignment,
    crossover,
    delay,
    output,
    packet_with,
    sheet,
    step,
    too_high,
)

pytestmark = pytest.mark.django_db
ADDRESS = "http://localhost/packets/1/"


def words(pdf: bytes) -> str:
    """All text of a PDF, every stretch of white space as one space."""
    reader = PdfReader(io.BytesIO(pdf))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def cards(packet: Packet) -> list[dict]:
    return [b for s in packet.sections for b in s["blocks"] if b["kind"] == "card"]


def test_every_section_and_deciding_figure_is_on_paper():
    packet = made_packet(event_with_rig(3))
    text = words(make_pdf(packet, ADDRESS))
    for section in packet.sections:
        assert section["heading"] in text
    for card in cards(packet):
        assert card["name"] in text and card["figure"] in text and card["state"] in text


def test_each_page_says_which_page_version_and_fingerprint():
    packet = made_packet(event_with_rig(3))
    pages = PdfReader(io.BytesIO(make_pdf(packet, ADDRESS))).pages
    for number, page in enumerate(pages, start=1):
        text = page.extract_text()
        assert f"page {number} of {len(pages)}" in text
        assert "version 1" in text and packet.run.fingerprint[:12] in text


def test_cautions_stand_on_paper():
    packet = made_packet(event_with_rig())
    text = words(make_pdf(packet, ADDRESS))
    found = [b for s in packet.sections for b in s["blocks"] if b["kind"] == "caution"]
    assert len(found) >= 4
    for block in found:
        assert block["text"].split(".")[0] in text


HOSTILE = ['#eval("1+1")', "#panic()", "*bold* _it_ $x^2$", "<label> @ref \\ // /* `raw`", "]]#["]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_only_text(name):
    event = event_with_rig(name=name, contact=name, notes=name)
    event.placements.filter(name="Top 1").update(name=name)
    event.drivelines.filter(name="Line 1").update(name=name)
    text = words(make_pdf(made_packet(event), ADDRESS))
    assert text.count(" ".join(name.split())) >= 4


def test_the_pdf_is_tagged_and_titled():
    event = event_with_rig()
    reader = PdfReader(io.BytesIO(make_pdf(made_packet(event), ADDRESS)))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert event.name in reader.metadata.title


def test_the_same_packet_gives_the_same_file():
    packet = made_packet(event_with_rig())
    assert make_pdf(packet, ADDRESS) == make_pdf(packet, ADDRESS)


@pytest.mark.parametrize(("paper", "width"), [("a4", 595.28), ("letter", 612.0)])
def test_both_papers(client, paper, width):
    """A4 is 210 mm wide (ISO 216), Letter 8.5 inches; a point is 1/72 inch."""
    packet = made_packet(event_with_rig())
    client.force_login(factories.person("crew"))
    response = client.get(reverse("packets:pdf", args=[packet.pk]), {"paper": paper})
    page = PdfReader(io.BytesIO(response.content)).pages[0]
    assert float(page.mediabox.width) == pytest.approx(width, abs=0.1)


def test_an_unknown_paper_is_not_found(client):
    packet = made_packet(event_with_rig())
    client.force_login(factories.person("crew"))
    address = reverse("packets:pdf", args=[packet.pk])
    assert client.get(address, {"paper": "tabloid"}).status_code == 404


def page_of(pdf: bytes, words_: str) -> list[int]:
    """The pages on which these words stand, from 0."""
    pages = PdfReader(io.BytesIO(pdf)).pages
    return [n for n, page in enumerate(pages) if words_ in " ".join(page.extract_text().split())]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_each_processor_has_a_sheet_of_paper_with_every_entry(paper):
    outputs = (output(n, rounding_at_hz=70.0) for n in range(1, 9))
    eight = sheet(*outputs, processor="First rack")
    packet = packet_with(event_with_rig(1), eight, sheet(output(1), processor="Second rack"))
    pdf = make_pdf(packet, ADDRESS, paper)
    first, second = page_of(pdf, "Output 8: Line 8"), page_of(pdf, "Second rack Testmade")
    assert len(first) == len(second) == 1 and first[0] + 1 == second[0]
    text = PdfReader(io.BytesIO(pdf)).pages[first[0]].extract_text().replace("\xa0", " ")
    text = " ".join(text.split())
    for figure in ("-3.5 dB", "7.25 ms", "98.4 Hz", "+5.0 dBu", "+11.0 dBu", "320 ms"):
        assert text.count(figure) == 8
    assert text.count("wished 7.32 ms") == 8 and text.count("2.49 m, 8.16 ft") == 8


def test_forty_outputs_still_stand_on_paper():
    packet = packet_with(event_with_rig(1), sheet(*(output(n) for n in range(1, 41))))
    text = words(make_pdf(packet, ADDRESS))
    for number in range(1, 41):
        assert f"Output {number}: Line {number}" in text


def test_what_does_not_fit_and_line_up_and_alignments_stand_on_paper():
    packet = packet_with(
        event_with_rig(1),
        sheet(output(1, too_high())),
        line_up=(step(caution="Nobody near the boxes."),),
        alignments=(alignment(as_inversion="Polarity stands in for delay here."),),
        crossovers=(crossover(),),
    )
    text = words(make_pdf(packet, ADDRESS)).replace("\xa0", " ")
    assert "does not fit" in text and "Best that does: 20 kHz." in text
    assert text.index("Nobody near the boxes.") < text.index("Pull all faders down.")
    assert "170 degrees apart" in text and "Polarity stands in for delay here." in text
    assert "30.0 dB dip" in text


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_words_on_a_sheet_are_only_text(name):
    said = replace(delay(7.25), title=name, note=name)
    packet = packet_with(
        event_with_rig(1),
        sheet(output(1, said), processor=name, model=name, remarks=(name,)),
        line_up=(step(title=name, does=name, caution=name),),
    )
    text = words(make_pdf(packet, ADDRESS))
    assert text.count(" ".join(name.split())) >= 7
