"""What was measured, drawn: each picture wide and narrow."""

from collections.abc import Callable

from rigs.systems.pictures.frequency import NARROW, WIDE

Pair = tuple[str, str]


def both(draw: Callable[[float], str]) -> Pair:
    """A picture in its two widths."""
    return draw(WIDE), draw(NARROW)
