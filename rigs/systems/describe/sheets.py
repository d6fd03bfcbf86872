"""Data sheets of the catalogue as `calc` reads them: an unknown figure stays unknown."""

from typing import cast, get_args

from calc import system
from calc.figure import UNKNOWN, Basis, Figure
from rigs.catalogue.models import (
    Amplifier,
    Cable,
    Loudspeaker,
    Processor,
    ProcessorDial,
    Sheet,
    Way,
)
from rigs.systems.describe.radiation import axis_of, balloon_of

BASES = get_args(Basis)


def figure(sheet: Sheet, field: str) -> Figure:
    """The figure in `field` of a sheet with what it stands on."""
    value = getattr(sheet, field)
    return UNKNOWN if value is None else Figure(float(value), _basis(sheet, field))


def _basis(sheet: Sheet, field: str) -> Basis:
    """A word that nobody defined promises nothing: such a figure counts as assumed."""
    basis = sheet.basis_of(field)
    return cast(Basis, basis) if basis in BASES and basis != "unknown" else "assumed"


def loudspeaker(sheet: Loudspeaker) -> system.LoudspeakerSheet:
    """A loudspeaker with its ways in the order of the sheet."""
    ways = sorted(sheet.ways.all(), key=lambda way: (way.order, way.name))
    return system.LoudspeakerSheet(
        name=str(sheet),
        role=cast(system.Role, sheet.role),
        ways=tuple(
            system.Way(
                name=way.name,
                sensitivity_basis=cast(system.SensitivityBasis, way.sensitivity_basis),
                impedance_curve=_curve(way),
                balloon=balloon_of(way),
                axis_response=axis_of(way),
                pole_pair=way.pole_pair,
                least_high_pass_order=way.least_high_pass_order,
                **{name: figure(way, name) for name in WAY_FIGURES},
            )
            for way in ways
        ),
        mass_kg=figure(sheet, "mass_kg"),
        width_m=figure(sheet, "width_m"),
        height_m=figure(sheet, "height_m"),
    )


def _curve(way: Way) -> system.ImpedanceCurve | None:
    curve = way.curve
    if curve is None:
        return None
    return system.ImpedanceCurve(
        frequency_hz=tuple(map(float, curve.frequency_hz)),
        magnitude_ohm=tuple(map(float, curve.magnitude_ohm)),
        phase_deg=tuple(map(float, curve.phase_deg)),
        basis=_basis(way, "impedance_curve"),
    )


WAY_FIGURES = (
    "rated_impedance_ohm",
    "minimum_impedance_ohm",
    "noise_power_w",
    "peak_power_w",
    "sensitivity_db",
    "low_hz",
    "high_hz",
    "coverage_h_deg",
    "coverage_v_deg",
    "programme_power_w",
    "piston_diameter_m",
    "least_high_pass_hz",
)

AMPLIFIER_FIGURES = (
    "gain_db",
    "sensitivity_v",
    "sensitivity_load_ohm",
    "damping_factor",
    "mains_v",
    "idle_w",
    "eighth_power_w",
    "power_factor",
    "inrush_a",
    "third_power_w",
    "peak_v",
    "input_clip_dbu",
    "output_noise_dbu",
)


def amplifier(sheet: Amplifier) -> system.AmplifierSheet:
    """An amplifier with its ratings and modes."""
    ratings = sorted(sheet.ratings.all(), key=lambda rating: (rating.mode, rating.load_ohm))
    modes = sorted(sheet.modes.all(), key=lambda limits: limits.mode)
    return system.AmplifierSheet(
        name=str(sheet),
        channels=sheet.channels,
        ratings=tuple(
            system.Rating(
                mode=cast(system.Mode, rating.mode),
                load_ohm=float(rating.load_ohm),
                power_w=figure(rating, "power_w"),
                signal=cast(system.RatingSignal, rating.signal),
            )
            for rating in ratings
        ),
        modes=tuple(
            system.ModeLimits(
                mode=cast(system.Mode, limits.mode),
                minimum_load_ohm=figure(limits, "minimum_load_ohm"),
                minimum_kind=cast(system.MinimumKind, limits.minimum_kind),
                extra_gain_db=float(limits.extra_gain_db),
            )
            for limits in modes
        ),
        **{name: figure(sheet, name) for name in AMPLIFIER_FIGURES},
    )


def cable(sheet: Cable) -> system.CableSheet:
    """A loudspeaker cable."""
    return system.CableSheet(
        name=str(sheet),
        area_mm2=figure(sheet, "area_mm2"),
        conductor_class=cast(system.ConductorClass, sheet.conductor_class),
        length_m=figure(sheet, "length_m"),
        pole_pairs=sheet.pole_pairs,
    )


def processor(sheet: Processor) -> system.ProcessorSheet:
    """A loudspeaker processor."""
    return system.ProcessorSheet(
        name=str(sheet),
        inputs=sheet.inputs,
        outputs=sheet.outputs,
        max_output_dbu=figure(sheet, "max_output_dbu"),
        abilities=_abilities(sheet),
        max_input_dbu=figure(sheet, "max_input_dbu"),
        output_noise_dbu=figure(sheet, "output_noise_dbu"),
    )


def _abilities(sheet: Processor) -> system.ProcessorAbilities:
    """What a processor can be set to; slopes in one order, whatever order they were typed in."""
    slopes = {
        system.Slope(cast(system.FilterFamily, s.family), s.order) for s in sheet.slopes.all()
    }
    kinds = [kind for kind in get_args(system.FilterKind) if kind in sheet.kinds]
    dials: dict[str, system.Dial] = {
        row.quantity: _dial(row)
        for row in sheet.dials.all()
        if row.quantity != ProcessorDial.Quantity.GRAPHIC
    }
    return system.ProcessorAbilities(
        filters_per_output=sheet.filters_per_output,
        kinds=tuple(kinds),
        slopes=tuple(sorted(slopes, key=lambda slope: (slope.family, slope.order))),
        bessel_corner=cast(system.BesselCorner, str(sheet.bessel_corner)),
        mixes_inputs=sheet.mixes_inputs,
        sampling_hz=figure(sheet, "sampling_hz"),
        latency_ms=figure(sheet, "latency_ms"),
        **dials,
    )


def graphic_dial(sheet: Processor) -> system.Dial | None:
    """What the bands of its graphic equaliser can be set to; None where it has none."""
    rows = [row for row in sheet.dials.all() if row.quantity == ProcessorDial.Quantity.GRAPHIC]
    return _dial(rows[0]) if rows else None


def _dial(row: ProcessorDial) -> system.Dial:
    least, most, step = (
        None if value is None else float(value) for value in (row.least, row.most, row.step)
    )
    return system.Dial(least, most, step, cast(system.DialScale, str(row.scale)))


def stated(value: float | None) -> Figure:
    """A figure that somebody typed here, as it stands on what is marked or printed."""
    return UNKNOWN if value is None else Figure(float(value))
