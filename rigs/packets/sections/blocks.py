"""The kinds of blocks that a section is made of, and how figures stand in them."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from rigs.packets.compute import METRES_PER_FOOT, SEVERITY, Finding, Prediction

Json = dict[str, Any]

UNKNOWN = "unknown"

CARDS = ("card", "output", "line-up step")
"""Kinds of blocks that have a state and findings as a card has."""

# How a limit stands beside its figure, by the finding's check.
AGAINST = {
    "load": "needs {}",
    "cable_loss": "at most {}",
    "damping": "at least {}",
    "headroom": "at least {}",
    "limiter": "the processor ends at {}",
    "coverage": "at least {} within 3 dB",
    "exposure": "at most {}",
    "supply": "at most {}",
    "peak": "at most {}",
    "phase": "at most {}",
    "volt_drop": "at most {}",
    "inrush": "at most {}",
    "weight": "marked for {}",
    "pole_pair": "at least {}",
    "shared_output": "the lowest is {}",
    "linked_inputs": "at most {}",
    "undriven_way": "needs one",
    "target": "wished {}",
    "alignment": "at most {}",
    "delay_drift": "at most {}",
    "crossover_polarity": "no deeper than {}",
    "crossover_order": "at most {}",
    "protection": "at least {}",
    "feedback": "at least {}",
}


ONE_OF = {"pole pairs": "pole pair", "outputs": "output", "drive lines": "drive line"}
"""Units that are counted."""


LEVELS = ("dBu", "dB(")
"""Units whose zero is not "nothing"; a loss or a headroom in dB is none of them."""


def section(key: str, step: str, heading: str, blocks: list[Json], note: str = "") -> Json:
    """One step of the running order, with a count of its cards by state.

    `note` says in a few words what is inside, for steps whose cards don't say it.
    """
    states = Counter(b["state"] for b in blocks if b["kind"] in CARDS and b["state"])
    return {
        "key": key,
        "step": step,
        "heading": heading,
        "note": note,
        "tally": {state: states[state] for state in SEVERITY if states[state]},
        "blocks": blocks,
    }


def cautions(prediction: Prediction, *wanted: str) -> list[Json]:
    """Those of the wanted cautions that this rig calls for."""
    return [caution(words) for words in wanted if words in prediction.cautions]


def text(words: str) -> Json:
    return {"kind": "text", "text": words}


def caution(words: str) -> Json:
    """What can hurt people; stands before the action."""
    return {"kind": "caution", "text": words}


def figures(*pairs: tuple[str, str], title: str = "") -> Json:
    """Names with their values; pairs without a value are left out."""
    shown = [{"name": name, "value": value} for name, value in pairs if value]
    return {"kind": "figures", "title": title, "figures": shown}


def table(title: str, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> Json:
    """A column whose name starts with # holds numbers."""
    heads = [{"name": name.lstrip("#"), "number": name.startswith("#")} for name in columns]
    return {"kind": "table", "title": title, "columns": heads, "rows": [list(r) for r in rows]}


def checklist(title: str, items: Iterable[str], ordered: bool = False) -> Json:
    return {"kind": "checklist", "title": title, "ordered": ordered, "items": list(items)}


def picture(
    key: str, title: str, words: str, svg: str, size: tuple[float, float], tall: str = ""
) -> Json:
    """A drawing with what it shows in words; `tall` is its variant for a narrow screen."""
    tall_key = f"{key}-tall" if tall else ""
    return {
        "kind": "picture",
        "key": key,
        "tall": tall_key,
        "title": title,
        "text": words,
        "width": round(size[0]),
        "height": round(size[1]),
        "svg": {key: svg} | ({tall_key: tall} if tall else {}),
    }


def fold(title: str, *inside: Json) -> Json:
    """More about a card, one tap away: blocks of the other kinds under a title."""
    return {"title": title, "blocks": list(inside)}


def card(
    key: str,
    name: str,
    place: str,
    findings: Sequence[Finding],
    *,
    facts: Iterable[tuple[str, str]] = (),
    rows: Json | None = None,
    drawing: Json | None = None,
    more: Iterable[Json] = (),
    warnings: Iterable[str] = (),
    tickable: bool = False,
    group: str = "",
    figure: str | None = None,
    against: str | None = None,
) -> Json:
    """One thing to look at; the worst of its findings decides state, figure and sentence, and
    where all hold the one that is nearest to its limit.

    `figure` and `against` replace the deciding finding's number where another one is what
    people read on site (a threshold to enter). Cards of one `group` share a sheet of paper.
    `warnings` are cautions of this thing alone; `more` are its folds.
    """
    ordered = worst_first(findings)
    worst = deciding(ordered)
    return {
        "kind": "card",
        "key": key[:120],
        "name": name,
        "place": place,
        "group": group,
        "figure": figure if figure is not None else (deciding_figure(worst) if worst else ""),
        "against": against if against is not None else (limit_words(worst) if worst else ""),
        "decides": worst.title if worst and figure is None else "",
        "state": worst.state if worst else "",
        "sentence": _sentence(worst, name) if worst else "",
        "facts": [{"name": n, "value": v} for n, v in facts if v],
        "table": rows,
        "picture": drawing,
        "more": list(more),
        "cautions": list(warnings),
        "findings": [_finding(f, name) for f in ordered],
        "tickable": tickable,
    }


