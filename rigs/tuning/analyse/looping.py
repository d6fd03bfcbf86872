"""From recordings of stage microphones to rings and notches."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, BinaryIO

from calc.serialise import from_plain, to_plain
from calc.signals.feedback.choosing import q_of
from calc.signals.feedback.grids import together
from calc.signals.feedback.loop import Loop, loop_of
from calc.signals.feedback.notches import NotchAsk, NotchPlan, notches_for, shared
from calc.system import ProcessorAbilities
from rigs.catalogue.models import Processor
from rigs.systems.describe.sheets import processor
from rigs.tuning.analyse.analysing import response_in
from rigs.tuning.analyse.recorded import settings_of
from rigs.tuning.analyse.sound import rows_of
from rigs.tuning.models import Recording

__all__ = ["inputs", "plan", "plan_of", "q_of", "shared"]

Told = Callable[[int, int, str], None]

ONE_CLOCK = (
    "{name}: what was played is not on a second channel. Without it nobody knows how late the loop "
    "is, and at which frequencies it rings: record both together."
)
NO_SWEEP = "{name}: a sweep is needed, not {content}."
OTHER_FILE = "{name}: the recording was changed or lost. Ask again."


def inputs(
    recordings: Sequence[Recording],
    sheet: Processor,
    *,
    material: str,
    placed: int,
    reserve: int,
    taken: int,
    offset_db: float | None,
) -> dict[str, Any]:
    """All that a plan reads, as plain data."""
    return {
        "recordings": [
            {
                "id": row.pk,
                "name": str(row.microphone),
                "open": row.microphone is not None and row.microphone.is_open,
                "sha256": row.sha256,
            }
            for row in recordings
        ],
        "abilities": to_plain(processor(sheet).abilities),
        "material": material,
        "placed": placed,
        "reserve": reserve,
        "taken": taken,
        "offset_db": offset_db,
    }


def plan(frozen: dict[str, Any], told: Told) -> dict[str, Any]:
    """Rings and notches of frozen inputs, as plain data.

    Raises
    ------
    ValueError
        In words: a recording that can't be a loop.
    """
    wanted = frozen["recordings"]
    loops = []
    for number, one in enumerate(wanted):
        told(number, len(wanted) + 1, one["name"])
        loops.append(_loop(one, frozen["offset_db"]))
    told(len(wanted), len(wanted) + 1, "choosing notches")
    ask = NotchAsk(
        frozen["material"],
        frozen["placed"],
        from_plain(ProcessorAbilities, frozen["abilities"]),
        reserve=frozen["reserve"],
        taken=frozen["taken"],
    )
    found: dict[str, Any] = to_plain(notches_for([*loops, *_sum(wanted, loops)], ask))
    return found


def _sum(wanted: Sequence[dict[str, Any]], loops: Sequence[Loop]) -> Iterator[Loop]:
    """What all microphones that are open at once hear together rings sooner than each alone."""
    opened = [loop for one, loop in zip(wanted, loops, strict=True) if one["open"]]
    if len(opened) > 1:
        yield together(f"{len(opened)} open together", opened)


def _loop(one: dict[str, Any], offset_db: float | None) -> Loop:
    rows = Recording.objects.select_related("event__space", "calibration")
    row = rows.filter(pk=one["id"], sha256=one["sha256"]).first()
    if row is None:
        raise ValueError(OTHER_FILE.format(**one))
    settings = settings_of(row)
    if row.content != Recording.Content.SWEEP:
        raise ValueError(NO_SWEEP.format(content=row.get_content_display(), **one))
    if settings.reference_channel is None:
        raise ValueError(ONE_CLOCK.format(**one))
    try:
        sound: BinaryIO = row.file.open("rb")  # type: ignore[assignment]
    except FileNotFoundError:
        raise ValueError(OTHER_FILE.format(**one)) from None
    with sound, rows_of(sound) as samples:
        heard, reference = samples[settings.microphone_channel], samples[settings.reference_channel]
        try:
            response, _ = response_in(heard, reference, row.rate_hz, settings)
        except ValueError as why:
            raise ValueError(f"{one['name']}: {why}") from why
        return loop_of(one["name"], response, offset_db)


def plan_of(result: dict[str, Any]) -> NotchPlan:
    """A stored result, read again. Raises ValueError where it is of another form."""
    return from_plain(NotchPlan, result)
