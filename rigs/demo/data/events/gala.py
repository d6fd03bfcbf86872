"""The main event of the demo: everything on it is sound."""

from rigs.demo.data import accessories as more
from rigs.demo.data import cables, mixers
from rigs.demo.data.cables import signal, thick
from rigs.demo.data.events.parts import (
    basics,
    mirrored,
    on_stands,
    on_wings,
    plugged,
    row_of,
    singles,
    truck,
    two_way,
    wedge,
)
from rigs.demo.shapes import (
    AlignmentPlan,
    Box,
    EventPlan,
    Line,
    RevisionPlan,
    RigPlan,
    Spot,
    StagePlan,
)

FULL = "full range"
# As worked out on the page of each alignment, then typed.
SUBS_WAIT_MS, TOWERS_MS = 5.86, 86.88
STACKS = (
    *mirrored("Top 1", "Godwit 15", 7.4, 0, 4.4, -14, -3),
    *mirrored("Top 2", "Godwit 15", 7.0, 0, 4.4, 8, -3),
    *mirrored("Top 3", "Godwit 15", 6.6, 0, 4.4, 28, -5),
    *mirrored("Top 4", "Godwit 15", 6.2, 0, 4.4, 48, -14),
)
SUBS = row_of("Sub", "Bittern 18", 8, 1.2, 0.6, 0.3)
DELAYS = mirrored("Delay", "Whimbrel 12", 8, 27, 3.4, 0, -4)
WEDGES: tuple[Box, ...] = (
    wedge("Wedge 1", "Mizzle 12", -3, -2),
    wedge("Wedge 2", "Mizzle 12", 0, -1.6),
    wedge("Wedge 3", "Mizzle 12", 3, -2),
    wedge("Wedge 4", "Mizzle 12", -3.5, -5),
    wedge("Wedge 5", "Mizzle 12", 3.5, -5),
    wedge("Wedge 6", "Mizzle 12", 0, -6),
)


def side(rack: str, hand: str, subs: tuple[int, ...]) -> tuple[Line, ...]:
    """What one main rack drives: four tops in two pairs, four subs in two pairs."""
    control, amp = f"{rack} control", f"{rack} amp"
    short, on = (thick(10), 1), (thick(2), 1)
    lines: list[Line] = []
    for pair, numbers in enumerate(((1, 2), (3, 4)), start=1):
        names = tuple(f"Top {n} {hand}" for n in numbers)
        lines += two_way(
            f"Tops {numbers[0]}-{numbers[1]} {hand}", names,
            (f"{amp} 1", pair, 1), (f"{amp} 3", pair, 2), control, short, on,
        )  # fmt: skip
        first, second = subs[2 * pair - 2], subs[2 * pair - 1]
        lines.append(
            Line(
                f"Subs {first}-{second}", f"{amp} 2", pair, (f"Sub {first}", f"Sub {second}"),
                "LF", short, on, control, 3,
            )
        )  # fmt: skip
    return tuple(lines)


