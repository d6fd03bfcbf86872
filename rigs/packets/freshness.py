"""Is a packet still how things stand? If not: what changed, in sentences."""

from rigs.packets.compute import differences, fingerprint, read_description
from rigs.packets.decisions import freeze_overrides, override_differences
from rigs.packets.freeze import about_differences, freeze_about, freeze_kit, kit_differences
from rigs.packets.models import Packet
from rigs.systems.describe import describe

NEW_SUMS = "The rig is the same, but the sums were improved since: ask for a new packet."


def changes_since(packet: Packet) -> list[str]:
    """What changed after the packet was asked for; empty when it is up to date."""
    event, run = packet.event, packet.run
    now = describe(event)
    found = []
    if fingerprint(now) != run.fingerprint:
        found = differences(read_description(run.description), now) or [NEW_SUMS]
    found += kit_differences(packet.kit, freeze_kit(event))
    found += about_differences(packet.about, freeze_about(event))
    found += override_differences(packet.overrides, freeze_overrides(event))
    return found
