"""What a plan of notches says, as plain data."""

from dataclasses import dataclass

from calc.signals.feedback.rings import Ring
from calc.system import Filter


@dataclass(frozen=True, slots=True)
class LoopRings:
    """One microphone: its margin before and after all notches, and what would ring.

    `hidden_db` is the margin that may be left where noise hid the loop, in the range in which
    notches are placed: there nothing is known but how loud it was. None where nothing is hidden.
    By `cut_off_db` it may ring sooner, as the recording ended while the room still sounded.
    """

    name: str
    margin_before_db: float
    margin_after_db: float
    rings: tuple[Ring, ...]
    rings_after: tuple[Ring, ...]
    hidden_db: float | None = None
    hidden_hz: float | None = None
    cut_off_db: float = 0.0


@dataclass(frozen=True, slots=True)
class ChosenNotch:
    """One notch: which rings it lies on, the margin it adds after those before it, and its cost.

    `costs_db` is what pink noise from 100 Hz to 10 kHz loses by it, `heard_octaves` how wide it
    takes more than 1 dB. `alone_db` is what all notches would lose without it.
    """

    filter: Filter
    rings_hz: tuple[float, ...]
    adds_db: float
    costs_db: float
    heard_octaves: float
    alone_db: float | None = None


@dataclass(frozen=True, slots=True)
class NotchPlan:
    """Notches in the order of placing, and what they do; nothing is set by itself.

    Margins are those of the show position where `absolute`, else only their differences count.
    `drifted_db` is the least margin when the air has become 5 degrees C warmer or colder.
    `reserve` notches are kept free beside them.
    """

    absolute: bool
    margin_before_db: float
    margin_after_db: float
    drifted_db: float
    costs_db: float
    loops: tuple[LoopRings, ...]
    notches: tuple[ChosenNotch, ...]
    says: tuple[str, ...]
    cannot: tuple[str, ...] = ()
    reserve: int = 0
