"""A rig with subs and tops on outputs of their own, to try the pages of processing on."""

from typing import Any

from rigs.systems import actions, queries
from rigs.systems.models import (
    Alignment,
    DriveLine,
    ListeningSpot,
    Output,
    OutputFilter,
    Revision,
)
from tests import factories


def sub_and_top(rig: Any) -> tuple[DriveLine, DriveLine]:
    """Tops on output 1, a sub on output 2, 2.5 m nearer to the mix."""
    top = rig.line(name="Tops", processor_place=rig.processor, output=1, first_channel=1)
    bass = factories.loudspeaker(role="sub", way={"low_hz": 35.0, "high_hz": 160.0})
    sub = factories.placement(rig.event, bass, name="Sub 1", y_m=2.5, z_m=0.5)
    line = factories.line(
        rig.event,
        sub,
        amp=rig.amp,
        run=rig.cable,
        name="Subs",
        processor_place=rig.processor,
        output=2,
        first_channel=2,
    )
    return top, line


def passed(kind: str, hz: float = 100.0) -> OutputFilter:
    return OutputFilter(
        kind=kind, family=OutputFilter.Family.LINKWITZ_RILEY, order=4, frequency_hz=hz
    )


def set_output(
    rig: Any, number: int, *filters: OutputFilter, reason: str = "first guess", **fields: Any
) -> Revision:
    """Make the next revision, in which one output of the rig's processor differs."""
    now = queries.current_revision(rig.event)
    row = Output(
        processor_place=rig.processor,
        number=number,
        **{"inputs": [1], "gain_db": 0.0, "delay_ms": 0.0} | fields,
    )
    for position, each in enumerate(filters, start=1):
        each.position = position
    return actions.save_output(
        row, filters, seen=now.number if now else 0, reason=reason, person=rig.tech
    )


def crossed_over(rig: Any) -> tuple[DriveLine, DriveLine]:
    """Both outputs set, crossed over at 100 Hz, no delay."""
    lines = sub_and_top(rig)
    set_output(rig, 1, passed("high-pass"), reason="tops in")
    set_output(rig, 2, passed("low-pass"), reason="subs in")
    return lines


def alignment(rig: Any, **fields: Any) -> Alignment:
    """The subs shall meet the tops at the mix, 20 m out."""
    tops, subs = (DriveLine.objects.get(event=rig.event, name=n) for n in ("Tops", "Subs"))
    spot, _ = ListeningSpot.objects.get_or_create(
        event=rig.event, name="Mix", defaults={"x_m": 0, "y_m": 20, "z_m": 1.6}
    )
    row = Alignment(
        event=rig.event, spot=spot, **{"name": "Subs to tops", "kind": "sub to top"} | fields
    )
    return actions.save_alignment(row, [subs], [tops], None, rig.tech)


def entries(seen: int = 0, **changes: Any) -> dict[str, Any]:
    """What the page of an output sends."""
    return {
        "seen": str(seen),
        "rows": "1",
        "inputs": ["1"],
        "gain_db": "-3",
        "delay_ms": "7.25",
        "high_family": "Linkwitz-Riley",
        "high_order": "4",
        "high_hz": "98.4",
        "low_family": "",
        "low_order": "4",
        "low_hz": "",
        "filter-0-kind": "peak",
        "filter-0-hz": "250",
        "filter-0-gain": "-4",
        "filter-0-q": "2",
        "reason": "Sound check",
        "do": "save",
    } | changes
