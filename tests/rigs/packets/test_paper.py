"""The packet as PDF: the same words and figures, and no name that is taken for an order."""

import io

import pytest
from django.urls import reverse
from pypdf import PdfReader

from rigs.packets.models import Packet
from rigs.packets.paper import make_pdf
from tests import factories
from tests.rigs.packets.rigs import event_with_rig, made_packet

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
