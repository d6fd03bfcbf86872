"""What the processors of a rig are usually set to, and what a later revision changes."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from rigs.demo.data.filters import SUBS, usual_filters
from rigs.demo.shapes import Box, Line, RevisionPlan, Setting

Settings = tuple[Setting, ...]
Key = tuple[str, int]


def usual(
    boxes: tuple[Box, ...],
    lines: tuple[Line, ...],
    through_db: dict[str, float],
    inputs: Mapping[Key, tuple[int, ...]] | None = None,
    with_subs: bool | None = None,
) -> Settings:
    """A setting for every output that feeds a line: gain by the way, filters by the box.

    `with_subs` None: where the rig has subs, all other boxes leave the lows to them.
    """
    models = {box.name: box.model for box in boxes}
    if with_subs is None:
        with_subs = any(model in SUBS for model in models.values())
    found: dict[Key, Setting] = {}
    for line in lines:
        if not line.processor or line.output is None:
            continue
        key = line.processor, line.output
        found.setdefault(
            key,
            Setting(
                *key,
                gain_db=through_db[line.way],
                inputs=(inputs or {}).get(key, (1,)),
                filters=usual_filters(models[line.boxes[0]], line.way, with_subs),
            ),
        )
    return tuple(found[key] for key in sorted(found))


def changed(settings: Settings, changes: Mapping[Key, Mapping[str, Any]]) -> Settings:
    """The same settings, with some figures of some outputs set otherwise."""
    return tuple(
        replace(each, **changes.get((each.processor, each.output), {})) for each in settings
    )


def first(
    settings: Settings, reason: str = "House settings for these boxes"
) -> tuple[RevisionPlan, ...]:
    """The only revision of an event."""
    return (RevisionPlan(reason, settings),)
