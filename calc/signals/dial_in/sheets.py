"""A sheet for each processor: every output's entries, rounded, and what rounding does."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from calc.lookup import Lookup
from calc.prediction import DialInSheet, LineResult, OutputSheet, SheetEntry
from calc.signals.dial_in.entries import (
    Made,
    figure_entry,
    inputs_entry,
    limiter_entry,
    polarity_entry,
)
from calc.signals.dial_in.passes import filter_entries, pass_entry
from calc.signals.protection import least_high_pass, needs_high_pass
from calc.signals.response import Complex, Floats, basis_of, delay_turn, filters_response
from calc.system import (
    DriveLine,
    Filter,
    ProcessorAbilities,
    ProcessorOutput,
    ProcessorPlace,
    ProcessorSheet,
    SystemDescription,
    Way,
)
from calc.words import joined

WHOLE_BAND = (20.0, 20_000.0)
POINTS = 121
QUIET_DB = 40.0
"""dB. Where an output passes this much less than at most, rounding is of no account."""


@dataclass(frozen=True, slots=True)
class Dialled:
    """A processor's sheet; `steps_known` unless a step or kind that it needs is unknown."""

    sheet: DialInSheet
    steps_known: bool


def dialled(
    system: SystemDescription, lookup: Lookup, lines: Sequence[LineResult]
) -> tuple[Dialled, ...]:
    """One for each processor of the rig, in the order of its places."""
    return tuple(_dialled(system, lookup, lines, place) for place in system.processor_places)


def dial_in_sheets(
    system: SystemDescription, lookup: Lookup, lines: Sequence[LineResult]
) -> tuple[DialInSheet, ...]:
    """The sheets alone."""
    return tuple(one.sheet for one in dialled(system, lookup, lines))


def output_sheet(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    output: ProcessorOutput,
) -> OutputSheet:
    """The entries of one output."""
    return built(system, lookup, lines, output).sheet


@dataclass(frozen=True, slots=True)
class Built:
    """An output's sheet; `unknown` names the entries whose steps are unknown."""

    sheet: OutputSheet
    unknown: tuple[str, ...]


def outputs_of(system: SystemDescription, processor: str) -> list[ProcessorOutput]:
    """All outputs of a processor that somebody described or a line hangs on, by number."""
    found = {
        line.output: ProcessorOutput(processor, line.output)
        for line in system.drive_lines
        if line.processor == processor and line.output is not None
    }
    found |= {part.output: part for part in system.outputs if part.processor == processor}
    return [found[number] for number in sorted(found)]


def built(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    output: ProcessorOutput,
) -> Built:
    """The entries of one output, and which steps are unknown."""
    abilities = lookup.abilities_of(output.processor)
    fed = [
        line
        for line in system.drive_lines
        if (line.processor, line.output) == (output.processor, output.output)
    ]
    ways = [(link.placement, lookup.way(link.placement, link.way)) for f in fed for link in f.links]
    band = _band([way for _, way in ways])
    low, high = band or WHOLE_BAND
    hz = np.geomspace(low, high, POINTS)
    names = {line.name for line in fed}
    made = _made(output, abilities, _floor(fed, output, lookup), hz)
    limiter = limiter_entry([line for line in lines if line.name in names], abilities)
    everything = made if limiter is None else [*made, limiter]
    unknown = tuple(one.entry.key for one in everything if not one.steps_known)
    change = None
    if band and not any(key not in ("limiter", "inputs") for key in unknown):
        change = _change(output, made, abilities, hz)
    level, turned, at = change or (None, None, None)
    sheet = OutputSheet(
        output=output.output,
        lines=tuple(line.name for line in fed),
        boxes=tuple(dict.fromkeys(placement for placement, _ in ways)),
        entries=_within(output, lookup, [one.entry for one in everything]),
        rounding_db=level,
        rounding_deg=turned,
        rounding_at_hz=at,
        band_hz=band,
    )
    return Built(sheet, unknown)


def _made(
    output: ProcessorOutput, abilities: ProcessorAbilities, floor: float | None, hz: Floats
) -> list[Made]:
    """All but the limiter, in the order in which to enter them."""
    passes = {part.kind: part for part in output.filters if part.kind.endswith("-pass")}
    passes.pop("all-pass", None)
    others = [part for part in output.filters if part.kind not in ("high-pass", "low-pass")]
    made = [
        inputs_entry(output, abilities),
        figure_entry("gain", "Gain", "dB", output.gain_db, abilities.gain_db),
        figure_entry("delay", "Delay", "ms", output.delay_ms, abilities.delay_ms),
        polarity_entry(output),
    ]
    for kind in ("high-pass", "low-pass"):
        if kind in passes:
            made.append(pass_entry(passes[kind], abilities, floor if kind == "high-pass" else None))
    return made + filter_entries(others, abilities, hz)


