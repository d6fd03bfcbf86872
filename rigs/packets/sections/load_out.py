"""What to do before it goes back: dead amplifiers first, then what was set for this show."""

from rigs.packets.compute import SystemDescription
from rigs.packets.sections.blocks import Json, caution, checklist, number

HOT = (
    "Amplifiers off first, and wait until they are silent, before a plug of a loudspeaker or of "
    "the mains is pulled. Boxes that hang come down only under the person who hung them."
)


def load_out_blocks(system: SystemDescription) -> list[Json]:
    if not system.amplifier_places:
        return []
    return [
        caution(HOT),
        checklist("In this order", _steps(system), ordered=True),
    ]


def _steps(system: SystemDescription) -> list[str]:
    steps = ["Switch off all amplifiers", "Then switch off processors and desks"]
    for line in system.drive_lines:
        if line.mode != "per channel":
            steps.append(
                f"{line.amplifier}: set channels {line.first_channel} and "
                f"{line.first_channel + 1} back from {line.mode} to per channel"
            )
        if line.level_control_db != 0:
            steps.append(
                f"{line.amplifier}, channel {line.first_channel}: turn the level control from "
                f"{number(line.level_control_db)} dB back to fully up"
            )
    steps += [
        "Write each fault on a tag with the unit's serial, and tell the warehouse",
        "Count cables and adaptors against the kit list before the truck is closed",
    ]
    return steps
