"""All figures of one drive line, before anything is judged."""

import math
from dataclasses import dataclass

from calc.electrical.amplifiers import (
    UNKNOWN_BOUNDS,
    VoltageBounds,
    output_impedance_ohm,
    voltage_bounds,
)
from calc.electrical.cables import RunResistance, run_resistance
from calc.electrical.gain import Gain, line_gain
from calc.electrical.ladder import (
    Rung,
    damping_factors,
    damping_factors_at_best,
    shares_of_terminals,
    shares_without_cable,
)
from calc.electrical.limiters import lowest_volts, programme_volts, rated_volts
from calc.electrical.loads import LeastLoad, LineLoad, least_load, line_load
from calc.lookup import Lookup
from calc.system import (
    AmplifierSheet,
    CableSheet,
    Choices,
    DriveLine,
    LimiterBasis,
    ProcessorOutput,
    ProcessorSheet,
    Role,
    Way,
)


@dataclass(frozen=True, slots=True)
class BoxFigures:
    """One box way of a line; None where unknown.

    `share` is its volts over the amplifier's, `ideal_share` the same with no cable (1 in
    parallel, less for boxes in series). `cable` is the sheet of the cable that leads to it, None
    where nobody said which.
    """

    placement: str
    way: Way
    role: Role
    run: RunResistance
    share: float | None
    damping: float | None
    damping_at_best: float | None
    ideal_share: float | None = 1.0
    cable: CableSheet | None = None

    @property
    def loss_db(self) -> float | None:
        """20 lg (volts without cable / volts at the box), positive = lost."""
        if self.share is None or self.ideal_share is None:
            return None
        return -20 * math.log10(self.share / self.ideal_share) + 0.0

    def at_amplifier(self, volts: float | None) -> float | None:
        """Volts at this box as volts at the amplifier, with no credit for the cable."""
        return None if volts is None or self.ideal_share is None else volts / self.ideal_share

    @property
    def name(self) -> str:
        """Placement, and the way where it is named."""
        return f"{self.placement} ({self.way.name})" if self.way.name else self.placement


@dataclass(frozen=True, slots=True)
class LineFigures:
    """One drive line's figures; None where unknown, with the reason beside it.

    `gain_set`: the gain is the one that the amplifier is set to, not its sheet's. `cables` are
    all that the description knows, to choose another one from. `output` is what feeds the line.
    """

    line: DriveLine
    sheet: AmplifierSheet | None
    processor: ProcessorSheet | None
    choices: Choices
    boxes: tuple[BoxFigures, ...]
    load: LineLoad
    least: LeastLoad | None
    bounds: VoltageBounds
    gain: Gain
    output_ohm: float | None = None
    gain_set: bool = False
    cables: tuple[CableSheet, ...] = ()
    output: ProcessorOutput | None = None

    @property
    def processor_gain_db(self) -> float | None:
        """From the processor's input to its output; None where nobody said."""
        return None if self.output is None else self.output.gain_db

    @property
    def limiter_step_db(self) -> float | None:
        """The finest step of the processor's limiters; None where unknown."""
        return None if self.processor is None else self.processor.abilities.limiter_dbu.step

    @property
    def noise_power_w(self) -> float | None:
        """Sum of the boxes' rated noise powers."""
        powers = [box.way.noise_power_w.value for box in self.boxes]
        known = [power for power in powers if power is not None]
        return sum(known) if known and len(known) == len(powers) else None

    @property
    def rated_v(self) -> float | None:
        """Lowest rated rms volts of the boxes, at the amplifier: who is endangered first."""
        return lowest_volts([box.at_amplifier(rated_volts(box.way)) for box in self.boxes])

    @property
    def drive_v(self) -> float | None:
        """rms volts at the amplifier that the map is drawn for: rated volts, or what there is."""
        return lowest_volts([self.bounds.low_v, self.rated_v])

    @property
    def limiter_basis(self) -> LimiterBasis:
        """The line's own basis, else the event's."""
        return self.line.limiter_basis or self.choices.limiter_basis

    @property
    def limiter_v(self) -> float | None:
        """rms volts at the amplifier that the limiter holds the line to."""
        if self.limiter_basis == "continuous":
            return self.rated_v
        return lowest_volts([box.at_amplifier(programme_volts(box.way)) for box in self.boxes])

    @property
    def cable_assumptions(self) -> tuple[str, ...]:
        """What was assumed about its cables, each once."""
        return tuple(dict.fromkeys(text for box in self.boxes for text in box.run.assumed))

    def power_w(self, volts: float | None) -> float | None:
        """Volts into the rated load as watts, P = V² / Z."""
        load = self.load.rated_ohm
        return None if volts is None or load is None else volts**2 / load


