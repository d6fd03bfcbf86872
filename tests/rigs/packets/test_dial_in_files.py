"""Dial-in sheets as CSV and JSON, read back as another program would read them."""

import csv
import io
import json
from dataclasses import replace

import pytest
from django.urls import reverse

from rigs.packets.dial_in import COLUMNS, FORMAT, as_csv, as_json
from rigs.packets.models import Packet
from tests import factories
from tests.rigs.packets.rigs import event_with_rig
from tests.rigs.packets.sheets import (
    ENTRIES,
    delay,
    gain,
    output,
    packet_with,
    sheet,
    too_high,
)

pytestmark = pytest.mark.django_db


def rows(packet: Packet) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(as_csv(packet), newline="")))


def test_one_row_for_each_value_with_all_columns():
    packet = packet_with(event_with_rig(2))
    found = rows(packet)
    values = sum(len(entry.values) for entry in ENTRIES)
    assert len(found) == 2 * values and tuple(found[0]) == COLUMNS
    assert {row["packet"] for row in found} == {str(packet.pk)}
    assert {row["fingerprint"] for row in found} == {packet.run.fingerprint}


def test_figures_come_back_as_they_were():
    packet = packet_with(event_with_rig(1), sheet(output(3, delay(7.25, 7.316))))
    (row,) = rows(packet)
    assert (float(row["wished"]), float(row["entered"])) == (7.316, 7.25)
    assert (row["processor"], row["model"], row["unit"]) == ("Processor", "Testmade Six", "SN-1")
    assert (row["output"], row["lines"], row["entry"], row["title"]) == (
        "3", "Line 3", "delay", "Delay",
    )  # fmt: skip
    assert (row["value_unit"], row["words"], row["fits"]) == ("ms", "7.25 ms", "yes")


def test_what_does_not_fit_has_no_entered_figure():
    (row,) = rows(packet_with(event_with_rig(1), sheet(output(1, too_high()))))
    assert (row["entered"], row["fits"], float(row["wished"])) == ("", "no", 30_000.0)
    assert "Best that does" in row["note"]


def test_an_entry_without_a_value_still_has_its_row():
    empty = replace(gain(), values=(), fits=False, note="Nobody said which gain.")
    (row,) = rows(packet_with(event_with_rig(1), sheet(output(1, empty))))
    assert (row["entry"], row["wished"], row["note"]) == ("gain", "", "Nobody said which gain.")


DANGEROUS = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", '=cmd|" /C calc"!A0')


@pytest.mark.parametrize("name", DANGEROUS)
def test_no_cell_is_a_formula(name):
    packet = packet_with(event_with_rig(1))
    data = as_json(packet)
    data["processors"][0]["processor"] = name
    for processor in packet.sections:
        for block in processor["blocks"]:
            if block["kind"] == "processor":
                block["name"] = name
    for row in rows(packet):
        assert row["processor"] == f"'{name}"
        for column, cell in row.items():
            if cell.startswith(("=", "+", "-", "@", "\t", "\r")):
                assert column in ("wished", "entered") and float(cell) is not None


def test_it_is_rfc_4180_and_utf_8():
    """RFC 4180: lines end in CRLF, fields with comma, quote or line break are quoted."""
    name = 'Stürm, "left"\nrack ♪'
    packet = packet_with(event_with_rig(1), sheet(output(1, delay(7.25)), processor=name))
    text = as_csv(packet)
    assert text.startswith(",".join(COLUMNS) + "\r\n") and text.endswith("\r\n")
    assert '"Stürm, ""left""\nrack ♪"' in text
    assert rows(packet)[0]["processor"] == name


def test_json_has_its_format_and_everything_of_the_sheets():
    two = sheet(output(1), output(2), linked="inputs 1 and 2 together", remarks=("Said.",))
    packet = packet_with(event_with_rig(2), two)
    data = json.loads(json.dumps(as_json(packet), allow_nan=False))
    assert (data["format"], data["packet"], data["version"]) == (FORMAT, packet.pk, 1)
    (processor,) = data["processors"]
    assert processor["linked"] == "inputs 1 and 2 together" and processor["remarks"] == ["Said."]
    first = processor["outputs"][0]
    assert (first["output"], first["lines"], first["rounding_db"]) == (1, ["Line 1"], 0.03)
    assert [entry["entry"] for entry in first["entries"]] == [entry.key for entry in ENTRIES]
    assert first["entries"][1]["values"] == [
        {"value": "", "value_unit": "ms", "wished": 7.316, "entered": 7.25, "words": "7.25 ms"}
    ]


def test_csv_and_json_say_the_same():
    packet = packet_with(event_with_rig(2))
    flat = [
        (str(out["output"]), entry["entry"], value["value"], repr(value["entered"]))
        for processor in as_json(packet)["processors"]
        for out in processor["outputs"]
        for entry in out["entries"]
        for value in entry["values"]
    ]
    found = [(r["output"], r["entry"], r["value"], r["entered"]) for r in rows(packet)]
    assert found == flat


def test_the_files_are_downloaded_under_names_of_their_own(client):
    packet = packet_with(event_with_rig(1))
    client.force_login(factories.person("crew"))
    answer = client.get(reverse("packets:dial_in_csv", args=[packet.pk]))
    assert answer["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert f"dial-in-{packet.event_id}-version-1.csv" in answer["Content-Disposition"]
    assert answer.content.decode("utf-8") == as_csv(packet)
    answer = client.get(reverse("packets:dial_in_json", args=[packet.pk]))
    assert answer.json() == as_json(packet)
    assert "attachment" in answer["Content-Disposition"]
