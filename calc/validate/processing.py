"""Outputs, filters and abilities of processors that cannot be."""

from collections import Counter
from collections.abc import Iterator

from calc.lookup import Lookup
from calc.signals.filters import sections_of
from calc.system import Dial, Filter, ProcessorAbilities, ProcessorOutput, SystemDescription
from calc.validate.ranges import ABILITY_RANGES, FILTER_RANGES, OUTPUT_RANGES, numbers
from calc.words import joined, number

DIALS = {
    "gain_db": "gain", "delay_ms": "delay", "pass_hz": "corner of the passes",
    "filter_hz": "frequency of the filters", "filter_gain_db": "gain of the filters",
    "filter_q": "Q of the filters", "limiter_dbu": "limiter's threshold", "attack_ms": "attack",
    "release_ms": "release",
}  # fmt: skip
OF_A_FREQUENCY = ("pass_hz", "filter_hz")
ABOVE_NOTHING = (*OF_A_FREQUENCY, "filter_q", "attack_ms", "release_ms")
PASSES = ("high-pass", "low-pass")


def abilities(part: ProcessorAbilities, label: str) -> Iterator[str]:
    """What a processor can be set to, as far as that can be."""
    yield from numbers(part, ABILITY_RANGES, label)
    for field, name in DIALS.items():
        yield from _dial(getattr(part, field), f"{label}, {name}", field in OF_A_FREQUENCY)
        most = getattr(part, field).most
        if field in ABOVE_NOTHING and most is not None and most <= 0:
            yield f"{label}, {name}: its most must lie above 0."
    for slope in part.slopes:
        try:
            sections_of(Filter("high-pass", 1.0, slope.family, slope.order))
        except ValueError as fault:
            yield f"{label}: {fault}."


def _dial(dial: Dial, label: str, of_a_frequency: bool) -> Iterator[str]:
    if dial.least is not None and dial.most is not None and dial.least > dial.most:
        yield f"{label}: its least lies above its most."
    if dial.step is not None and not 1e-6 <= dial.step <= 1e5:
        yield f"{label}: its step must lie above 0."
    if dial.scale == "steps per octave" and not of_a_frequency:
        yield f"{label}: only a frequency has steps per octave."


def outputs(system: SystemDescription, lookup: Lookup) -> Iterator[str]:
    """Outputs of processors that are there, each once, within their number."""
    for (processor, output), count in Counter(
        (part.processor, part.output) for part in system.outputs
    ).items():
        if count > 1:
            yield f"Output {output} of '{processor}' is described twice."
    for name in dict.fromkeys(part.processor for part in system.outputs):
        mine = [part for part in system.outputs if part.processor == name]
        if name not in lookup.processor_places:
            yield f"{mine[0].name}: there is no processor place '{name}'."
        else:
            yield from _within(name, mine, lookup)
    for part in system.outputs:
        yield from _output(part, lookup)


def _within(name: str, mine: list[ProcessorOutput], lookup: Lookup) -> Iterator[str]:
    sheet = lookup.processors[lookup.processor_places[name].sheet]
    beyond = sorted(part.output for part in mine if not 1 <= part.output <= sheet.outputs)
    if beyond:
        listed = joined(str(one) for one in beyond)
        if len(beyond) > 3:
            listed = f"{beyond[0]} to {beyond[-1]}"
        yield f"'{name}' has {sheet.outputs} outputs, not number {listed}."
    for part in mine:
        if any(not 1 <= one <= sheet.inputs for one in part.inputs):
            yield f"{part.name}: '{name}' has {sheet.inputs} inputs."


def _output(part: ProcessorOutput, lookup: Lookup) -> Iterator[str]:
    yield from numbers(part, OUTPUT_RANGES, part.name)
    if len(set(part.inputs)) < len(part.inputs):
        yield f"{part.name}: it plays one input twice."
    for kind in PASSES:
        if sum(one.kind == kind for one in part.filters) > 1:
            yield f"{part.name}: it has two {kind} filters; one is all that there is room for."
    sampling = lookup.abilities_of(part.processor).sampling_hz.value
    for place, one in enumerate(part.filters, start=1):
        yield from _filter(one, f"{part.name}, filter {place} ({one.kind})", sampling)


def _filter(part: Filter, label: str, sampling_hz: float | None) -> Iterator[str]:
    found = list(numbers(part, FILTER_RANGES, label))
    yield from found
    if sampling_hz is not None and part.frequency_hz >= sampling_hz / 2:
        yield (
            f"{label}: {number(part.frequency_hz, 5)} Hz cannot be; the processor works up to half "
            f"its sampling rate, {number(sampling_hz / 2, 5)} Hz. Lower the frequency."
        )
    if part.kind in ("peak", "notch") and part.q is None:
        yield f"{label}: it needs a Q."
    if found:
        return
    try:
        sections_of(part)
    except ValueError as fault:
        yield f"{label}: {fault}."
