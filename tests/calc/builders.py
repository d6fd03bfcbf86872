"""Small valid descriptions for tests: change one thing, see what follows."""

import dataclasses
from typing import Any

from calc.figure import UNKNOWN, Figure
from calc.system import (
    AmplifierPlace,
    AmplifierSheet,
    AudienceArea,
    CableSheet,
    Choices,
    Circuit,
    ConductorClass,
    Dial,
    DriveLine,
    ExtraLoad,
    Filter,
    ImpedanceCurve,
    Link,
    LoudspeakerSheet,
    MixerSheet,
    Mode,
    ModeLimits,
    Placement,
    ProcessorAbilities,
    ProcessorOutput,
    ProcessorPlace,
    ProcessorSheet,
    RackFeed,
    Rating,
    Role,
    Supply,
    Support,
    SystemDescription,
    Way,
)


def known(value: float) -> Figure:
    """A figure from a data sheet."""
    return Figure(float(value))


def maybe(value: float | None) -> Figure:
    """A figure from a data sheet, or unknown."""
    return UNKNOWN if value is None else known(value)


def way(
    name: str = "full",
    impedance: float | None = 8,
    minimum: float | None = 6.4,
    power: float | None = 400,
    peak: float | None = 1600,
    sensitivity: float | None = 97,
    **changes: Any,
) -> Way:
    """A full-range way, 80 Hz to 16 kHz, 90 x 60 degrees."""
    plain = Way(
        name=name,
        rated_impedance_ohm=maybe(impedance),
        minimum_impedance_ohm=maybe(minimum),
        noise_power_w=maybe(power),
        peak_power_w=maybe(peak),
        sensitivity_db=maybe(sensitivity),
        sensitivity_basis="1 W",
        low_hz=known(80),
        high_hz=known(16000),
        coverage_h_deg=known(90),
        coverage_v_deg=known(60),
    )
    return dataclasses.replace(plain, **changes)


def loudspeaker(
    name: str = "Box", role: Role = "top", ways: tuple[Way, ...] = ()
) -> LoudspeakerSheet:
    """A loudspeaker 0.4 m wide and 0.6 m high."""
    return LoudspeakerSheet(
        name, role, ways or (way(),), mass_kg=known(25), width_m=known(0.4), height_m=known(0.6)
    )


def amplifier(
    name: str = "Amp",
    ratings: dict[float, float | None] | None = None,
    bridged: dict[float, float | None] | None = None,
    minimum: float | None = 4,
    bridged_minimum: float | None = None,
    **changes: Any,
) -> AmplifierSheet:
    """Two channels, 400 W at 8 ohm and 700 W at 4 ohm, 32 dB, damping factor 500."""
    powers = ratings if ratings is not None else {8: 400, 4: 700}
    rows = [Rating("per channel", float(z), maybe(p)) for z, p in powers.items()]
    rows += [Rating("bridged", float(z), maybe(p)) for z, p in (bridged or {}).items()]
    plain = AmplifierSheet(
        name=name,
        channels=2,
        ratings=tuple(rows),
        modes=(
            ModeLimits("per channel", maybe(minimum), "rated", 0.0),
            ModeLimits("bridged", maybe(bridged_minimum), "rated", 6.0),
            ModeLimits("parallel", UNKNOWN, "rated", 0.0),
        ),
        gain_db=known(32),
        damping_factor=known(500),
        mains_v=known(230),
        idle_w=known(60),
        eighth_power_w=known(400),
        power_factor=known(0.65),
        inrush_a=known(20),
    )
    return dataclasses.replace(plain, **changes)


def cable(
    name: str = "Flex 2.5 10 m",
    area: float | None = 2.5,
    length: float | None = 10,
    conductor_class: ConductorClass = "5",
    pole_pairs: int = 1,
) -> CableSheet:
    """A flexible cable, of two conductors unless said otherwise."""
    return CableSheet(name, maybe(area), conductor_class, maybe(length), pole_pairs)


def processor(
    name: str = "Proc", step: float | None = 0.1, top: float | None = 20, **abilities: Any
) -> ProcessorSheet:
    """A processor of two inputs and six outputs; `step` is its limiters'."""
    can = ProcessorAbilities(**({"limiter_dbu": Dial(step=step)} | abilities))
    return ProcessorSheet(name, 2, 6, maybe(top), abilities=can)


def output(number: int = 1, gain: float | None = 0.0, **changes: Any) -> ProcessorOutput:
    """An output of processor place "FOH" that does nothing."""
    return dataclasses.replace(ProcessorOutput("FOH", number, (1,), gain), **changes)


def placement(name: str = "Top 1", sheet: str = "Box", **changes: Any) -> Placement:
    """A box at x = 0, y = 0, 2.5 m up, looking into the audience."""
    plain = Placement(name, sheet, 0.0, 0.0, 2.5, 0.0, -5.0)
    return dataclasses.replace(plain, **changes)


