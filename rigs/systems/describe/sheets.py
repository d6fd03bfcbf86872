"""Data sheets of the catalogue as `calc` reads them: an unknown figure stays unknown."""

from typing import cast, get_args

from calc import system
from calc.figure import UNKNOWN, Basis, Figure
from rigs.catalogue.models import Amplifier, Cable, Loudspeaker, Processor, Sheet
from venues.models import Supply

BASES = get_args(Basis)


def figure(sheet: Sheet, field: str) -> Figure:
    """The figure in `field` of a sheet with what it stands on."""
    value = getattr(sheet, field)
    if value is None:
        return UNKNOWN
    basis = sheet.basis_of(field)
    # A word that nobody defined promises nothing: such a figure counts as assumed.
    believed = cast(Basis, basis) if basis in BASES and basis != "unknown" else "assumed"
    return Figure(float(value), believed)


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
                **{name: figure(way, name) for name in WAY_FIGURES},
            )
            for way in ways
        ),
        mass_kg=figure(sheet, "mass_kg"),
        width_m=figure(sheet, "width_m"),
        height_m=figure(sheet, "height_m"),
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
        limiter_step_db=figure(sheet, "limiter_step_db"),
    )


def supply(row: Supply) -> system.Supply:
    """A mains supply; the venue says its figures."""
    return system.Supply(
        name=row.name,
        phases=row.phases,
        amps_per_phase=_stated(row.amps_per_phase),
        voltage_v=_stated(row.voltage_v),
        generator=row.generator,
    )


def _stated(value: float | None) -> Figure:
    return UNKNOWN if value is None else Figure(float(value))
