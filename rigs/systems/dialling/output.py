"""What the page of one output shows beside its form."""

from typing import Any

from rigs.systems.describe import SystemDescription
from rigs.systems.describe.dialling.rows import ProcessorOutput, described
from rigs.systems.describe.dialling.trying import (
    CrossoverResult,
    OutputSheet,
    curve_of,
    tried_output,
)
from rigs.systems.describe.dialling.words import entries_of, level
from rigs.systems.dialling.overview import boxes_on, lines_on
from rigs.systems.models import Output
from rigs.systems.pictures.figures import shown_findings
from rigs.systems.pictures.frequency import said_hz
from rigs.systems.pictures.processing import (
    filter_phase_picture,
    filters_picture,
    ways_phase_picture,
    ways_picture,
)

NARROW = 340.0


def shown_output(
    system: SystemDescription, processor: str, number: int, wished: ProcessorOutput | None
) -> dict[str, Any]:
    """Pictures, crossovers, findings and what the processor makes of it.

    `wished` is the output as stored or as typed; None where nobody said anything: then nothing
    is drawn.
    """
    lines = lines_on(system, processor, number)
    name = f"{processor}, output {number}"
    shown: dict[str, Any] = {
        "name": name,
        "lines": ", ".join(line.name for line in lines),
        "boxes": boxes_on(lines),
        "entries": None,
    }
    if wished is None:
        return shown
    found = tried_output(system, wished)
    curve = curve_of(system, wished)
    crossovers = [_crossover(each) for each in found.crossovers]
    shown |= {
        "entries": entries_of(wished, system.surroundings.temperature_c),
        "fault": curve.fault or found.fault,
        "basis": curve.basis[:1].upper() + curve.basis[1:] + "." if curve.basis else "",
        "pictures": [],
        "crossovers": crossovers,
        "findings": [
            each for each in shown_findings(found.findings) if each.finding.state != "holds"
        ],
        "told": " ".join(each["decides"] for each in crossovers),
        "remarks": found.remarks,
    } | _sheet(found.sheet)
    if not curve.fault:
        hz = curve.frequency_hz
        shown["pictures"] = [
            (filters_picture(name, hz, curve.level_db),
             filters_picture(name, hz, curve.level_db, NARROW)),
            (filter_phase_picture(name, hz, curve.phase_deg),
             filter_phase_picture(name, hz, curve.phase_deg, NARROW)),
        ]  # fmt: skip
    return shown


def _crossover(result: CrossoverResult) -> dict[str, Any]:
    where = f" at {result.spot}" if result.spot else ""
    return {
        "title": f"{result.subject}: {result.lower} and {result.upper}{where}",
        "decides": _decides(result),
        "sentences": _sentences(result),
        "pictures": [
            (draw(result), draw(result, NARROW)) for draw in (ways_picture, ways_phase_picture)
        ],
    }


def _decides(result: CrossoverResult) -> str:
    if result.crossover_hz is None:
        return "Nowhere equally loud"
    said = said_hz(result.crossover_hz)
    return said if result.sum_db is None else f"{said}, sum {result.sum_db:+.1f} dB"


def _sentences(result: CrossoverResult) -> list[str]:
    said = []
    if result.kind:
        said.append(f"{result.kind}.")
    if result.needed_inverted is not None:
        needs = "one of the two inverted" if result.needed_inverted else "both of one polarity"
        has = "one is" if result.is_inverted else "neither is"
        said.append(f"It needs {needs}; {has} inverted.")
    if result.phase_deg is not None:
        said.append(f"Where both are equally loud they stand {abs(result.phase_deg):.0f}° apart.")
    if result.worst_dip_db is not None and result.worst_dip_db < -0.05:
        said.append(
            f"Within an octave the sum falls {level(-result.worst_dip_db)} below the louder way."
        )
    if result.also:
        said.append(f"The same holds for {', '.join(result.also)}.")
    if result.basis:
        said.append(f"The drivers stand on: {result.basis}.")
    return said


def _sheet(sheet: OutputSheet | None) -> dict[str, Any]:
    """Each entry as the processor takes it, and what all rounding does together."""
    if sheet is None:
        return {"entered": [], "rounding": ""}
    entered = []
    for entry in sheet.entries:
        changed = [v for v in entry.values if v.entered is None or v.entered != v.wanted]
        entered.append(
            {
                "title": entry.title,
                "words": ", ".join(f"{value.name} {value.words}".strip() for value in entry.values),
                "wanted": ", ".join(f"{v.wanted:.6g} {v.unit}".strip() for v in changed),
                "fits": entry.fits,
                "note": entry.note,
            }
        )
    rounding = ""
    if sheet.rounding_db is not None and sheet.rounding_deg is not None:
        rounding = (
            f"All rounding together changes at most {sheet.rounding_db:.2f} dB and "
            f"{sheet.rounding_deg:.1f}°"
        )
        rounding += f", at {said_hz(sheet.rounding_at_hz)}." if sheet.rounding_at_hz else "."
    return {"entered": entered, "rounding": rounding}


def met_words(stored: Output | None, temperature_c: float) -> dict[str, str]:
    """What is stored of an output now."""
    if stored is None:
        return {"Output": "nobody said how it is set"}
    return entries_of(described(stored, stored.filters.all()), temperature_c)
