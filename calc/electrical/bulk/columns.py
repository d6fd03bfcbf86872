"""Drive lines as columns."""

from dataclasses import dataclass

import numpy as np

from calc.electrical.bulk.tables import (
    MODES,
    AmplifierTable,
    CableTable,
    Flags,
    Floats,
    Numbers,
    WayTable,
    floats,
)
from calc.lookup import Lookup
from calc.system import SystemDescription


@dataclass(frozen=True, slots=True)
class LineColumns:
    """Many drive lines and the boxes that hang on them.

    Per line, shape (lines,): `sheet` is its amplifier's row among the sheets, -1 for none; `mode`
    its place in `calc.system.Mode`; `level_control_db` 0 or negative; `gain_set_db` NaN for the
    sheet's; `step_db` and `max_output_dbu` of its processor, NaN for unknown; `covered` False
    where `calc.electrical.bulk` cannot answer.

    Per box, shape (boxes,), those of a line together and in the order of its links: `line` that
    never falls, `way` its row in the ways, `cable` its row in the cables or -1 for unknown,
    `pieces` and `from_amplifier` as in `calc.system.Link`. The first box of a line starts at the
    amplifier.
    """

    sheet: Numbers
    mode: Numbers
    level_control_db: Floats
    gain_set_db: Floats
    step_db: Floats
    max_output_dbu: Floats
    covered: Flags
    line: Numbers
    way: Numbers
    cable: Numbers
    pieces: Numbers
    from_amplifier: Flags
    ways: WayTable
    cables: CableTable
    amplifiers: AmplifierTable


def columns_of(system: SystemDescription) -> LineColumns:
    """The drive lines of a description that `validate` has found to be valid."""
    lookup = Lookup.of(system)
    sheets = {sheet.name: row for row, sheet in enumerate(system.amplifiers)}
    cables = {cable.name: row for row, cable in enumerate(system.cables)}
    listed = [(sheet, way) for sheet in system.loudspeakers for way in sheet.ways]
    ways = {(sheet.name, way.name): row for row, (sheet, way) in enumerate(listed)}
    table = WayTable.of([(way, sheet.role) for sheet, way in listed])
    places = [lookup.amplifier_places.get(line.amplifier) for line in system.drive_lines]
    units = [lookup.processor_places.get(line.processor) for line in system.drive_lines]
    processors = [None if unit is None else lookup.processors[unit.sheet] for unit in units]
    links = [(row, link) for row, line in enumerate(system.drive_lines) for link in line.links]
    line = np.array([row for row, _ in links], dtype=np.intp)
    way = np.array(
        [ways[lookup.placements[link.placement].sheet, link.way] for _, link in links],
        dtype=np.intp,
    )
    covered = np.array(
        [
            not any(link.series_with_previous for link in one.links)
            and (one.limiter_basis or system.choices.limiter_basis) == "continuous"
            for one in system.drive_lines
        ],
        dtype=np.bool_,
    )
    covered[line[table.curved[way]]] = False
    return LineColumns(
        sheet=np.array([-1 if p is None else sheets[p.sheet] for p in places], dtype=np.intp),
        mode=np.array([MODES.index(one.mode) for one in system.drive_lines], dtype=np.intp),
        level_control_db=floats(one.level_control_db for one in system.drive_lines),
        gain_set_db=floats(None if place is None else place.gain_db for place in places),
        step_db=floats(None if p is None else p.abilities.limiter_dbu.step for p in processors),
        max_output_dbu=floats(None if p is None else p.max_output_dbu.value for p in processors),
        covered=covered,
        line=line,
        way=way,
        cable=np.array([cables.get(link.cable, -1) for _, link in links], dtype=np.intp),
        pieces=np.array([link.pieces for _, link in links], dtype=np.intp),
        from_amplifier=np.array([link.from_amplifier for _, link in links], dtype=np.bool_),
        ways=table,
        cables=CableTable.of(system.cables, system.choices),
        amplifiers=AmplifierTable.of(system.amplifiers),
    )
