"""How many: reading the numbers of pieces that people type."""

import re

from rigs.events.refusals import Refused

MOST = 5000
AT_LEAST_ONE = "At least one piece; to have none, take the row off."
UNITS_OF_MEASURE = {"m", "mm", "mm2", "kg", "w", "ohm", "a", "pole", "poles"}
NUMBER_FIRST = re.compile(r"^([-+]?\d[\d.,]*)\s*(?:x\s*|\s)(\S.*)$", re.IGNORECASE)


def whole_number(text: str, at_least_one: str = AT_LEAST_ONE) -> int:
    """The quantity somebody typed, or a refusal in a sentence."""
    text = text.strip()
    if not text:
        raise Refused("Say how many.")
    try:
        number = int(text)
    except ValueError:
        raise Refused(f"{text} is not a whole number of pieces.") from None
    if number < 1:
        raise Refused(at_least_one)
    if number > MOST:
        raise Refused(f"{number} pieces? More than {MOST} is not believable.")
    return number


def quantity_in(q: str) -> tuple[str, str]:
    """Split "4 marrow" or "4x marrow" into how many, as typed, and what; without a number, one."""
    match = NUMBER_FIRST.match(q.strip())
    if not match or match[2].split()[0].lower() in UNITS_OF_MEASURE:
        return "1", q.strip()
    return match[1], match[2]


def fault_of(number: str) -> str:
    """What is wrong with a number of pieces to add; empty if nothing is."""
    try:
        whole_number(number, f"{number} can't be added: put at least one piece on the list.")
    except Refused as no:
        return str(no)
    return ""
