"""What runs together: two sides at a spot, and the ways of a box; each with its drawing."""

from collections.abc import Sequence

from rigs.packets.compute import (
    AlignmentResult,
    CrossoverResult,
    Finding,
    Prediction,
    SystemDescription,
    speed_of_sound,
)
from rigs.packets.pictures import size_of
from rigs.packets.sections.blocks import (
    UNKNOWN,
    Json,
    card,
    cards_worst_first,
    checklist,
    fold,
    metres_and_feet,
    number,
    picture,
    quantity,
    text,
    worst_first,
)
from rigs.systems.pictures.frequency import NARROW
from rigs.systems.pictures.processing import (
    between_picture,
    sides_picture,
    ways_phase_picture,
    ways_picture,
)

MEANING = (
    "Two sides run together where the phase between them stays within 60 degrees wherever both "
    "are about equally loud (common practice, no source). It holds at the spot named, not "
    "everywhere: walk about and listen."
)
LEAST_DRIFT_MS = 0.05
ALIGNMENT_CHECKS: tuple[str, ...] = ("alignment", "delay_drift", "delay_as_inversion")
CROSSOVER_CHECKS: tuple[str, ...] = ("crossover_polarity", "crossover_order")
CHECKS = (*ALIGNMENT_CHECKS, *CROSSOVER_CHECKS)


def alignment_blocks(system: SystemDescription, prediction: Prediction) -> list[Json]:
    """Alignments and crossovers, worst first; none where the rig has neither."""
    speed = speed_of_sound(system.surroundings.temperature_c)
    cards = [
        _alignment(result, prediction.findings, speed, f"alignment-{place}")
        for place, result in enumerate(prediction.alignments, start=1)
    ]
    left = [one for one in prediction.findings if one.check in CROSSOVER_CHECKS]
    for place, result in enumerate(prediction.crossovers, start=1):
        about = [one for one in left if _is_about(one, result, prediction.crossovers)]
        left = [one for one in left if one not in about]
        cards.append(_crossover(result, about, f"ways-{place}"))
    cards += [_unpaired(finding) for finding in left]
    return [text(MEANING), *cards_worst_first(cards)] if cards else []


# --- two sides at a spot --------------------------------------------------------------------


def _alignment(
    result: AlignmentResult, findings: Sequence[Finding], speed: float, drawing: str
) -> Json:
    about = [f for f in findings if f.check in ALIGNMENT_CHECKS and f.subject == result.name]
    said = any(result.as_inversion in one.sentence for one in worst_first(about)[:1])
    return card(
        f"alignment:{result.name}",
        result.name,
        f"{result.kind}, at {result.spot}",
        about,
        facts=_alignment_facts(result, speed),
        drawing=_between(drawing, result),
        more=_more(drawing, result),
        warnings=[result.as_inversion] if result.as_inversion and not said else (),
    )


def _apart(degrees: float | None) -> str:
    return UNKNOWN if degrees is None else f"{degrees:.0f} degrees apart"


def _alignment_facts(result: AlignmentResult, speed: float) -> list[tuple[str, str]]:
    basis = "measured responses" if result.measured else "positions and data sheets"
    return [
        *(_phase_facts(result) if result.kind == "sub to top" else ()),
        ("Delayed", ", ".join(result.moved)),
        ("To meet", ", ".join(result.reference)),
        ("Delay to enter", _delay(result, speed)),
        ("That is", _change(result)),
        ("Arrive now", _arrivals(result)),
        ("Drift to the show", _drift(result)),
        ("Stands on", basis),
    ]


def _phase_facts(result: AlignmentResult) -> list[tuple[str, str]]:
    """Of two sides that overlap; a fill or tower has to come in time, its phase says nothing."""
    best = result.best_worst_phase_deg
    return [
        ("Phase in the overlap", _apart(result.worst_phase_deg)),
        ("After the change", "" if best is None else _apart(best)),
        ("Overlap", _overlap(result)),
        ("Sum over the louder side", _sum(result)),
        ("Polarity", _polarity(result.invert)),
    ]


def _delay(result: AlignmentResult, speed: float) -> str:
    delay = result.delay_ms
    if delay is None:
        return UNKNOWN
    metres = abs(delay) / 1000 * speed
    words = f"{abs(delay):.2f} ms ({metres_and_feet(metres)})"
    if delay < 0:
        return f"{words} on {', '.join(result.reference)}: the other side comes later already"
    return words


def _change(result: AlignmentResult) -> str:
    if result.add_ms is None:
        return ""
    if abs(result.add_ms) < 0.005:
        return "as it is set"
    return f"{abs(result.add_ms):.2f} ms {'more' if result.add_ms > 0 else 'less'} than is set"


def _polarity(invert: bool | None) -> str:
    if invert is None:
        return UNKNOWN
    return "change it on the delayed side" if invert else "leave it"


def _arrivals(result: AlignmentResult) -> str:
    return (
        f"delayed side after {quantity(result.moved_arrival_ms, 'ms')}, "
        f"the other after {quantity(result.reference_arrival_ms, 'ms')}"
    )


def _overlap(result: AlignmentResult) -> str:
    if len(result.overlap_hz) != 2:
        return "none: the two are nowhere about equally loud"
    low, high = result.overlap_hz
    return f"{number(low)} to {number(high)} Hz"


