"""Overrides in a packet: beside their findings, and together in a step of their own."""

from collections import Counter
from collections.abc import Iterable, Sequence

from rigs.packets.decisions import Decided
from rigs.packets.sections.blocks import Json, checklist, text

MEANING = (
    "An override changes no figure and no state. It says who answers for a finding, and until "
    "when. One that is void, expired or not in force answers for nothing."
)


def set_beside(sections: Iterable[Json], decided: Iterable[Decided]) -> None:
    """Put each override beside its finding, wherever that is shown."""
    by_finding = {one.about: one for one in decided}
    for section in sections:
        for block in section["blocks"]:
            for finding in block.get("findings", ()):
                one = by_finding.get((finding["subject"], finding["check"]))
                if one:
                    finding["override"] = _beside(one)


def _beside(one: Decided) -> Json:
    fields = ("person", "reason", "given_at", "until", "second_person", "second_at")
    return {
        "word": one.word,
        "sentence": one.sentence,
        **{field: one.override[field] for field in fields},
    }


def decision_blocks(decided: Sequence[Decided]) -> list[Json]:
    """All of them, also those whose finding is gone."""
    if not decided:
        return []
    return [text(MEANING), checklist("", map(_line, decided))]


def decisions_note(decided: Iterable[Decided]) -> str:
    """How many stand, in a few words."""
    counts = Counter(one.word for one in decided)
    return ", ".join(f"{count} {word}" for word, count in counts.items())


def _line(one: Decided) -> str:
    return f"{one.override['subject']}, {one.override['title']}: {one.sentence}"
