"""A first look at samples when they come in: is there anything to measure in them at all?"""

import math
from dataclasses import asdict, dataclass
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from rigs.tuning.wav import NotSound, Wav, blocks

FULL = 0.9999
"""1. From here on a sample counts as full scale: 16 bits have their last step below it."""

RUN = 3
"""So many samples in a row at full scale are clipped; fewer may be the true top of a wave."""

SILENT_DB, QUIET_DB = -80.0, -40.0
"""dB re full scale, of the loudest sample: nothing connected; too quiet (common practice)."""

FAR_BEYOND = 1000.0
"""1. A float file may stand a little above full scale, but so far above is no sound."""


@dataclass(frozen=True, slots=True)
class Look:
    """Per channel, in dB re full scale: the loudest sample and the rms over the whole length
    (None where every sample is zero); in how many places it clips."""

    peak_db: tuple[float | None, ...]
    rms_db: tuple[float | None, ...]
    clipped: tuple[int, ...]
    cut_short: bool = False

    @classmethod
    def from_plain(cls, stored: dict[str, Any]) -> "Look":
        """The look that is stored with a recording."""
        lists = {name: tuple(stored[name]) for name in ("peak_db", "rms_db", "clipped")}
        return cls(**lists, cut_short=stored["cut_short"])

    def to_plain(self) -> dict[str, Any]:
        """As it is stored."""
        return asdict(self)


def look_at(file: BinaryIO, wav: Wav) -> Look:
    """Go once through all samples, a block at a time.

    Raises
    ------
    NotSound
        No sample can be sound, or there is only silence.
    """
    peak = np.zeros(wav.channels)
    power = np.zeros(wav.channels)
    places = np.zeros(wav.channels, dtype=int)
    before = np.zeros((RUN, wav.channels), dtype=bool)
    for block in blocks(file, wav):
        size = np.abs(block.astype(np.float64))
        peak = np.maximum(peak, size.max(axis=0))
        if peak.max() > FAR_BEYOND:
            raise NotSound("Its samples lie far beyond full scale: this is no sound. Export anew.")
        power += (size**2).sum(axis=0)
        full = np.vstack([before, size >= FULL])
        places += _runs(full)
        before = full[-RUN:]
    if not peak.any():
        raise NotSound("There is only silence in this file. Check the input, then record again.")
    rms = np.sqrt(power / wav.frames)
    return Look(_db(peak), _db(rms), tuple(int(n) for n in places), wav.cut_short)


def remarks(look: Look, *, may_be_quiet: bool = False) -> list[str]:
    """What is wrong with the sound of a recording that can be kept, and what to do."""
    said = []
    many = len(look.clipped) > 1
    for number, (peak, places) in enumerate(zip(look.peak_db, look.clipped, strict=True), start=1):
        which = f"Channel {number}" if many else "It"
        if places:
            times = "in one place" if places == 1 else f"in {places} places"
            said.append(f"{which} clips {times}. Turn the input down and record again.")
        elif peak is None or peak < SILENT_DB:
            said.append(f"{which} is silent. Check the input, then record again.")
        elif peak < QUIET_DB and not may_be_quiet:
            said.append(
                f"{which} is quiet: its loudest sample lies {-peak:.0f} dB below full scale. "
                "Turn the input up."
            )
    if look.cut_short:
        said.append("The file ends before the length that it states: what is there is kept.")
    return said


def _runs(full: NDArray[np.bool_]) -> NDArray[np.int_]:
    """How many runs reach their RUN-th sample after the first RUN rows, which came before."""
    new = len(full) - RUN
    reached = full[RUN:].copy()
    for back in range(1, RUN):
        reached &= full[RUN - back : RUN - back + new]
    reached &= ~full[:new]
    counted: NDArray[np.int_] = reached.sum(axis=0)
    return counted


def _db(values: NDArray[np.float64]) -> tuple[float | None, ...]:
    return tuple(20 * math.log10(value) if value > 0 else None for value in values)