def _floor(fed: Sequence[DriveLine], output: ProcessorOutput, lookup: Lookup) -> float | None:
    """Below which corner a high pass is never rounded; None where nothing is protected."""
    pairs = [
        (lookup.sheet_of(link.placement), lookup.way(link.placement, link.way))
        for line in fed
        for link in line.links
    ]
    ways = [way for sheet, way in pairs if needs_high_pass(sheet, way)]
    part = next((one for one in output.filters if one.kind == "high-pass"), None)
    if not ways or part is None:
        return None
    if any(way.least_high_pass_hz.value is None for way in ways):
        return part.frequency_hz
    return min(part.frequency_hz, least_high_pass(ways)[0])


def _band(ways: Sequence[Way]) -> tuple[float, ...]:
    """Lowest and highest frequency of all ways; empty where unknown."""
    lows = [way.low_hz.value for way in ways]
    highs = [way.high_hz.value for way in ways]
    if not ways or None in lows or None in highs:
        return ()
    return min(hz for hz in lows if hz is not None), max(hz for hz in highs if hz is not None)


def _change(
    output: ProcessorOutput, made: Sequence[Made], abilities: ProcessorAbilities, hz: Floats
) -> tuple[float, float, float]:
    """Largest change of level and of phase, and where that of the level lies."""
    figures = {one.entry.key: one.value for one in made}
    filters = tuple(one.part for one in made if one.part is not None)
    entered = replace(
        output,
        gain_db=figures["gain"],
        delay_ms=figures["delay"] or 0.0,
        filters=filters,
    )
    wished = _response(output, output.filters, abilities, hz)
    got = _response(entered, filters, abilities, hz)
    heard = np.abs(wished) > np.max(np.abs(wished)) * 10 ** (-QUIET_DB / 20)
    ratio = got[heard] / wished[heard]
    level = 20 * np.log10(np.maximum(np.abs(ratio), 1e-6))
    place = int(np.argmax(np.abs(level)))
    turned = float(np.max(np.abs(np.degrees(np.angle(ratio)))))
    return float(abs(level[place])), turned, float(hz[heard][place])


def _response(
    output: ProcessorOutput,
    filters: Sequence[Filter],
    abilities: ProcessorAbilities,
    hz: Floats,
) -> Complex:
    gain = 10 ** ((output.gain_db or 0.0) / 20)
    found = filters_response(filters, hz, abilities.sampling_hz.value, abilities.bessel_corner)
    whole: Complex = gain * delay_turn(output.delay_ms, hz) * found
    return whole


def _within(
    output: ProcessorOutput, lookup: Lookup, entries: Sequence[SheetEntry]
) -> tuple[SheetEntry, ...]:
    """As they are; none fits on an output that the processor does not have."""
    place = lookup.processor_places.get(output.processor)
    sheet = None if place is None else lookup.processors[place.sheet]
    if sheet is None or output.output <= sheet.outputs:
        return tuple(entries)
    note = f"It has {sheet.outputs} outputs: there is no output {output.output}."
    return tuple(replace(entry, fits=False, note=note) for entry in entries)


def _dialled(
    system: SystemDescription,
    lookup: Lookup,
    lines: Sequence[LineResult],
    place: ProcessorPlace,
) -> Dialled:
    outputs = outputs_of(system, place.name)
    done = [built(system, lookup, lines, output) for output in outputs]
    model = lookup.processors[place.sheet]
    sheet = DialInSheet(
        processor=place.name,
        model=place.sheet,
        unit=place.unit,
        outputs=tuple(one.sheet for one in done),
        linked=_linked(outputs),
        remarks=tuple(_remarks(model, outputs, done, lookup)),
    )
    return Dialled(sheet, not any(one.unknown for one in done))


def _linked(outputs: Sequence[ProcessorOutput]) -> str:
    sets = dict.fromkeys(tuple(sorted(o.inputs)) for o in outputs if len(o.inputs) > 1)
    return "; ".join(f"inputs {joined(str(one) for one in each)} together" for each in sets)


def _remarks(
    model: ProcessorSheet,
    outputs: Sequence[ProcessorOutput],
    done: Sequence[Built],
    lookup: Lookup,
) -> Iterator[str]:
    """What was assumed, what is unknown and what does not fit, in sentences."""
    described = {(part.processor, part.output) for part in lookup.outputs.values()}
    unsaid = [str(o.output) for o in outputs if (o.processor, o.output) not in described]
    if unsaid:
        yield f"Nobody said what output {joined(unsaid)} is set to."
    bad = [
        f"output {one.sheet.output}: {entry.name}"
        for one in done
        for entry in one.sheet.entries
        if not entry.fits
    ]
    if bad:
        yield f"This does not fit {model.name}: {joined(bad)}."
    unknown = dict.fromkeys(key.rstrip(" 0123456789") for one in done for key in one.unknown)
    if unknown:
        yield (
            f"The steps or kinds of {model.name} are unknown for: {joined(unknown)}. "
            "These figures are not rounded."
        )
    parts = [part for output in outputs for part in output.filters]
    if any(part.family == "Bessel" for part in parts):
        if model.abilities.bessel_corner == "unknown":
            yield "What a Bessel corner means here is unknown: it is taken as -3 dB."
        elif model.abilities.bessel_corner == "phase":
            yield "Its Bessel corners are those of the asymptotes, not -3 dB."
    if parts:
        yield f"Reckoned with {basis_of(model.abilities.sampling_hz.value)}."