def _sum(result: AlignmentResult) -> str:
    if result.sum_db is None:
        return UNKNOWN
    now = f"{result.sum_db:+.1f} dB"
    return (
        now if result.best_sum_db is None else f"{now} as set, {result.best_sum_db:+.1f} dB after"
    )


def _drift(result: AlignmentResult) -> str:
    set_c, show_c = number(result.set_temperature_c), number(result.show_temperature_c)
    temperatures = f"set at {set_c} °C, show at {show_c} °C"
    if result.drift_ms is None:
        return f"{UNKNOWN}: {temperatures}"
    if abs(result.drift_ms) < LEAST_DRIFT_MS:
        return f"none: {temperatures}"
    later = "later" if result.drift_ms > 0 else "earlier"
    return f"delayed side {abs(result.drift_ms):.1f} ms {later} ({temperatures})"


def _between(key: str, result: AlignmentResult) -> Json | None:
    """The phase between both sides against the band in which they run together."""
    if not (result.frequency_hz and result.phase_deg):
        return None
    across, tall = between_picture(result), between_picture(result, NARROW)
    words = f"As set and after the change, at {result.spot}; the band of 60 degrees is shaded."
    title = f"Phase between both sides of {result.name}"
    return picture(key, title, words, across, size_of(across), tall)


def _more(key: str, result: AlignmentResult) -> list[Json]:
    inside: list[Json] = [text(sentence) for sentence in result.sentences]
    if result.frequency_hz and result.moved_db and result.reference_db:
        across, tall = sides_picture(result), sides_picture(result, NARROW)
        title = f"Levels of both sides of {result.name}"
        words = f"Each side and the sum as set and after, at {result.spot}."
        inside.append(picture(f"{key}-levels", title, words, across, size_of(across), tall))
    if result.unknown:
        inside.append(checklist("Not known yet", result.unknown))
    return [fold("How it was found", *inside)] if inside else []


# --- the ways of a box ----------------------------------------------------------------------


def _is_about(
    finding: Finding, result: CrossoverResult, results: Sequence[CrossoverResult]
) -> bool:
    """Findings speak of a box on its axis; where it has several pairs, their sentence tells."""
    if finding.subject != result.subject:
        return False
    of_box = [one for one in results if one.subject == result.subject]
    pairs = {(one.lower, one.upper) for one in of_box}
    named = len(pairs) == 1 or f"{result.lower} and {result.upper}: " in finding.sentence
    return named and (not result.spot or all(one.spot for one in of_box))


def _unpaired(finding: Finding) -> Json:
    """What is said of a crossover that can't be worked out."""
    key = f"{finding.check}:{finding.subject}"
    return card(key, finding.subject, finding.title, [finding])


def _crossover(result: CrossoverResult, about: Sequence[Finding], drawing: str) -> Json:
    where = f"at {result.spot}" if result.spot else "on the axis"
    return card(
        f"crossover:{result.subject}:{result.lower}:{result.upper}:{result.spot}",
        f"{result.subject}: {result.lower} and {result.upper}",
        where + (f"; {', '.join(result.also)} alike" if result.also else ""),
        about,
        figure=None if about else _dip(result),
        against=None if about else "deepest within an octave of the crossover",
        facts=[
            ("Crossover", _crossover_words(result)),
            ("Together they are", result.kind or "no known pair"),
            ("Polarity by theory", _needed(result)),
            ("Phase there", "" if result.phase_deg is None else f"{result.phase_deg:.0f} degrees"),
            ("Sum there", "" if result.sum_db is None else f"{result.sum_db:+.1f} dB"),
            ("Stands on", result.basis),
        ],
        drawing=_ways(drawing, result),
        more=_ways_phase(drawing, result),
    )


def _dip(result: CrossoverResult) -> str:
    """How far the sum falls below the louder way."""
    if result.worst_dip_db is None:
        return UNKNOWN
    dip = abs(result.worst_dip_db)
    return "no dip" if dip < 0.05 else f"{dip:.1f} dB dip"


def _crossover_words(result: CrossoverResult) -> str:
    if result.crossover_hz is None:
        return "none: the two are nowhere equally loud"
    return f"{number(result.crossover_hz)} Hz"


def _needed(result: CrossoverResult) -> str:
    """What theory asks for, and what is set."""
    is_set = "one inverted" if result.is_inverted else "both alike"
    if result.needed_inverted is None:
        return f"no rule; set: {is_set}"
    needed = "one inverted" if result.needed_inverted else "both alike"
    return f"{needed}, and so it is set" if needed == is_set else f"{needed}, but set: {is_set}"


def _ways(key: str, result: CrossoverResult) -> Json | None:
    if not result.frequency_hz:
        return None
    across, tall = ways_picture(result), ways_picture(result, NARROW)
    title = f"Ways of {result.subject}"
    words = f"{result.lower}, {result.upper} and their sum, dB re 20 uPa at full drive."
    return picture(key, title, words, across, size_of(across), tall)


def _ways_phase(key: str, result: CrossoverResult) -> list[Json]:
    if not result.frequency_hz:
        return []
    across, tall = ways_phase_picture(result), ways_phase_picture(result, NARROW)
    title = f"Phase of the ways of {result.subject}"
    words = "The common flight time is taken out."
    drawn = picture(f"{key}-phase", title, words, across, size_of(across), tall)
    return [fold("Phase of the two ways", drawn)]
