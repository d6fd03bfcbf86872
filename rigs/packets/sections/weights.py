"""What hangs or stands on each support, against the limit that is marked on it."""

from collections import Counter

from rigs.packets.compute import LIFTING, Finding, Prediction, SupportResult
from rigs.packets.sections.blocks import Json, card, cards_worst_first, cautions, number
from rigs.systems.describe import WEIGHT_CHECKS


def weight_blocks(prediction: Prediction) -> list[Json]:
    """One card for each support; none where nobody described one.

    They cannot be ticked: a tick on a weight would read like an approval.
    """
    if not prediction.supports:
        return []
    found = [finding for finding in prediction.findings if finding.check in WEIGHT_CHECKS]
    supports = [_support(support, found) for support in prediction.supports]
    return [*cautions(prediction, LIFTING), *cards_worst_first(supports)]


def _support(support: SupportResult, findings: list[Finding]) -> Json:
    about = [finding for finding in findings if finding.subject == support.name]
    return card(
        f"support:{support.name}",
        support.name,
        support.kind[:1].upper() + support.kind[1:],
        about,
        facts=[
            ("Known so far", f"{number(support.known_kg)} kg" if support.unknown else ""),
            ("Bears", _names(support, support.loads)),
            ("Of unknown weight", _names(support, support.unknown)),
        ],
        figure=None if about else "nothing on it",
    )


def _names(support: SupportResult, names: tuple[str, ...]) -> str:
    """Names, those that come more than once with their number."""
    counts = Counter(name.removeprefix(f"{support.name}: ") for name in names)
    return ", ".join(name if n == 1 else f"{n} x {name}" for name, n in counts.items())
