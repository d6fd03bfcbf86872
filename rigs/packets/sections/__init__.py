"""What stands in a packet: sections of blocks, plain JSON (docs/packet-format.md).

Everything that a page or a sheet of paper shows comes from here, worked out once when the
packet is made; the templates only lay it out.
"""

from collections.abc import Sequence

from rigs.packets.compute import Prediction, SystemDescription
from rigs.packets.decisions import Decided
from rigs.packets.sections.alignment import alignment_blocks
from rigs.packets.sections.blocks import Json, section
from rigs.packets.sections.coverage import coverage_blocks
from rigs.packets.sections.decisions import decision_blocks, decisions_note, set_beside
from rigs.packets.sections.kit import kit_blocks, kit_note
from rigs.packets.sections.line_up import line_up_blocks
from rigs.packets.sections.lines import line_blocks
from rigs.packets.sections.load_out import load_out_blocks
from rigs.packets.sections.power import power_blocks
from rigs.packets.sections.processing import processing_blocks, processing_note
from rigs.packets.sections.racks import rack_blocks
from rigs.packets.sections.ring_out import ring_out_blocks
from rigs.packets.sections.ringing import ringing_blocks
from rigs.packets.sections.room import room_blocks
from rigs.packets.sections.unchanged import set_marks
from rigs.packets.sections.unchecked import unchecked_blocks
from rigs.packets.sections.weights import weight_blocks


def make_sections(
    system: SystemDescription,
    prediction: Prediction,
    kit: Json,
    decided: Sequence[Decided] = (),
    about: Json | None = None,
) -> list[Json]:
    """The running order of one event. A step with nothing to say is left out.

    `decided` are the overrides; they stand beside their findings and change nothing.
    """
    processing = processing_blocks(system, prediction)
    steps = (
        section("kit", "Kit", "What is on the truck", kit_blocks(kit, prediction), kit_note(kit)),
        section("weights", "Weights", "What hangs and stands on what", weight_blocks(prediction)),
        section("power", "Power", "Mains and switching on", power_blocks(system, prediction)),
        section("racks", "Racks", "Amplifiers and their channels", rack_blocks(system, prediction)),
        section("lines", "Lines", "Drive lines, worst first", line_blocks(system, prediction)),
        section(
            "processing",
            "Processing",
            "What to enter in the processors",
            processing,
            processing_note(processing),
        ),
        section(
            "line-up",
            "Line-up",
            "Bring it to life, one output at a time",
            line_up_blocks(prediction),
        ),
        section(
            "alignment",
            "Alignment",
            "What runs together",
            alignment_blocks(system, prediction),
        ),
        section("coverage", "Coverage", "What arrives where", coverage_blocks(system, prediction)),
        section("room", "Room", "Decay and speech, estimated", room_blocks(prediction)),
        section(
            "ring-out",
            "Ring-out",
            "How far each microphone can be opened",
            ring_out_blocks(prediction) + ringing_blocks(about or {}),
        ),
        section(
            "overrides",
            "Overrides",
            "Who answers for what",
            decision_blocks(decided),
            decisions_note(decided),
        ),
        section(
            "unchecked",
            "Not checked",
            "What nobody has checked",
            unchecked_blocks(prediction),
            f"{len(set(prediction.unchecked))} open",
        ),
        section("load-out", "Load-out", "Before it goes back", load_out_blocks(system)),
    )
    sections = [step for step in steps if step["blocks"]]
    set_marks(sections)
    set_beside(sections, decided)
    return sections


def take_pictures_out(sections: list[Json]) -> dict[str, str]:
    """Move the drawings out of the sections, which keep their keys: pages load them apart."""
    blocks = [block for section in sections for block in section["blocks"]]
    blocks += [one for block in blocks for fold in block.get("more", ()) for one in fold["blocks"]]
    drawn = [block for block in blocks if block["kind"] == "picture"]
    drawn += [block["picture"] for block in blocks if block.get("picture")]
    found = {}
    for picture in drawn:
        for key, svg in picture.pop("svg").items():
            found[key] = svg
    return found