SUB_LINES = ("Subs 1-2", "Subs 3-4", "Subs 5-6", "Subs 7-8")
SPOTS = (
    Spot("Off centre, 18 m", 2.6, 18),
    Spot("Floor before the left stack", -7, 9, 0.05, "on the floor"),
    Spot("Behind the left tower", -8, 36),
)
ALIGNMENTS = (
    AlignmentPlan(
        "Subs to tops", "sub to top", SUB_LINES,
        tuple(f"Tops {pair} {hand} LF" for pair in ("1-2", "3-4") for hand in ("left", "right")),
        "Off centre, 18 m",
    ),
    AlignmentPlan(
        "Towers", "fill or tower", ("Delay left",), ("Tops 1-2 left HF", "Tops 3-4 left HF"),
        "Behind the left tower", offset_ms=8, set_c=14,
    ),
)  # fmt: skip
EVERY_WEDGE = tuple(f"Wedge {n}" for n in range(1, 7))
REAR_WEDGES = EVERY_WEDGE[3:]
VOCALS = tuple(
    StagePlan(name, x, y, 2.6, pattern, 0.03, tilt=25, kept_out=REAR_WEDGES)
    for name, x, y, pattern in (
        ("Lead vocal", 0, -2.6, "supercardioid"),
        ("Vocal left", -3, -3, "cardioid"),
        ("Vocal right", 3, -3, "cardioid"),
    )
)
OVERHEADS = tuple(
    StagePlan(f"Drums {hand}", x, -7, 3.2, "cardioid", 0.6, 0, -90, kept_out=EVERY_WEDGE, near=10)
    for hand, x in (("left", -0.6), ("right", 0.6))
)
LECTERN = StagePlan(
    "Lectern", -1.5, -3, 2.3, "supercardioid", 0.15, tilt=20, kept_out=EVERY_WEDGE, near=2.4,
    open=False,
)  # fmt: skip
REVISIONS = (
    RevisionPlan(
        "Subs to tops, off centre at 18 m",
        delays_ms=dict.fromkeys(SUB_LINES, SUBS_WAIT_MS),
        inverted=SUB_LINES,
    ),
    RevisionPlan("Towers 8 ms after the tops, set at 14 °C", delays_ms={"Delay left": TOWERS_MS}),
)

RIG = RigPlan(
    boxes=(*STACKS, *SUBS, *DELAYS, *WEDGES),
    racks=("Rack 1", "Rack 2", "Rack 5"),
    mixer=mixers.DESK,
    spots=SPOTS,
    alignments=ALIGNMENTS,
    microphones=(*VOCALS, *OVERHEADS, LECTERN),
    revisions=REVISIONS,
    feeds=plugged("Generator", "Rack 1", "Rack 2", "Rack 5", socket="Socket"),
    bearers=(
        *on_wings(400, "Top 1", "Top 2", "Top 3", "Top 4"),
        *on_stands(more.WINCH_STAND, "Delay"),
        truck(3500),
    ),
    lines=(
        *side("Rack 1", "left", (1, 2, 3, 4)),
        *side("Rack 2", "right", (5, 6, 7, 8)),
        *singles(
            "Rack 5 amp 1", enumerate((f"Wedge {n}" for n in (1, 2, 3, 4)), start=1), FULL,
            (thick(10), 1), "Rack 5 control",
        ),
        Line("Wedge 5", "Rack 5 amp 2", 1, ("Wedge 5",), FULL, (thick(10), 1), None,
             "Rack 5 control", 5),
        Line("Wedge 6", "Rack 5 amp 2", 2, ("Wedge 6",), FULL, (thick(10), 1), None,
             "Rack 5 control", 6),
        Line("Delay left", "Rack 5 amp 2", 3, ("Delay left",), FULL, (thick(20), 2), None,
             "Rack 5 control", 7),
        Line("Delay right", "Rack 5 amp 2", 4, ("Delay right",), FULL, (thick(20), 2), None,
             "Rack 5 control", 7),
    ),
)  # fmt: skip

GALA = EventPlan(
    "Quayside Gala", "Quay Meadow", "Meadow", 6,
    out=(-1, "08:00"), load_in=(-1, "12:00"), start=(0, "18:00"), end=(0, "23:30"),
    back=(1, "04:00"),
    audience=900, crest_db=12, target_dba=96, temperature_c=17, humidity_pct=70,
    contact="Ines Calloway, site manager, gate B",
    notes="Generator on site from noon the day before. Load-out at 02:00.",
    rig=RIG,
    kit={
        **basics(3, 12), cables.MAINS_63: 1, more.DISTRO_63: 1, more.COUPLER: 2,
        more.WINCH_STAND: 2, signal(50): 2, "Ground mat 2 m": 8, "Cable ramp 1 m": 24,
        "Rain cover for a stack": 4,
    },
    spares={"Godwit 15": 1, "Mizzle 12": 1, thick(10): 2, signal(10): 4, more.VOCAL_MIC: 2},
    packet=True,
)  # fmt: skip
