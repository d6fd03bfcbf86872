"""What a revision says, and in what it differs from another one."""

from dataclasses import dataclass

from rigs.systems.describe.dialling.rows import all_outputs
from rigs.systems.describe.dialling.words import NOBODY_SAID, entries_of
from rigs.systems.models import Revision

Said = dict[str, dict[str, str]]
NOT_THERE = "not there"
QUIET = {"Filter": "none", "Gain": NOBODY_SAID, "Inputs": NOBODY_SAID, "Delay": "0 ms",
         "Polarity": "as it is", "High-pass": "none", "Low-pass": "none"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Change:
    """One entry that two revisions say otherwise."""

    label: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class OutputChanges:
    """The entries of one output that differ. `gone` and `new`: only one of the two names it."""

    output: str
    changes: list[Change]
    gone: bool = False
    new: bool = False


def said_by(revision: Revision | None, temperature_c: float) -> Said:
    """Every output of a revision in words, by the output's name."""
    return {each.name: entries_of(each, temperature_c) for each in all_outputs(revision)}


def differences(before: Said, after: Said) -> list[OutputChanges]:
    """What changed from one to the other, output by output; empty where they say the same."""
    found = []
    for name in sorted(before | after, key=_natural):
        was, now = before.get(name, {}), after.get(name, {})
        labels = [*now, *(label for label in was if label not in now)]
        changes = [
            Change(label, was.get(label, _quiet(label)), now.get(label, _quiet(label)))
            for label in labels
        ]
        changes = [change for change in changes if change.was != change.now]
        gone, new = name not in after, name not in before
        if changes or gone or new:
            found.append(OutputChanges(name, changes, gone, new))
    return found


def _quiet(label: str) -> str:
    """What an entry amounts to that a revision does not name."""
    return QUIET.get(label.split(" ")[0], NOT_THERE)


def _natural(name: str) -> tuple[str, int]:
    """Output 10 comes after output 9."""
    processor, _, number = name.rpartition(" ")
    return processor, int(number) if number.isdecimal() else 0
