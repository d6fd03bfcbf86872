"""What notches may be used: how many, how wide, how deep, within one processor's dials."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

from calc.signals.dial_in.dials import at_least, closest, of_a_frequency
from calc.signals.feedback.choosing import Choices, q_of
from calc.system import Dial, ProcessorAbilities
from calc.words import number

Material = Literal["speech", "music"]

WIDTHS: dict[Material, tuple[float, ...]] = {
    "speech": (1 / 3, 1 / 4, 1 / 6),
    "music": (1 / 10, 1 / 15),
}
"""Octaves between half-gain edges: wide is quicker to catch a ring and stands more drift, narrow
is kinder to the sound. Common practice, no source: speech 1/6 to 1/3, music 1/10 at most."""

CUTS_DB = (-3.0, -6.0, -9.0, -12.0)
TYPED_HZ = 0.1
TYPED_Q = 0.01
"""Where a dial's steps are unknown values are typed in with so much."""


@dataclass(frozen=True, slots=True)
class NotchAsk:
    """What notches may be used: `placed` at most, for speech or music, by one processor.

    `reserve` more are kept free for the show; `taken` filters of the output do other work.
    `deepest_db` is the most that one may cut, above 0.
    """

    material: Material
    placed: int
    abilities: ProcessorAbilities = field(default_factory=ProcessorAbilities)
    low_hz: float = 60.0
    high_hz: float = 12_000.0
    deepest_db: float = 12.0
    reserve: int = 0
    taken: int = 0

    def __post_init__(self) -> None:
        if min(self.placed, self.reserve, self.taken) < 0:
            raise ValueError("no fewer than no notches can be placed or kept free")
        if self.material not in WIDTHS:
            raise ValueError(f"notches are made for speech or music, not for {self.material!r}")
        if not 0 < self.low_hz < self.high_hz:
            raise ValueError("notches lie between a lower and a higher frequency above 0 Hz")
        if not self.deepest_db > 0:
            raise ValueError("the deepest cut is said in dB above 0")


def shared(count: int, reserve: int | None = None) -> tuple[int, int]:
    """How many of the notches are placed at sound check and kept free: half and half unless said.

    Raises
    ------
    ValueError
        More shall be kept free than there are.
    """
    kept = count // 2 if reserve is None else reserve
    if not 0 <= kept <= count:
        raise ValueError(f"of {count} notches {kept} can't be kept free")
    return count - kept, kept


def able(ask: NotchAsk) -> int:
    """How many notches the processor has room for, the reserve kept."""
    room = ask.abilities.filters_per_output
    return ask.placed if room is None else max(0, min(ask.placed, room - ask.taken - ask.reserve))


def choices_of(ask: NotchAsk) -> Choices:
    """Widths and cuts that the material asks for and the dials have."""
    top = ask.abilities.sampling_hz.value
    pitch = _typed(of_a_frequency(ask.abilities.filter_hz, top), TYPED_HZ)
    gain, q = ask.abilities.filter_gain_db, _typed(ask.abilities.filter_q, TYPED_Q)
    cuts = {at_least(gain, max(cut, -ask.deepest_db)) for cut in CUTS_DB}
    return Choices(
        gains_db=tuple(sorted(cut for cut in cuts if cut is not None and cut < 0)),
        qs=tuple(sorted({_narrow(q, octaves) for octaves in WIDTHS[ask.material]})),
        low_hz=ask.low_hz,
        high_hz=ask.high_hz if top is None else min(ask.high_hz, 0.45 * top),
        sampling_hz=top,
        pitch=pitch,
    )


def cannot_of(ask: NotchAsk, choices: Choices) -> Iterator[str]:
    """What keeps this processor from placing notches at all."""
    if ask.abilities.kinds and "peak" not in ask.abilities.kinds:
        yield "This processor has no peak filters that could cut: use another one."
    elif not choices.gains_db:
        yield "This processor's filters cannot cut so little: allow deeper notches."
    if ask.placed and not able(ask):
        room = ask.abilities.filters_per_output
        yield (
            f"This processor has {room} filters for each output: with {ask.taken} in use and "
            f"{ask.reserve} kept free none is left to place."
        )


def limits_of(ask: NotchAsk, choices: Choices) -> Iterator[str]:
    """Where the processor gives less than was asked for."""
    if 0 < able(ask) < ask.placed:
        yield (
            f"This processor has room for {able(ask)} of the {ask.placed} notches, with the "
            "reserve kept."
        )
    if ask.abilities.filters_per_output is None:
        yield "How many filters this processor has is unknown: see that these notches fit."
    widest = q_of(WIDTHS[ask.material][0])
    if choices.qs and max(choices.qs) < 0.9 * widest:
        yield (
            f"This processor's filters are no narrower than Q {number(max(choices.qs))}: each "
            f"notch takes more of the sound than {ask.material} asks for."
        )


def _narrow(dial: Dial, octaves: float) -> float:
    """The setting for a width, rather narrower than wider."""
    wanted = q_of(octaves)
    found = at_least(dial, wanted)
    return closest(dial, wanted) if found is None else found


def _typed(dial: Dial, step: float) -> Dial:
    return replace(dial, step=step, scale="linear") if dial.step is None else dial
