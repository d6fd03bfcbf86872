"""What changed between two descriptions, in plain sentences."""

import dataclasses
from collections.abc import Iterator, Sequence
from typing import Any

from calc.figure import Figure
from calc.signals.words import filter_words
from calc.system import DriveLine, Filter, Link, MixerSheet, Room, Show, SystemDescription
from calc.words import joined, number

KINDS = {
    "loudspeakers": "Loudspeaker sheet",
    "amplifiers": "Amplifier sheet",
    "cables": "Cable",
    "processors": "Processor sheet",
    "amplifier_places": "Amplifier place",
    "processor_places": "Processor place",
    "placements": "Placement",
    "drive_lines": "Drive line",
    "areas": "Area",
    "supplies": "Supply",
    "circuits": "Circuit",
    "rack_feeds": "Rack feed",
    "supports": "Support",
    "extra_loads": "Extra load",
    "places": "Place",
    "outputs": "Output",
    "spots": "Listening spot",
    "alignments": "Alignment",
    "microphones": "Stage microphone",
}
WHOLES = {
    "impedance_curve": ("an impedance curve was", "its impedance curve", "was"),
    "balloon": ("a balloon was", "its balloon", "was"),
    "axis_response": ("a response on the axis was", "its response on the axis", "was"),
    "abilities": ("its abilities were", "what it can be set to", "was"),
}
UNITS = {
    "ohm": "ohm", "w": "W", "db": "dB", "dbu": "dBu", "hz": "Hz", "deg": "deg", "kg": "kg",
    "m": "m", "mm2": "mm2", "v": "V", "a": "A", "c": "degC", "pct": "%", "kpa": "kPa",
    "ms": "ms", "m3": "m3", "m2": "m2", "s": "s", "dba": "dB(A)",
}  # fmt: skip
SINGULARS = {"ways": "way", "ratings": "rating", "modes": "mode", "surfaces": "surface"}
WORDS = {
    "x_m": "position across", "y_m": "position ahead", "z_m": "height",
    "amps_per_phase": "amps per phase", "links": "cable runs",
}  # fmt: skip


def differences(old: SystemDescription, new: SystemDescription) -> list[str]:
    """Say by name what differs from an old description to a new one.

    Returns
    -------
    list of str
        Sentences, empty when the descriptions are equal. What has only changed its order is
        said too, as the order of amplifiers is the order of switching on.
    """
    found = list(_values("The event", old.event, new.event, "name"))
    found += _values("The space", old.space, new.space, "name")
    found += _fields("The air", old.surroundings, new.surroundings)
    found += _fields("The choices", old.choices, new.choices)
    found += _mixer(old.mixer, new.mixer)
    found += _optional("The room", old.room, new.room, Room())
    found += _optional("The show", old.show, new.show, Show())
    for field, label in KINDS.items():
        found += _parts(label, getattr(old, field), getattr(new, field))
    return found


def _mixer(old: MixerSheet | None, new: MixerSheet | None) -> Iterator[str]:
    if old is not None and new is not None:
        yield from _values("The mixer", old.name, new.name, "name")
        yield from _fields("The mixer", dataclasses.replace(old, name=new.name), new)
    elif old is not None:
        yield f"The mixer {old.name} was taken out."
    elif new is not None:
        yield f"The mixer {new.name} was added."


def _parts(label: str, old: Sequence[Any], new: Sequence[Any]) -> Iterator[str]:
    before, after = {p.name: p for p in old}, {p.name: p for p in new}
    yield from (f"{label} {name} was taken out." for name in before if name not in after)
    yield from (f"{label} {name} was added." for name in after if name not in before)
    for name in before:
        if name in after:
            yield from _fields(f"{label} {name}", before[name], after[name])
    if list(before) != list(after) and sorted(before) == sorted(after):
        yield f"{label}s stand in another order."


