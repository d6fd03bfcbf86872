"""Boxes that stand in series with one another."""

from collections.abc import Sequence


def groups(in_series: Sequence[bool]) -> list[list[int]]:
    """Indices of boxes that stand in series, in order; a box by itself is a group of one.

    Parameters
    ----------
    in_series : sequence of bool
        Whether a box stands in series with the one before it; the first one's is not looked at.
    """
    found: list[list[int]] = []
    for index, joined in enumerate(in_series):
        if joined and found:
            found[-1].append(index)
        else:
            found.append([index])
    return found
