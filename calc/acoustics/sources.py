"""Which boxes enter the map, and which cannot and why."""

from collections import Counter
from dataclasses import dataclass

from calc.acoustics import bands
from calc.acoustics.coverage import Source, missing_for_map, source_of
from calc.lookup import Lookup
from calc.prediction import LineResult
from calc.system import SystemDescription, Way


@dataclass(frozen=True, slots=True)
class Field:
    """All sources of a rig and what is missing among them.

    `missing` names the box ways that sound but could not be drawn, `missing_in_mids` those of
    them that play, or may play, between 500 Hz and 4 kHz.
    """

    sources: tuple[Source, ...]
    missing: tuple[str, ...]
    missing_in_mids: tuple[str, ...]
    unchecked: tuple[str, ...]

    @property
    def plays_mids(self) -> bool:
        """Whether anything in the map plays between 500 Hz and 4 kHz."""
        return any(source.on_axis_db[bands.MIDS].max() > 0 for source in self.sources)


def field_of(system: SystemDescription, lookup: Lookup, lines: tuple[LineResult, ...]) -> Field:
    """Collect the sources of a rig from the volts that its drive lines give."""
    volts = {(box.placement, box.way): box.voltage_v for line in lines for box in line.boxes}
    driven = Counter((box.placement, box.way) for line in lines for box in line.boxes)
    sources: list[Source] = []
    missing: list[tuple[str, Way]] = []
    said: list[str] = []
    for placement in system.placements:
        sheet = lookup.loudspeakers[placement.sheet]
        for way in sheet.ways:
            name = f"{placement.name} ({way.name})" if way.name else placement.name
            key = (placement.name, way.name)
            if driven[key] == 0:
                said.append(f"{name} is driven by nobody: it is silent in the map.")
                continue
            level = volts[key]
            reason = _reason(way, level, driven[key])
            if level is None or reason:
                missing.append((name, way))
                said.append(f"{name} is not in the map: {reason}.")
                continue
            sources.append(source_of(placement, sheet, way, level, system.surroundings))
            if sheet.width_m.value is None or sheet.height_m.value is None:
                said.append(
                    f"{name}: its size is unknown, so that its coverage angle is drawn alike "
                    "at all frequencies."
                )
    return Field(
        tuple(sources),
        tuple(name for name, _ in missing),
        tuple(name for name, way in missing if _may_play_mids(way)),
        tuple(said) if system.areas else (),
    )


def _reason(way: Way, volts: float | None, lines: int) -> str:
    """Why a driven way cannot be drawn; "" when it can."""
    if lines > 1:
        return "two drive lines drive it"
    figure = "voltage" if volts is None else missing_for_map(way)
    return f"its {figure} is unknown" if figure else ""


def _may_play_mids(way: Way) -> bool:
    low, high = way.low_hz.value, way.high_hz.value
    return not ((high is not None and high < 500) or (low is not None and low > 4000))
