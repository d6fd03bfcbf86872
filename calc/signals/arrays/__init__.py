"""Sub arrays: delay and polarity for each box, and where their sound goes."""

from calc.signals.arrays.answers import (
    KINDS,
    ArrayBand,
    ArrayElement,
    ArrayKind,
    ArrayLimit,
    ArrayPlan,
    ArrayPolar,
)
from calc.signals.arrays.plan import array_plan

__all__ = [
    "KINDS",
    "ArrayBand",
    "ArrayElement",
    "ArrayKind",
    "ArrayLimit",
    "ArrayPlan",
    "ArrayPolar",
    "array_plan",
]
