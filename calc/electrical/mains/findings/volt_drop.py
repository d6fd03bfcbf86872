"""What the mains cable to a rack takes."""

from collections.abc import Iterator, Sequence

from calc.constants import MOST_DROP_SHARE, MOST_DROP_SHARE_PRIVATE, WISHED_DROP_SHARE
from calc.electrical.mains.findings.words import ELECTRICIAN
from calc.prediction import FeedResult, Finding, State
from calc.system import Supply
from calc.words import number

DROP_SOURCE = (
    "IEC 60364-5-52 annex G: 5 %, 8 % behind a private supply such as a generator; 3 % for the "
    "last cable alone: NEC advice"
)


def drop_finding(feed: FeedResult, supply: Supply, told: Sequence[str] = ()) -> Finding:
    """Voltage lost in the cable with the event's programme; `told` is what its current rests on."""
    most = MOST_DROP_SHARE_PRIVATE if supply.generator else MOST_DROP_SHARE
    share = feed.drop_share
    state: State
    if share is None:
        state = "cannot check"
        sentence = (
            "the length or area of its mains cable, its current or the supply's voltage is "
            "unknown. Enter it."
        )
    else:
        drop = f"{number(100 * share)} % of the voltage is lost in its mains cable"
        if share > most:
            state = "fails"
            sentence = f"{drop}, {number(100 * most)} % is the most. Use a thicker or shorter one."
        elif share > WISHED_DROP_SHARE:
            state = "tight"
            sentence = f"{drop}, and the way to the source loses some too. A thicker one helps."
        else:
            state, sentence = "holds", f"{drop}."
    return Finding(
        subject=feed.rack,
        check="volt_drop",
        title="Voltage drop to a rack",
        state=state,
        value=None if share is None else 100 * share,
        limit=100 * (most if state == "fails" else WISHED_DROP_SHARE),
        unit="%",
        limit_source=DROP_SOURCE,
        sentence=f"{feed.rack}: {sentence}",
        working=tuple(_drop_working(feed, supply)),
        assumed=("The cable alone: what lies before it, to the source, is not described.", *told),
        remedy=f"A thicker or shorter cable, or fewer amplifiers on it. {ELECTRICIAN}",
    )


def _drop_working(feed: FeedResult, supply: Supply) -> Iterator[str]:
    if feed.programme_a is None or feed.drop_v is None:
        return
    yield (
        f"u = b (rho L / S cos phi + lambda L sin phi) I, b = 2 single phase, rho = 0.0225 ohm "
        f"mm2/m (copper in service, no temperature to add), I = {number(feed.programme_a)} A "
        f"with the programme, the larger of cos phi 0.8 and 1: {number(feed.drop_v)} V."
    )
    if supply.voltage_v.value is not None:
        yield f"Of {number(supply.voltage_v.value)} V between phase and neutral."
