"""Words on a map: written where there is room for them."""

from collections.abc import Sequence

from rigs.systems.pictures.maps import ink
from venues.free import FreeSpace, Spot


class Free(FreeSpace):
    """What is free on a map."""

    def label(self, words: str, spots: Sequence[Spot], needed: bool = True) -> str:
        """The words at the first free spot, as SVG; "" where there is none."""
        chosen = self.choose(words, spots, needed)
        return ink.label(*chosen[:2], words, anchor=chosen[2]) if chosen else ""
