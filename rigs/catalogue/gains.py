"""The gains that an amplifier's switch offers, as people type them: "26, 32, 38"."""

import re

MOST_GAINS = 12
LOWEST_DB, HIGHEST_DB = 0.0, 60.0
NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)", re.ASCII)


def gains_fault(gains: object) -> str:
    """Say what is wrong with a list of gains in dB; "" if nothing is."""
    if not isinstance(gains, list):
        return "Gain settings are a list of gains in dB."
    if len(gains) > MOST_GAINS:
        return f"More than {MOST_GAINS} gain settings are not believable."
    for gain in gains:
        if isinstance(gain, bool) or not isinstance(gain, int | float):
            return "Gain settings are numbers: gains in dB."
        if not LOWEST_DB <= gain <= HIGHEST_DB:
            return "A gain that is not between 0 and 60 dB is not believable."
    if len(set(gains)) < len(gains):
        return "A gain stands twice in the list."
    return ""


def read_gains(text: str) -> list[float]:
    """Read gains between commas, semicolons or spaces, and sort them.

    Raises ValueError with a sentence for what is no gain.
    """
    words = [word for word in re.split(r"[,;\s]+", text) if word]
    for word in words:
        if not NUMBER.fullmatch(word[:20]):
            raise ValueError(f"“{word[:20]}” is no gain in dB. Write them as 26, 32, 38.")
    gains = sorted(float(word) for word in words)
    fault = gains_fault(gains)
    if fault:
        raise ValueError(fault)
    return gains


def write_gains(gains: list[float]) -> str:
    """The text that `read_gains` reads."""
    return ", ".join(f"{gain:.6g}" for gain in gains)
