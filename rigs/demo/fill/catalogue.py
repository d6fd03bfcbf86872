"""The catalogue: connectors and data sheets."""

import math
from collections.abc import Iterable
from datetime import timedelta
from typing import TypeVar

from django.db.models import Model

from rigs.catalogue.models import (
    Accessory,
    Amplifier,
    AmplifierMode,
    Cable,
    Connector,
    End,
    Item,
    Loudspeaker,
    Mixer,
    Mode,
    Processor,
    ProcessorDial,
    ProcessorSlope,
    Rating,
    Way,
)
from rigs.demo import shapes
from rigs.demo.data import accessories, cables, mixers, processors
from rigs.demo.data.accessories import ACCESSORIES
from rigs.demo.data.amplifiers import AMPLIFIERS
from rigs.demo.data.cables import CABLES
from rigs.demo.data.connectors import C13, C19, CONNECTORS, SPEAKER_4, XLR
from rigs.demo.data.loudspeakers import LOUDSPEAKERS
from rigs.demo.data.mixers import MIXERS
from rigs.demo.data.processing import SETTINGS
from rigs.demo.data.processors import PROCESSORS

BRIDGE_DB = round(20 * math.log10(2), 2)
MAINS_V = 230
RACK_TEST = timedelta(hours=2)  # amplifiers and processors are tested after each job
QUICK_LOOK = timedelta(minutes=30)  # for cables and accessories
HEAVY_DUTY_W = 400  # amplifiers of more than this at 1/8 power have the large inlet


def fill_catalogue() -> dict[str, Item]:
    """Write every sheet; returns the items by their model name."""
    connectors = {name: Connector(name=name, direct=d) for name, d in CONNECTORS.items()}
    create_all(Connector, connectors.values())
    sheets: list[tuple[Item, shapes.Ends]] = []
    ways: list[Way] = []
    modes: list[AmplifierMode] = []
    ratings: list[Rating] = []
    for box in LOUDSPEAKERS:
        item = save(_loudspeaker(box))
        sheets.append((item, box.ends))
        ways += _ways(item, box)
    for plan in AMPLIFIERS:
        amplifier = save(_amplifier(plan))
        sheets.append((amplifier, _amplifier_ends(plan)))
        modes += _modes(amplifier, plan)
        ratings += _ratings(amplifier, plan)
    sheets += [(save(_cable(c)), (("takes", c.takes, 1), ("feeds", c.feeds, 1))) for c in CABLES]
    dials: list[ProcessorDial] = []
    slopes: list[ProcessorSlope] = []
    for sheet in PROCESSORS:
        processor = save(_processor(sheet))
        sheets.append((processor, _processor_ends(sheet)))
        dials += _dials(processor)
        slopes += _slopes(processor)
    sheets += [(save(_mixer(m)), _mixer_ends(m)) for m in MIXERS]
    sheets += [(save(_accessory(a)), a.ends) for a in ACCESSORIES]
    ends = [
        End(item=item, side=side, connector=connectors[name], count=count)
        for item, its_ends in sheets
        for side, name, count in its_ends
    ]
    for model, rows in (
        (Way, ways), (AmplifierMode, modes), (Rating, ratings), (End, ends),
        (ProcessorDial, dials), (ProcessorSlope, slopes),
    ):  # fmt: skip
        create_all(model, rows)
    return {item.model: item for item, _ in sheets}


Row = TypeVar("Row", bound=Model)


def checked(row: Row) -> Row:
    """Check a row's own fields and rules, with no query: the database checks the rest."""
    links = {field.name for field in row._meta.fields if field.is_relation}
    row.full_clean(exclude=links, validate_unique=False, validate_constraints=False)
    return row


def save(row: Row) -> Row:
    """Check and store one row."""
    checked(row).save()
    return row


def create_all(model: type[Row], rows: Iterable[Row]) -> None:
    """Check and store many rows at once."""
    model._default_manager.bulk_create([checked(row) for row in rows])


def _loudspeaker(box: shapes.LoudspeakerSheet) -> Loudspeaker:
    width, height, depth = box.size_m or (None, None, None)
    return Loudspeaker(
        maker=box.maker, model=box.model, role=box.role, mass_kg=box.mass_kg, notes=box.notes,
        width_m=width, height_m=height, depth_m=depth,
        turnaround=RACK_TEST,
    )  # fmt: skip


def _ways(item: Loudspeaker, box: shapes.LoudspeakerSheet) -> list[Way]:
    return [
        Way(
            loudspeaker=item, order=order, name=way.name, pole_pair=way.pair,
            rated_impedance_ohm=way.ohm, minimum_impedance_ohm=way.minimum_ohm,
            noise_power_w=way.noise_w, peak_power_w=way.peak_w,
            programme_power_w=way.programme_w,
            impedance_curve=way.curve.to_plain() if way.curve else None,
            directivity=way.polars.to_plain() if way.polars else None,
            axis_response=way.axis.to_plain() if way.axis else None,
            piston_diameter_m=way.piston_m,
            sensitivity_db=way.db, sensitivity_basis=way.per,
            low_hz=way.low_hz, high_hz=way.high_hz,
            coverage_h_deg=way.h_deg, coverage_v_deg=way.v_deg, basis=way.basis,
            least_high_pass_hz=way.least_high_pass[0], least_high_pass_order=way.least_high_pass[1],
        )
        for order, way in enumerate(box.ways, start=1)
    ]  # fmt: skip


