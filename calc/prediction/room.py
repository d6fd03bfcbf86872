"""What the room does: estimates."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SpeechResult:
    """Speech at one area, an estimate: index per IEC 60268-16 edition 5 (male), 0 to 1.

    Grids as in `AreaResult`. `direct_db` is direct over reverberant sound, 500 Hz to 4 kHz.
    `index` is empty and the figures None where a decay time is unknown. `rating` is the
    standard's letter of the mean.
    """

    area: str
    direct_db: tuple[tuple[float | None, ...], ...]
    mean_direct_db: float | None
    index: tuple[tuple[float | None, ...], ...]
    mean_index: float | None
    least_index: float | None
    rating: str


@dataclass(frozen=True, slots=True)
class RoomResult:
    """What the room does in the seven octaves `octaves_hz`; None where unknown. An estimate.

    `decay_s` is what was counted with: measured, else by Eyring (`decay_basis` says which, ""
    where unknown). `critical_distance_m` is 0.057 sqrt(Q V / T), Q of all boxes together by
    their power. `schroeder_hz` for the mean decay of 500 Hz and 1 kHz. `speech_dba` is the mean
    level of speech that the index is for, `speech_assumed` whether nobody said it, and
    `noise_known` whether noise is in it; without, the index is the best that could be.
    """

    octaves_hz: tuple[float, ...]
    sabine_s: tuple[float | None, ...]
    eyring_s: tuple[float | None, ...]
    decay_s: tuple[float | None, ...]
    decay_basis: tuple[str, ...]
    directivity_q: tuple[float | None, ...]
    critical_distance_m: tuple[float | None, ...]
    schroeder_hz: float | None
    speech: tuple[SpeechResult, ...]
    speech_dba: float
    speech_assumed: bool
    noise_known: bool
    sentences: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
