"""Which place of a drive line limits it: the one that its worst finding speaks of."""

from collections.abc import Callable
from dataclasses import dataclass

from calc.prediction import SEVERITY, BoxResult, Finding, LineResult

Badness = Callable[[BoxResult], float | None]


@dataclass(frozen=True, slots=True)
class Limiting:
    """`place` is "load", "volts", "limiter", "cable", "damping" or "" when nothing limits;
    `index` counts the link that is meant. `sentence` is the finding's."""

    place: str = ""
    index: int = -1
    sentence: str = ""

    def at(self, place: str, index: int = -1) -> bool:
        """Whether this is the place."""
        return self.place == place and self.index == index


PLACE_OF_CHECK = {
    "load": "load",
    "power": "volts",
    "headroom": "volts",
    "cable_loss": "cable",
    "damping": "damping",
    "limiter": "limiter",
}


def worst_finding(result: LineResult) -> Finding | None:
    """The first of the worst findings, or None when all hold."""
    known = [f for f in result.findings if f.state != "holds" and f.check in PLACE_OF_CHECK]
    return min(known, key=lambda finding: SEVERITY.index(finding.state), default=None)


def limiting_place(result: LineResult) -> Limiting:
    """The place to underline."""
    finding = worst_finding(result)
    if finding is None:
        return Limiting()
    place = PLACE_OF_CHECK[finding.check]
    if place == "cable":
        return Limiting(place, _worst_cable(result, finding), finding.sentence)
    if place == "damping":
        return Limiting(place, _worst(result.boxes, _slackness, finding), finding.sentence)
    return Limiting(place, -1, finding.sentence)


def _worst_cable(result: LineResult, finding: Finding) -> int:
    """The piece that loses most by itself; losses add up, so the last box is no guide."""
    drops = [
        None if run.current_a is None or run.loop_ohm is None else run.current_a * run.loop_ohm
        for run in result.runs
    ]
    known = [drop for drop in drops if drop is not None]
    if len(known) == len(result.boxes):
        return drops.index(max(known))
    return _worst(result.boxes, _loss, finding)


def _worst(boxes: tuple[BoxResult, ...], badness: Badness, finding: Finding) -> int:
    """The worst box; where the finding cannot be checked, the first that is unknown."""
    unknown = [n for n, box in enumerate(boxes) if badness(box) is None]
    if finding.state == "cannot check" and unknown:
        return unknown[0]
    known = [(bad, n) for n, box in enumerate(boxes) if (bad := badness(box)) is not None]
    return max(known, key=lambda pair: pair[0], default=(0, -1))[1]


def _loss(box: BoxResult) -> float | None:
    return box.cable_loss_db


def _slackness(box: BoxResult) -> float | None:
    return None if box.damping_factor is None else -box.damping_factor