def _fields(label: str, old: Any, new: Any) -> Iterator[str]:
    if old == new:
        return
    for field in dataclasses.fields(old):
        before, after = getattr(old, field.name), getattr(new, field.name)
        if before == after:
            continue
        if isinstance(old, DriveLine) and field.name == "links":
            yield from _links(label, before, after)
        elif field.name == "filters":
            yield from _filters(label, before, after)
        elif field.name == "corners":
            yield f"{label}: its corners moved."
        elif field.name in WHOLES:
            yield f"{label}: {_whole_change(before, after, *WHOLES[field.name])}"
        elif field.name in ("absorption", "decay_s", "noise_db"):
            yield f"{label}: its {_words(field.name)[0]} changed."
        elif _named(before) or _named(after):
            yield from _nested(label, field.name, before, after)
        else:
            yield from _values(label, before, after, field.name)


def _whole_change(old: Any, new: Any, one: str, its: str, verb: str) -> str:
    """What cannot be told figure by figure: was it added, taken out or changed."""
    if old is None:
        return f"{one} added."
    return f"{its} {verb} taken out." if new is None else f"{its} changed."


def _optional(label: str, old: Any, new: Any, empty: Any) -> Iterator[str]:
    """A part that may be missing: told as against one in which all is unknown."""
    if old is None and new is not None:
        yield f"{label} was described."
    elif new is None and old is not None:
        yield f"{label} was taken out."
    else:
        yield from _fields(label, old or empty, new or empty)


def _named(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and dataclasses.is_dataclass(value[0])


def _key(part: Any) -> str:
    """What tells one part of a sheet from its neighbours."""
    if hasattr(part, "load_ohm"):
        return f"{part.mode} {number(part.load_ohm)} ohm"
    return str(part.mode if hasattr(part, "mode") else part.name)


def _nested(label: str, field: str, old: Sequence[Any], new: Sequence[Any]) -> Iterator[str]:
    one = {"ways": "way", "ratings": "rating", "modes": "mode", "surfaces": "surface"}.get(
        field, field
    )
    before, after = {_key(p): p for p in old}, {_key(p): p for p in new}
    yield from (f"{label}: {one} '{key}' was taken out." for key in before if key not in after)
    yield from (f"{label}: {one} '{key}' was added." for key in after if key not in before)
    for key in before:
        if key in after:
            yield from _fields(f"{label}, {one} '{key}'", before[key], after[key])


def _links(label: str, old: Sequence[Link], new: Sequence[Link]) -> Iterator[str]:
    before, after = ({(link.placement, link.way): link for link in ls} for ls in (old, new))
    yield from (f"{label}: box {k[0]} was taken off." for k in before if k not in after)
    yield from (f"{label}: box {k[0]} was put on." for k in after if k not in before)
    for key, link in before.items():
        if key in after and link != after[key]:
            where = f"{label}" if len(old) == 1 else f"{label}, to {link.placement}"
            yield from _fields(where, link, after[key])
    if list(before) != list(after) and sorted(before) == sorted(after):
        yield f"{label}: its boxes hang in another order."


def _filters(label: str, old: Sequence[Filter], new: Sequence[Filter]) -> Iterator[str]:
    before, after = ([filter_words(part) for part in parts] for parts in (old, new))
    yield from (f"{label}: {words} was taken out." for words in before if words not in after)
    yield from (f"{label}: {words} was added." for words in after if words not in before)
    if sorted(before) == sorted(after):
        yield f"{label}: its filters stand in another order."


def _values(label: str, old: Any, new: Any, field: str) -> Iterator[str]:
    if old == new:
        return
    name, unit = _words(field)
    yield f"{label}: {name} {_shown(old, unit)} became {_shown(new, unit)}."


def _words(field: str) -> tuple[str, str]:
    stem, _, last = field.rpartition("_")
    unit = UNITS.get(last, "") if stem else ""
    plain = field if not unit else stem
    return WORDS.get(field, plain.replace("_", " ")), unit


def _shown(value: Any, unit: str) -> str:
    if isinstance(value, Figure):
        if value.value is None:
            return "unknown"
        return f"{_shown(value.value, unit)} ({value.basis})"
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return f"{number(value, 6)} {unit}".strip()
    if isinstance(value, tuple):
        return joined(str(one) for one in value) or "nothing"
    return f"'{value}'"