def to_tick(section: Json) -> Iterator[Json]:
    """What can be ticked as seen on site, in the order in which it stands: cards and entries."""
    for block in section["blocks"]:
        if block["kind"] in CARDS:
            things = [block, *block.get("entries", ())]
            yield from (thing for thing in things if thing["tickable"])


def worst_first(findings: Sequence[Finding]) -> list[Finding]:
    """Worst first; the order in which they were found decides among equals."""
    return sorted(findings, key=lambda finding: SEVERITY.index(finding.state))


def deciding(findings: Sequence[Finding]) -> Finding | None:
    """The first of the worst; where all hold, the one with the least share left to its limit."""
    worst = next(iter(worst_first(findings)), None)
    if worst is None or worst.state != "holds":
        return worst
    return min(findings, key=_share_left)


def _share_left(finding: Finding) -> float:
    """How far a value is from its limit, as a share of the limit; levels as ratios of volts."""
    value, limit = finding.value, finding.limit
    if value is None or limit is None:
        return math.inf
    if limit and not finding.unit.startswith(LEVELS):
        return abs(value - limit) / abs(limit)
    return float(10 ** (abs(value - limit) / 20) - 1)


def cards_worst_first(cards: list[Json]) -> list[Json]:
    """Cards by state, worst first, else in the order given."""
    rank = {state: place for place, state in enumerate(SEVERITY)}
    return sorted(cards, key=lambda one: rank.get(one["state"], len(rank)))


def deciding_figure(finding: Finding) -> str:
    """The number that decides, or in words why there is none."""
    value, limit, unit = finding.value, finding.limit, finding.unit
    if value is None:
        return UNKNOWN if finding.state == "cannot check" else finding.title
    shown = quantity(value, unit)
    if limit is None or finding.state == "holds" or shown != quantity(limit, unit):
        return shown
    # Rounded alike, it would look as if it met its limit.
    closer = f"{value:.3g}"
    return shown if "e" in closer else f"{closer} {unit}"


def limit_words(finding: Finding) -> str:
    if finding.limit is None:
        return ""
    return _against(finding).format(quantity(finding.limit, finding.unit))


def _against(finding: Finding) -> str:
    if finding.check == "power":
        above = finding.value is not None and finding.value > finding.limit  # type: ignore[operator]
        return "at most {}" if above and finding.state != "holds" else "at least {}"
    return AGAINST.get(finding.check, "limit {}")


def quantity(value: float | None, unit: str) -> str:
    """A value with its unit as people write it; "unknown" where there is none."""
    if value is None:
        return UNKNOWN
    if unit == "dBu":
        return f"{value:+.1f} dBu".replace("+0.0", "0.0").replace("-0.0", "0.0")
    if unit.startswith("dB"):
        return f"{value:.1f} {unit}".replace("-0.0", "0.0")
    if unit in ("", "1"):
        return number(value)
    return f"{number(value)} {ONE_OF.get(unit, unit) if value == 1 else unit}"


def number(value: float) -> str:
    """Three figures, no exponent, no idle zeros: 2.67, 105, 1400, 0.031."""
    size = abs(value)
    if size >= 100:
        return f"{value:.0f}"
    decimals = 1 if size >= 10 else 2 if size >= 0.1 else 3
    shown = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if shown in ("", "-0") else shown


def metres_and_feet(metres: float) -> str:
    """A distance in both units."""
    return f"{number(metres)} m, {number(metres / METRES_PER_FOOT)} ft"


def counted(pieces: int, one: str, many: str = "") -> str:
    """'1 box', '2 boxes'."""
    return f"{pieces} {one if pieces == 1 else many or one + 's'}"


def _finding(finding: Finding, name: str) -> Json:
    return {
        "subject": finding.subject,
        "check": finding.check,
        "title": finding.title,
        "state": finding.state,
        "figure": deciding_figure(finding),
        "against": limit_words(finding),
        "source": finding.limit_source,
        "sentence": _sentence(finding, name),
        "working": list(finding.working),
        "assumed": list(finding.assumed),
        "remedy": finding.remedy if finding.state != "holds" else "",
        "override": None,
    }


def _sentence(finding: Finding, name: str) -> str:
    """The sentence without the name that stands above it on the card anyway."""
    for start in (f"Line {name}: ", f"Area {name}: ", f"Microphone {name}: ", f"{name}: "):
        if finding.sentence.startswith(start):
            rest = finding.sentence[len(start) :]
            return rest[:1].upper() + rest[1:]
    return finding.sentence
