"""What counts as a number in stored lists."""

from collections.abc import Sequence
from typing import Any, TypeGuard

BEYOND_ALL = 1e12


def is_finite_number(value: object) -> bool:
    """A number that is no truth value and is finite."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return abs(value) < BEYOND_ALL  # False for NaN too; an int beyond any float gets no further


def is_list(values: object) -> TypeGuard[Sequence[Any]]:
    """A list, or the tuple that becomes one when it is stored."""
    return isinstance(values, list | tuple)


def are_numbers(values: object) -> TypeGuard[Sequence[float]]:
    """Whether this is a list of finite numbers."""
    return is_list(values) and all(map(is_finite_number, values))
