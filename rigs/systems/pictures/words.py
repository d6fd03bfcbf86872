"""The words that stand in a wiring picture, from the line and its result."""

from dataclasses import dataclass

from calc.prediction import BoxResult, LineResult, RunResult
from calc.system import CableSheet, DriveLine, Link, SystemDescription, Way
from calc.words import level, number

LEAST_HEAT_W_PER_M = 0.1


def signed(value: float, unit: str) -> str:
    """A level with its sign."""
    text = level(value, unit)
    return text if text.startswith("-") else f"+{text}"


@dataclass(frozen=True, slots=True)
class LineWords:
    """Texts of one drive line. Empty where there is nothing to say."""

    processor: str
    output: str
    limiter: str
    amplifier: str
    sheet: str
    channel: str
    level_control: str
    gain: str
    volts: str
    load: str
    boxes: tuple["BoxWords", ...]


@dataclass(frozen=True, slots=True)
class BoxWords:
    """Texts of one box and its cable."""

    name: str
    way: str
    impedance: str
    volts: str
    damping: str
    cable: str
    area: str
    loss: str
    loss_in_all: str
    heat: str
    from_amplifier: bool
    series: str = ""


def line_words(result: LineResult, line: DriveLine, system: SystemDescription) -> LineWords:
    """Everything that is written into the picture."""
    cables = {cable.name: cable for cable in system.cables}
    found = {(box.placement, box.way): box for box in result.boxes}
    return LineWords(
        processor=line.processor or "Processor not stated",
        output=f"output {line.output}" if line.output else "output not stated",
        limiter=_limiter(result),
        amplifier=line.amplifier or "Amplifier not stated",
        sheet=result.amplifier_sheet,
        channel=_channel(result),
        level_control=_level_control(line.level_control_db),
        gain="gain unknown" if result.gain_db is None else f"gain {level(result.gain_db)}",
        volts=_volts(result),
        load=_load(result),
        boxes=tuple(
            _box_words(
                link,
                cables.get(link.cable),
                found.get((link.placement, link.way)),
                _way(link, system),
                run=_run(result, line, order),
                before=line.links[order - 1] if order else None,
                lost_before=_lost_before(line, order, found),
            )
            for order, link in enumerate(line.links)
        ),
    )


def sentences(words: LineWords) -> str:
    """The picture told in sentences, for those who cannot see it."""
    told = [
        f"{words.processor}, {words.output}, {words.limiter}, feeds {words.amplifier} "
        f"({words.sheet}), {words.channel}, {words.level_control}, {words.gain}.",
        f"Driven to {words.volts} into {words.load}.",
    ]
    before = words.amplifier
    for box in words.boxes:
        start = words.amplifier if box.from_amplifier else before
        told.append(
            f"From {start} by cable {box.cable}, {box.area}, {box.heat}, to {box.name} "
            f"{box.way}{', ' if box.series else ''}{box.series}: "
            f"{box.impedance}, {box.volts}, {box.loss}, "
            f"{box.loss_in_all}{', ' if box.loss_in_all else ''}{box.damping}."
        )
        before = box.name
    if not words.boxes:
        told.append("No box is on this line.")
    return " ".join(told)


def _limiter(result: LineResult) -> str:
    if result.limiter_rms_dbu is None:
        return "limiter unknown"
    return f"limiter {signed(result.limiter_rms_dbu, 'dBu')}"


def _channel(result: LineResult) -> str:
    if len(result.channels) == 1:
        return f"channel {result.channels[0]}"
    return f"channels {result.channels[0]} and {result.channels[-1]}, {result.mode}"


def _level_control(db: float) -> str:
    return "level fully up" if db == 0 else f"level {level(db)}"


def _load(result: LineResult) -> str:
    """The whole line's load against the least that this mode of the amplifier allows."""
    load = "load unknown"
    if result.rated_load_ohm is not None:
        load = f"{number(result.rated_load_ohm)} ohm"
    if result.amplifier_minimum_ohm is None:
        return f"{load}, least unknown"
    return f"{load}, least {number(result.amplifier_minimum_ohm)}"


def _way(link: Link, system: SystemDescription) -> Way | None:
    sheet = next((p.sheet for p in system.placements if p.name == link.placement), "")
    box = next((s for s in system.loudspeakers if s.name == sheet), None)
    return next((w for w in box.ways if w.name == link.way), None) if box else None


def _run(result: LineResult, line: DriveLine, order: int) -> RunResult | None:
    """The run that leads to the n-th box, where every link has its run."""
    return result.runs[order] if len(result.runs) == len(line.links) else None


def _heat(run: RunResult | None) -> str:
    if run is None or run.heat_w_per_m is None:
        return "heat unknown"
    if run.heat_w_per_m < LEAST_HEAT_W_PER_M:
        return f"under {LEAST_HEAT_W_PER_M:g} W/m"
    return f"{number(run.heat_w_per_m, 2)} W/m heat"


def _box_words(
    link: Link,
    cable: CableSheet | None,
    box: BoxResult | None,
    way: Way | None,
    *,
    run: RunResult | None,
    before: Link | None,
    lost_before: float | None,
) -> BoxWords:
    ohm = way.rated_impedance_ohm.value if way else None
    loss = box.cable_loss_db if box else None
    damping = box.damping_factor if box else None
    volts = box.voltage_v if box else None
    return BoxWords(
        name=link.placement,
        way=link.way,
        impedance="impedance unknown" if ohm is None else f"{number(ohm)} ohm",
        volts="volts unknown" if volts is None else f"{number(volts)} V",
        damping="damping unknown" if damping is None else f"damping {number(damping, 2)}",
        cable=_length(link, cable),
        area=_area(cable),
        loss=_loss(loss, lost_before),
        loss_in_all="" if loss is None or lost_before is None else f"{level(loss)} in all",
        heat=_heat(run),
        from_amplifier=link.from_amplifier or before is None,
        series=f"in series with {before.placement}" if before and link.series_with_previous else "",
    )


def _volts(result: LineResult) -> str:
    """What the figures are for: the volts at which the limiter or the amplifier stops."""
    if result.drive_v is None:
        return "volts unknown"
    held = result.rated_voltage_v is not None and result.drive_v >= result.rated_voltage_v
    return f"{number(result.drive_v)} V {'at the limiter' if held else 'at most'}"


def _lost_before(
    line: DriveLine, order: int, found: dict[tuple[str, str], BoxResult]
) -> float | None:
    """What is lost up to the box that this cable starts at; None where it starts afresh."""
    link = line.links[order]
    if not order or link.from_amplifier or link.series_with_previous:
        return None
    before = found.get((line.links[order - 1].placement, line.links[order - 1].way))
    return before.cable_loss_db if before else None


def _loss(loss: float | None, lost_before: float | None) -> str:
    if loss is None:
        return "loss unknown"
    if lost_before is None:
        return f"{level(loss)} lost"
    return f"{level(loss - lost_before)} here"


def _length(link: Link, cable: CableSheet | None) -> str:
    if cable is None:
        return "not stated"
    if cable.length_m.value is None:
        return "length unknown"
    one = f"{number(cable.length_m.value)} m"
    return one if link.pieces == 1 else f"{link.pieces} x {one}"


def _area(cable: CableSheet | None) -> str:
    if cable is None or cable.area_mm2.value is None:
        return "area unknown"
    return f"{number(cable.area_mm2.value)} mm²"
