"""How far each stage microphone can be opened."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ReachingBox:
    """A box that a microphone hears.

    `level_db` is what the microphone makes of it in the octave that rings first, re everything
    that it hears of the rig; `off_front_deg` is where it stands, off the microphone's front.
    """

    placement: str
    distance_m: float
    off_front_deg: float
    level_db: float


@dataclass(frozen=True, slots=True)
class GainChange:
    """One thing to change, and by how much more gain that leaves (dB), worked out anew."""

    words: str
    gain_db: float


@dataclass(frozen=True, slots=True)
class MicrophoneResult:
    """Gain before feedback of one microphone, as far as it is known.

    `potential_db` is how much louder than unaided the farthest listener can hear the source, the
    margin kept; `needed_db` how much louder that shall be, for it to seem as near as
    `equivalent_m`; `left_db` their difference, in the octave `octave_hz` that rings first.
    `octaves_left_db` says it for 250 Hz to 4 kHz (None where nothing plays). `box` reaches the
    microphone most, `boxes` are the loudest of them. `late_share` (0 to 1) is how much of what
    the microphone hears of the rig is reverberation.
    `holds_at_m` is the source's distance at which just nothing is missing; None where that is
    nearer than 1 cm or farther than 20 m. `textbook_*` stand on distances alone, everything
    radiating all round, in a room with its critical distance (`critical_m`, None outdoors).
    `changes`, the best one first. `unknown` says why there are no figures.
    """

    name: str
    open_microphones: int
    source_m: float | None
    unknown: str = ""
    potential_db: float | None = None
    needed_db: float | None = None
    equivalent_m: float | None = None
    left_db: float | None = None
    octave_hz: float | None = None
    octaves_left_db: tuple[float | None, ...] = ()
    box: str = ""
    boxes: tuple[ReachingBox, ...] = ()
    late_share: float | None = None
    farthest_m: float | None = None
    farthest_at_m: tuple[float, ...] = ()
    holds_at_m: float | None = None
    textbook_potential_db: float | None = None
    textbook_needed_db: float | None = None
    critical_m: float | None = None
    changes: tuple[GainChange, ...] = ()
    too_near: tuple[str, ...] = ()