def link(
    placement_name: str = "Top 1",
    cable_name: str = "Flex 2.5 10 m",
    from_amplifier: bool = True,
    pieces: int = 1,
    way_name: str = "full",
) -> Link:
    """One cable to one box."""
    return Link(placement_name, way_name, cable_name, pieces, from_amplifier)


def drive_line(
    name: str = "Left",
    links: tuple[Link, ...] | None = None,
    mode: Mode = "per channel",
    channel: int = 1,
    level_control: float = 0.0,
    amplifier_place: str = "Rack 1 A",
    output: int | None = 1,
) -> DriveLine:
    """A line from processor place "FOH" to amplifier place "Rack 1 A"."""
    return DriveLine(
        name,
        "FOH",
        output,
        amplifier_place,
        channel,
        mode,
        level_control,
        (link(),) if links is None else links,
    )


def area(name: str = "Floor", **changes: Any) -> AudienceArea:
    """A flat floor 10 m wide from 3 to 15 m, standing ears."""
    corners = ((-5.0, 3.0), (5.0, 3.0), (5.0, 15.0), (-5.0, 15.0))
    return dataclasses.replace(AudienceArea(name, corners, 0.0, 1.6), **changes)


def system(**changes: Any) -> SystemDescription:
    """One box on one channel of one amplifier, in front of one area, with one supply."""
    plain = SystemDescription(
        event="Evening",
        space="Hall",
        choices=Choices(cable_temperature_c=20.0),
        loudspeakers=(loudspeaker(),),
        amplifiers=(amplifier(),),
        cables=(cable(),),
        processors=(processor(),),
        amplifier_places=(AmplifierPlace("Rack 1 A", "Rack 1", "Amp"),),
        processor_places=(ProcessorPlace("FOH", "Proc"),),
        placements=(placement(),),
        drive_lines=(drive_line(),),
        areas=(area(),),
        supplies=(Supply("Wall", 1, known(16), known(230), False),),
    )
    return dataclasses.replace(plain, **changes)


def boxes_on_one_line(
    count: int, cable_name: str = "Flex 2.5 10 m", chained: bool = True, **changes: Any
) -> SystemDescription:
    """`count` equal boxes on one line: from box to box, or each on its own cable."""
    names = [f"Top {i + 1}" for i in range(count)]
    links = tuple(link(name, cable_name, not chained or i == 0) for i, name in enumerate(names))
    placed = tuple(placement(name, x_m=float(i)) for i, name in enumerate(names))
    return system(**({"placements": placed, "drive_lines": (drive_line(links=links),)} | changes))


FILTERS = (
    Filter("high-pass", 80.0, "Linkwitz-Riley", 4),
    Filter("peak", 2500.0, gain_db=-3.0, q=2.0),
    Filter("all-pass", 400.0, order=1),
)


def full_system(**changes: Any) -> SystemDescription:
    """Two boxes in series with everything that can be said about a rig said."""
    curve = ImpedanceCurve((80.0, 1000.0, 16000.0), (7.0, 9.0, 14.0), (20.0, 0.0, 35.0))
    box = loudspeaker(ways=(way(impedance_curve=curve, programme_power_w=known(800)),))
    names = ("Top 1", "Top 2")
    links = (
        link(names[0]),
        dataclasses.replace(link(names[1], from_amplifier=False), series_with_previous=True),
    )
    line = dataclasses.replace(
        drive_line(links=links), attack_ms=10.0, release_ms=200.0,
        limiter_basis="programme", limiter_basis_by="Robin", nearest_listener_m=3.0,
    )  # fmt: skip
    amp = amplifier(
        ratings={16: 250, 8: 400, 4: 700}, third_power_w=known(900), peak_v=known(95),
        input_clip_dbu=known(21), output_noise_dbu=known(-70),
    )  # fmt: skip
    unit = dataclasses.replace(processor(), max_input_dbu=known(22), output_noise_dbu=known(-85))
    plain = {
        "loudspeakers": (box,),
        "amplifiers": (amp,),
        "processors": (unit,),
        "amplifier_places": (AmplifierPlace("Rack 1 A", "Rack 1", "Amp", gain_db=30.0),),
        "placements": tuple(placement(name, support="Point") for name in names),
        "drive_lines": (line,),
        "outputs": (output(gain=-3.0, delay_ms=2.0, inverted=True, filters=FILTERS),),
        "supplies": (Supply("Board", 3, known(32), known(230), True),),
        "mixer": MixerSheet("Desk", known(24), known(-80)),
        "circuits": (Circuit("Socket", "Board", 2, known(16)),),
        "rack_feeds": (RackFeed("Rack 1", "Board", 2, known(25), known(2.5), "Socket"),),
        "supports": (Support("Point", "hang point", known(250)),),
        "extra_loads": (ExtraLoad("Frame", "Point", known(12)),),
    }
    return system(**(plain | changes))