def figures_of(line: DriveLine, lookup: Lookup, choices: Choices) -> LineFigures:
    """Work out one drive line."""
    sheet = _amplifier_sheet(line, lookup)
    ways = [lookup.way(link.placement, link.way) for link in line.links]
    load = line_load(ways, [link.series_with_previous for link in line.links])
    output_ohm = None if sheet is None else output_impedance_ohm(sheet, line.mode)
    bounds = UNKNOWN_BOUNDS
    if sheet is None:
        bounds = VoltageBounds(None, None, missing="which amplifier drives this line")
    elif load.rated_ohm is None:
        bounds = VoltageBounds(None, None, missing="the rated impedance of every box")
    else:
        bounds = voltage_bounds(sheet, line.mode, load.rated_ohm)
    return LineFigures(
        line=line,
        sheet=sheet,
        processor=_processor_sheet(line, lookup),
        choices=choices,
        boxes=_boxes(line, ways, output_ohm, lookup, choices),
        load=load,
        least=None if sheet is None else least_load(sheet, line.mode),
        bounds=bounds,
        gain=Gain(None, missing="which amplifier drives this line")
        if sheet is None
        else line_gain(sheet, line.mode, _gain_set(line, lookup)),
        output_ohm=output_ohm,
        gain_set=_gain_set(line, lookup) is not None,
        cables=tuple(lookup.cables.values()),
        output=lookup.output_of(line),
    )


def _gain_set(line: DriveLine, lookup: Lookup) -> float | None:
    place = lookup.amplifier_places.get(line.amplifier)
    return None if place is None else place.gain_db


def _amplifier_sheet(line: DriveLine, lookup: Lookup) -> AmplifierSheet | None:
    place = lookup.amplifier_places.get(line.amplifier)
    return None if place is None else lookup.amplifiers[place.sheet]


def _processor_sheet(line: DriveLine, lookup: Lookup) -> ProcessorSheet | None:
    place = lookup.processor_places.get(line.processor)
    return None if place is None else lookup.processors[place.sheet]


def _boxes(
    line: DriveLine,
    ways: list[Way],
    output_ohm: float | None,
    lookup: Lookup,
    choices: Choices,
) -> tuple[BoxFigures, ...]:
    runs = [
        run_resistance(lookup.cables.get(link.cable), link.pieces, choices) for link in line.links
    ]
    rungs = [
        Rung(
            run.loop_ohm,
            way.rated_impedance_ohm.value,
            link.from_amplifier,
            link.series_with_previous,
        )
        for run, way, link in zip(runs, ways, line.links, strict=True)
    ]
    return tuple(
        BoxFigures(
            link.placement,
            way,
            lookup.sheet_of(link.placement).role,
            run,
            share,
            damping,
            at_best,
            ideal,
            lookup.cables.get(link.cable),
        )
        for link, way, run, share, damping, at_best, ideal in zip(
            line.links,
            ways,
            runs,
            shares_of_terminals(rungs),
            damping_factors(rungs, output_ohm),
            damping_factors_at_best(rungs),
            shares_without_cable(rungs),
            strict=True,
        )
    )
