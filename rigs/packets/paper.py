"""A packet on paper: the same sections as the page, laid out by templates/packets/packet.typ.

Everything reaches the template as data, never as source, so that no name can be taken for
an instruction.
"""

import io
import json
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import segno
import typst
from django.conf import settings

from rigs.packets.freeze import TIMES
from rigs.packets.models import Packet
from rigs.packets.paper_sheets import paper_sheets

SIZES = {"a4": "a4", "letter": "us-letter"}


def make_pdf(packet: Packet, address: str, size: str = "a4") -> bytes:
    """A tagged PDF of a made packet.

    Parameters
    ----------
    packet : Packet
        Made, with its run and its event's place.
    address : str
        Where the live page is; the QR code leads there.
    size : str
        A key of `SIZES`.
    """
    assert packet.made_at is not None
    data = {
        "paper": SIZES[size],
        "packet": _about(packet) | {"address": address, "qr": _qr(address)},
        "sections": packet.sections,
        "behind": {section["key"]: _behind(section) for section in packet.sections or ()},
        "sheets": paper_sheets(packet.sections),
        "pictures": packet.pictures,
    }
    source = settings.PROJECT / "templates" / "packets" / "packet.typ"
    made: bytes = typst.compile(
        str(source),
        format="pdf",
        sys_inputs={"data": json.dumps(data)},
        pdf_standards=["ua-1"],
        timestamp=int(packet.made_at.timestamp()),
    )
    return made


def _behind(section: dict[str, Any]) -> list[dict[str, Any]]:
    """The folds of a section's cards, those that say the same once, with the cards' names."""
    found: list[dict[str, Any]] = []
    for block in section["blocks"]:
        for fold in block.get("more", ()):
            name = block["name"]
            if block["kind"] == "output":
                name = f"{block['group']}, output {block['number']}"
            same = next((one for one in found if one["fold"] == fold), None)
            if same:
                same["names"].append(name)
            else:
                found.append({"names": [name], "fold": fold})
    return found


def _about(packet: Packet) -> dict[str, Any]:
    about, zone = packet.about, ZoneInfo(packet.about["zone"])
    assert packet.made_at is not None
    return {
        "event": about["event"],
        "place": f"{about['venue']}, {about['space']}",
        "contact": about["contact"],
        "notes": about["notes"],
        "number": packet.number,
        "made": _shown(packet.made_at, zone),
        "zone": about["zone"],
        "fingerprint": packet.run.fingerprint[:12],
        "times": [
            {"name": label, "value": _shown(datetime.fromisoformat(about["times"][field]), zone)}
            for field, label in TIMES.items()
        ],
    }


def _shown(when: datetime, zone: ZoneInfo) -> str:
    return f"{when.astimezone(zone):%a %-d %b %Y %H:%M}"


def _qr(address: str) -> str:
    drawn = io.BytesIO()
    segno.make(address, error="m").save(drawn, kind="svg", border=0, xmldecl=False, svgclass=None)
    return drawn.getvalue().decode()
