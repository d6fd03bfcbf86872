"""What an analysis reads of a recording: its settings, frozen, and their fingerprint."""

import hashlib
import json
from dataclasses import asdict, dataclass
from typing import Any

from calc import VERSION
from calc.signals.measuring.microphone import Microphone
from rigs.tuning.models import Recording

CALC_VERSION = VERSION
OCTAVES = 7


@dataclass(frozen=True, slots=True)
class Settings:
    """All but the samples that decides what is found. Channels count from 0.

    `noise_db` is the space's with people in it, octaves 125 Hz to 8 kHz; None unless all are known.
    """

    content: str
    microphone_channel: int
    reference_channel: int | None
    played: dict[str, Any] | None
    curve: dict[str, list[float]] | None
    full_scale_db: float | None
    noise_db: tuple[float, ...] | None = None

    @property
    def microphone(self) -> Microphone:
        """The calibration as `calc` reads it."""
        curve = self.curve or {"frequency_hz": [], "level_db": []}
        return Microphone(
            tuple(curve["frequency_hz"]), tuple(curve["level_db"]), self.full_scale_db
        )


def settings_of(recording: Recording) -> Settings:
    """The settings that a recording has now."""
    reference = recording.reference_channel
    calibration = recording.calibration
    return Settings(
        content=recording.content,
        microphone_channel=microphone_channel(recording),
        reference_channel=None if reference is None else reference - 1,
        played=recording.played,
        curve=calibration.curve if calibration else None,
        full_scale_db=recording.sensitivity_db,
        noise_db=_noise_of(recording),
    )


def microphone_channel(recording: Recording) -> int:
    """The channel, from 0, that does not carry what was played."""
    return 1 if recording.reference_channel == 1 else 0


def _noise_of(recording: Recording) -> tuple[float, ...] | None:
    """Only a sweep gives a speech index, which is what the noise is for."""
    if recording.content != Recording.Content.SWEEP:
        return None
    known = [float(level) for level in recording.event.space.noise_db or () if level is not None]
    return tuple(known) if len(known) == OCTAVES else None


def fingerprint(recording: Recording) -> str:
    """SHA-256 over the file, where it belongs, its settings and `calc.VERSION`."""
    read = [recording.event_id, recording.sha256, asdict(settings_of(recording)), VERSION]
    return hashlib.sha256(json.dumps(read, sort_keys=True).encode()).hexdigest()
