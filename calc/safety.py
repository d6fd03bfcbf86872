"""What a figure can't answer for: cautions, and what is always left out."""

from calc.system import SystemDescription

ELECTRICITY = (
    "Mains and amplifier outputs can kill. Supplies, distribution and earthing belong to a "
    "licensed electrician; a competent electrician and the local code have the last word on every "
    "mains figure here; never lift an earth. Switch amplifiers off "
    "before touching loudspeaker connections."
)
HEARING = (
    "Loud sound harms hearing for good. All levels here are estimates: measure with a sound "
    "level meter at the show, follow the local limit, start every test from silence with nobody "
    "near a loudspeaker, and keep hearing protection at hand."
)
LIFTING = (
    "Nothing here approves a hanging point, a stand or a stack. Lifting, hanging and securing "
    "belong to licensed riggers under the local code; keep people out from under loads."
)
HEAT = (
    "Overloaded amplifiers and coiled cables heat up and can burn. A line that fails or cannot "
    "be checked is not switched on before it is cleared up."
)

ALWAYS_UNCHECKED = (
    "The map is direct sound only: no reflections, no reverberation, no obstacles, no audience "
    "in the way.",
    "Boxes add in phase within a group, and all of them at low frequencies; else by energy. "
    "Delays, filters and polarity count as far as they are entered.",
)


def cautions(system: SystemDescription) -> tuple[str, ...]:
    """The cautions that go with a rig."""
    words = []
    if system.amplifier_places or system.drive_lines:
        words += [ELECTRICITY, HEAT]
    if system.placements or system.drive_lines:
        words += [HEARING, LIFTING]
    return tuple(words)
