"""Words that several statements about the mains share."""

from calc.words import number

ELECTRICIAN = "A competent electrician and the local code have the last word."


def amps(value: float | None) -> str:
    """A current, or that it is unknown."""
    return "unknown" if value is None else f"{number(value)} A"
