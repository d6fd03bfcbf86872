"""A ring-out as its page shows it: each microphone with how far it came."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rigs.systems.models import RingEntry, RingNotch, StageMicrophone
from rigs.systems.ring_out import WISHED_MARGIN_DB


@dataclass(frozen=True, slots=True)
class MicrophoneRow:
    """One microphone: its last line of the log, the state of its margin, its notches, and what
    its loop says where it was measured."""

    microphone: StageMicrophone
    last: RingEntry | None
    state: str
    figure: str
    says: str
    notches: list[RingNotch]
    measured: str


def microphone_rows(
    microphones: Sequence[StageMicrophone],
    entries: Sequence[RingEntry],
    notches: Sequence[RingNotch],
    measured: Mapping[str, str],
) -> list[MicrophoneRow]:
    """One for each, those that need most first."""
    rows = []
    for one in microphones:
        last = next((each for each in reversed(entries) if each.microphone == one.name), None)
        state, figure, says = _margin(last)
        mine = [notch for notch in notches if notch.microphone_id == one.pk]
        told = measured.get(one.name, "")
        rows.append(MicrophoneRow(one, last, state, figure, says, mine, told))
    rank = ["fails", "tight", "cannot check", "holds"]
    return sorted(rows, key=lambda row: (rank.index(row.state), row.microphone.name))


def _margin(last: RingEntry | None) -> tuple[str, str, str]:
    if last is None or last.level_db is None:
        return "cannot check", "", "Not raised yet."
    if last.ended == RingEntry.Ended.RANG:
        margin = last.level_db if last.margin_db is None else last.margin_db
        figure = f"{margin:.1f} dB"
        if margin >= WISHED_MARGIN_DB:
            return "holds", figure, "left at its show position."
        if margin > 0:
            return "tight", figure, "left: less than the 6 dB of common practice."
        return "fails", figure, "It rings at its show position. Turn it down or move it."
    figure = f"at least {last.level_db:.1f} dB"
    if last.level_db >= WISHED_MARGIN_DB:
        return "holds", figure, "left: it did not ring up to there."
    return "tight", figure, "known: it was not raised further."
