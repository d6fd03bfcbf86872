"""Two events that look apart by date and clash across midnight.

Foundry Night is back at 04:00 and its amplifiers need two hours of test; the Regatta Breakfast
is picked at 05:00. By date the shows are on different days.
"""

from rigs.demo.data import accessories as more
from rigs.demo.data import cables, mixers
from rigs.demo.data.cables import thick
from rigs.demo.data.events.gala import side
from rigs.demo.data.events.parts import (
    basics,
    mirrored,
    on_stands,
    on_wings,
    plugged,
    row_of,
    truck,
)
from rigs.demo.shapes import (
    AlignmentPlan,
    Bearer,
    EventPlan,
    Line,
    LooseAmplifier,
    RevisionPlan,
    RigPlan,
    Spot,
)

FULL = "full range"
SUB_LINES = tuple(f"Subs {n}-{n + 1}" for n in range(1, 12, 2))

FOUNDRY = EventPlan(
    "Foundry Night", "Ottersgate Hall", "Great hall", 20,
    out=(0, "07:00"), load_in=(0, "09:00"), start=(0, "21:00"), end=(1, "02:00"),
    back=(1, "04:00"), audience=480, crest_db=8,
    contact="Jonas Ferrier, house technician",
    rig=RigPlan(
        boxes=(
            *mirrored("Top 1", "Godwit 15", 6.4, 0.6, 4.2, 6, -8),
            *mirrored("Top 2", "Godwit 15", 5.9, 0.6, 4.2, 30, -12),
            *mirrored("Top 3", "Godwit 15", 6.4, 0.6, 5.2, 4, 8),
            *mirrored("Top 4", "Godwit 15", 5.9, 0.6, 5.2, 22, 8),
            *row_of("Sub", "Bittern 18", 12, 0.8, 0.8, 0.3),
        ),
        racks=("Rack 1", "Rack 2", "Rack 3"),
        mixer=mixers.DESK,
        spots=(Spot("Floor, 8 m", 2.6, 8),),
        alignments=(
            AlignmentPlan(
                "Subs to tops", "sub to top", SUB_LINES,
                tuple(f"Tops {n} {hand} LF" for n in ("1-2", "3-4") for hand in ("left", "right")),
                "Floor, 8 m",
            ),
        ),
        # They need to wait for the tops: turning them over meets that at one frequency only.
        revisions=(RevisionPlan("Subs over: louder at sound check", inverted=SUB_LINES),),
        feeds=plugged("Stage left", "Rack 1", "Rack 2", "Rack 3", socket="Stage"),
        bearers=(*on_wings(400, "Top 1", "Top 2", "Top 3", "Top 4"), truck(3500)),
        lines=(
            *side("Rack 1", "left", (1, 2, 3, 4)),
            *side("Rack 2", "right", (5, 6, 7, 8)),
            Line("Subs 9-10", "Rack 3 amp 2", 1, ("Sub 9", "Sub 10"), "LF", (thick(10), 1),
                 (thick(2), 1), "Rack 3 control", 3),
            Line("Subs 11-12", "Rack 3 amp 2", 2, ("Sub 11", "Sub 12"), "LF", (thick(10), 1),
                 (thick(2), 1), "Rack 3 control", 3),
        ),
    ),
    kit={**basics(3, 4), cables.MAINS_63: 1, more.DISTRO_63: 1},
    packet=True,
)  # fmt: skip

REGATTA = EventPlan(
    "Regatta Breakfast", "Quay Meadow", "Meadow", 21,
    out=(0, "05:00"), load_in=(0, "06:30"), start=(0, "10:00"), end=(0, "15:00"),
    back=(0, "20:00"), audience=350, crest_db=12, temperature_c=14, humidity_pct=80,
    contact="Ines Calloway, site manager, gate B",
    notes="Four large subs want two Moraine 2-3000.",
    may_be_short=True,
    rig=RigPlan(
        boxes=(
            *mirrored("Top", "Whimbrel 12", 6.0, 0, 3.8, 6, -4),
            *mirrored("Inner top", "Whimbrel 12", 5.5, 0, 3.8, 34, -8),
            *mirrored("Delay", "Whimbrel 12", 8, 24, 3.4, 4, -3),
            *row_of("Sub", "Bittern 218", 4, 2.4, 0.6, 0.3),
        ),
        racks=("Rack 6",),
        amplifiers=(
            LooseAmplifier("Sub amp 1", "Moraine 2-3000", "Subs"),
            LooseAmplifier("Sub amp 2", "Moraine 2-3000", "Subs"),
        ),
        mixer=mixers.DESK,
        feeds=plugged("Generator", "Rack 6", "Subs", socket="Socket"),
        # Two boxes, a cross bar and a cover on a tripod that is marked 40 kg.
        bearers=(
            *(
                Bearer(
                    f"Tripod {hand}", "stand", (f"Top {hand}", f"Inner top {hand}"),
                    stand=more.STAND, loads=(("Cross bar", 2.8),),
                )
                for hand in ("left", "right")
            ),
            *on_stands(more.WINCH_STAND, "Delay"),
        ),
        lines=(
            *(
                Line(name, "Rack 6 amp 1", channel, (name,), FULL, (thick(10), 1), None,
                     "Rack 6 control", output)
                for channel, name, output in (
                    (1, "Top left", 1), (2, "Top right", 1),
                    (3, "Inner top left", 2), (4, "Inner top right", 2),
                )
            ),
            Line("Delay left", "Rack 6 amp 2", 1, ("Delay left",), FULL, (thick(30), 1), None,
                 "Rack 6 control", 3),
            Line("Delay right", "Rack 6 amp 2", 2, ("Delay right",), FULL, (thick(30), 1), None,
                 "Rack 6 control", 3),
            *(
                Line(f"Sub {n}", f"Sub amp {(n + 1) // 2}", 2 - n % 2, (f"Sub {n}",), "LF",
                     (thick(10), 1), None, "Rack 6 control", 4)
                for n in (1, 2, 3, 4)
            ),
        ),
    ),
    kit={**basics(2, 4), cables.MAINS_63: 1, more.DISTRO_63: 1, more.STAND: 2,
         more.WINCH_STAND: 2},
)  # fmt: skip