def _amplifier(plan: shapes.AmplifierSheet) -> Amplifier:
    by_input = plan.sensitivity_v is not None
    return Amplifier(
        maker=plan.maker, model=plan.model, channels=plan.channels, rack_units=plan.units,
        mass_kg=plan.mass_kg, gain_db=plan.gain_db, sensitivity_v=plan.sensitivity_v,
        sensitivity_load_ohm=8 if by_input else None, damping_factor=plan.damping,
        mains_v=MAINS_V, idle_w=plan.idle_w, eighth_power_w=plan.eighth_w,
        power_factor=plan.power_factor, inrush_a=plan.inrush_a, basis=plan.basis,
        third_power_w=plan.third_w, peak_v=plan.peak_v, input_clip_dbu=plan.clip_dbu,
        output_noise_dbu=plan.noise_dbu, gain_settings_db=list(plan.gains_db),
        notes=plan.notes, turnaround=RACK_TEST,
    )  # fmt: skip


def _amplifier_ends(plan: shapes.AmplifierSheet) -> shapes.Ends:
    inlet = C19 if (plan.eighth_w or 0) > HEAVY_DUTY_W else C13
    return (
        ("takes", inlet, 1),
        ("takes", XLR, plan.channels),
        ("feeds", SPEAKER_4, plan.channels),
    )


def _modes(item: Amplifier, plan: shapes.AmplifierSheet) -> list[AmplifierMode]:
    kind, least = plan.minimum_is, plan.minimum_ohm
    rows = [(Mode.PER_CHANNEL, least, 0.0)]
    if plan.bridges:
        rows.append((Mode.BRIDGED, 2 * least, BRIDGE_DB))
    if plan.parallels:
        rows.append((Mode.PARALLEL, least / 2, 0.0))
    return [
        AmplifierMode(
            amplifier=item, mode=mode, minimum_load_ohm=ohm, minimum_kind=kind, extra_gain_db=gain
        )
        for mode, ohm, gain in rows
    ]


def _ratings(item: Amplifier, plan: shapes.AmplifierSheet) -> list[Rating]:
    """A bridged or paralleled pair gives twice one channel's power, into 2 Z or Z / 2."""
    shapes_of_pair = [(Mode.PER_CHANNEL, 1.0, 1)]
    if plan.bridges:
        shapes_of_pair.append((Mode.BRIDGED, 2.0, 2))
    if plan.parallels:
        shapes_of_pair.append((Mode.PARALLEL, 0.5, 2))
    return [
        Rating(
            amplifier=item, mode=mode, load_ohm=ohm * times_ohm,
            power_w=watts and watts * times, signal=plan.signal,
        )
        for mode, times_ohm, times in shapes_of_pair
        for ohm, watts in plan.watts.items()
    ]  # fmt: skip


def _cable(plan: shapes.CableSheet) -> Cable:
    return Cable(
        maker=cables.MAKER, model=plan.model, use=plan.use, length_m=plan.length_m,
        area_mm2=plan.area_mm2, conductor_class=plan.conductor, pole_pairs=plan.pairs,
        mass_kg=plan.mass_kg, notes=plan.notes, turnaround=QUICK_LOOK,
    )  # fmt: skip


def _processor(plan: shapes.ProcessorSheet) -> Processor:
    can = SETTINGS[plan.model]
    return Processor(
        maker=processors.MAKER, model=plan.model, inputs=plan.inputs, outputs=plan.outputs,
        max_output_dbu=plan.max_dbu, mains_w=plan.mains_w,
        mass_kg=plan.mass_kg, turnaround=RACK_TEST, max_input_dbu=plan.max_input_dbu,
        output_noise_dbu=plan.noise_dbu, sampling_hz=can.sampling_hz, latency_ms=can.latency_ms,
        filters_per_output=can.filters, kinds=list(can.kinds), bessel_corner=can.bessel,
        mixes_inputs=can.mixes,
    )  # fmt: skip


def _dials(item: Processor) -> list[ProcessorDial]:
    scale = ProcessorDial.Scale
    return [
        ProcessorDial(
            processor=item, quantity=dial.quantity, least=dial.least, most=dial.most,
            step=dial.step, scale=scale.PER_OCTAVE if dial.octave else scale.LINEAR,
        )
        for dial in SETTINGS[item.model].dials
    ]  # fmt: skip


def _slopes(item: Processor) -> list[ProcessorSlope]:
    return [
        ProcessorSlope(processor=item, family=family, order=order)
        for family, orders in SETTINGS[item.model].slopes
        for order in orders
    ]


def _processor_ends(plan: shapes.ProcessorSheet) -> shapes.Ends:
    return (("takes", C13, 1), ("takes", XLR, plan.inputs), ("feeds", XLR, plan.outputs))


def _mixer(plan: shapes.MixerSheet) -> Mixer:
    return Mixer(
        maker=mixers.MAKER, model=plan.model, max_output_dbu=plan.max_dbu,
        output_noise_dbu=plan.noise_dbu, mass_kg=plan.mass_kg, notes=plan.notes,
        turnaround=QUICK_LOOK,
    )  # fmt: skip


def _mixer_ends(plan: shapes.MixerSheet) -> shapes.Ends:
    """Its inputs are the stage's business: only what the rig needs is counted."""
    return (("takes", C13, 1), ("feeds", XLR, plan.outputs))


def _accessory(plan: shapes.AccessorySheet) -> Accessory:
    return Accessory(
        maker=accessories.MAKER, model=plan.model, mass_kg=plan.mass_kg,
        carries_kg=plan.carries_kg, notes=plan.notes, turnaround=QUICK_LOOK,
    )  # fmt: skip
