"""What a processor can be set to, in words."""

from collections.abc import Iterator

from rigs.catalogue.figures import plain, split_unit
from rigs.catalogue.models import PassFamily, Processor, ProcessorDial

UNKNOWN = "unknown"
UNIT_OF_NUMBER = {"dBu": "dB"}
"""A step between two levels is a ratio."""


def shown_abilities(processor: Processor) -> list[tuple[str, str]]:
    """What it sets, and how: ('Delay', 'from 0 to 1300 ms in steps of 0.01 ms')."""
    dials = {dial.quantity: dial for dial in processor.dials.all()}
    rows = [
        (dial_label(quantity), dial_words(dials.get(quantity), quantity))
        for quantity in ProcessorDial.Quantity
    ]
    return [*_filters(processor), *rows]


def dial_label(quantity: ProcessorDial.Quantity) -> str:
    """What is set, without its unit."""
    return split_unit(quantity.label)[0].capitalize() if quantity != "filter_q" else quantity.label


def dial_unit(quantity: ProcessorDial.Quantity) -> str:
    """The unit that it is set in; "" for a Q."""
    return split_unit(quantity.label)[1]


def dial_words(dial: ProcessorDial | None, quantity: ProcessorDial.Quantity) -> str:
    """Range and step as a sentence's end."""
    if dial is None:
        return UNKNOWN
    unit = dial_unit(quantity)
    return f"{_range(dial, unit)}{' ' if _range(dial, unit) else ''}{_step(dial, unit)}"


def _range(dial: ProcessorDial, unit: str) -> str:
    if dial.least is not None and dial.most is not None:
        return _with(f"from {plain(dial.least)} to {plain(dial.most)}", unit)
    if dial.least is not None:
        return _with(f"from {plain(dial.least)}", unit) + " up"
    return _with(f"up to {plain(dial.most)}", unit) if dial.most is not None else ""


def _step(dial: ProcessorDial, unit: str) -> str:
    if dial.step is None:
        return "in unknown steps"
    if dial.scale == ProcessorDial.Scale.PER_OCTAVE:
        return f"in {plain(dial.step)} steps to an octave"
    return _with(f"in steps of {plain(dial.step)}", UNIT_OF_NUMBER.get(unit, unit))


def _with(words: str, unit: str) -> str:
    return f"{words} {unit}" if unit else words


def _filters(processor: Processor) -> Iterator[tuple[str, str]]:
    count = processor.filters_per_output
    yield "Filters of an output", UNKNOWN if count is None else f"{count}, besides the passes"
    yield "Kinds of filters", ", ".join(processor.kinds) or UNKNOWN
    slopes = [
        f"{family.label} {', '.join(str(order * 6) for order in orders)} dB/octave"
        for family, orders in slopes_of(processor).items()
        if orders
    ]
    yield "High and low passes", "; ".join(slopes) or UNKNOWN
    yield "Corner of a Bessel pass", processor.get_bessel_corner_display()
    mixes = {True: "yes", False: "no", None: UNKNOWN}[processor.mixes_inputs]
    yield "An output can play the sum of inputs", mixes


def slopes_of(processor: Processor) -> dict[PassFamily, list[int]]:
    """The orders that it offers of each family, rising."""
    found: dict[PassFamily, list[int]] = {family: [] for family in PassFamily}
    for slope in processor.slopes.all():
        found[PassFamily(slope.family)].append(slope.order)
    return {family: sorted(orders) for family, orders in found.items()}
