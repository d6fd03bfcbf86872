"""What a browser said of its microphone input, and what that means for a measurement."""

import json
from dataclasses import dataclass
from typing import Any

CHANGES = {
    "echoCancellation": "echo cancelling",
    "noiseSuppression": "noise suppression",
    "autoGainControl": "automatic gain",
}
"""What a browser may do to the sound before we see it, under the names of the web's standard."""

MOST_CHARACTERS = 500


class NotCaptured(ValueError):
    """The sound cannot be used; the text is for people."""


@dataclass(frozen=True, slots=True)
class Captured:
    """Per change whether it was on; None where the browser doesn't say. `input_hz` is the
    input's own sampling rate; None where unknown."""

    changes: dict[str, bool | None]
    input_hz: float | None

    def to_plain(self) -> dict[str, Any]:
        """As it is stored."""
        return {**self.changes, "input_hz": self.input_hz}


def read_captured(text: str) -> Captured:
    """Read what the page sent beside its recording.

    Raises
    ------
    NotCaptured
        It can't be read, or one of the changes was on.
    """
    try:
        said = json.loads(text[:MOST_CHARACTERS])
    except (ValueError, RecursionError):
        said = None
    if not isinstance(said, dict):
        raise NotCaptured("The page did not say how it recorded. Load it anew and record again.")
    changes = {
        name: said.get(name) if said.get(name) in (True, False) else None for name in CHANGES
    }
    hz = said.get("input_hz")
    known = isinstance(hz, int | float) and not isinstance(hz, bool) and 1000 <= hz <= 1e6
    on = [CHANGES[name] for name, state in changes.items() if state]
    if on:
        raise NotCaptured(f"{in_words(on)} was on: nothing can be measured in this recording.")
    return Captured(changes, float(hz) if known else None)  # type: ignore[arg-type]


def doubts(stored: dict[str, Any] | None, rate_hz: int) -> list[str]:
    """What can't be known or was changed in a recording that a browser made."""
    if stored is None:
        return []
    said = []
    unknown = [word for name, word in CHANGES.items() if stored.get(name) is not False]
    if unknown:
        said.append(
            f"The browser doesn't say whether {in_words(unknown).lower()} was off. "
            "Trust levels only after comparing with another device."
        )
    hz = stored.get("input_hz")
    if hz and hz != rate_hz:
        said.append(f"The input ran at {hz:.0f} Hz; the browser made {rate_hz} Hz of it.")
    return said


def in_words(words: list[str]) -> str:
    """A list as it stands at the beginning of a sentence."""
    joined = " and ".join(filter(None, [", ".join(words[:-1]), words[-1]]))
    return joined[:1].upper() + joined[1:]
