"""What is behind the company, and the fair that runs today."""

from rigs.demo.data import accessories as more
from rigs.demo.data import cables, mixers
from rigs.demo.data.cables import medium, thick
from rigs.demo.data.events.gala import STACKS, SUB_LINES, SUBS, side
from rigs.demo.data.events.parts import (
    basics,
    mirrored,
    on_stands,
    on_wings,
    plugged,
    row_of,
    singles,
    truck,
    wedge,
)
from rigs.demo.data.processing import peak
from rigs.demo.shapes import EventPlan, Feed, Line, RevisionPlan, RigPlan, Spot

FULL = "full range"

SUPPER = EventPlan(
    "Lantern Supper", "Vellacourt Ballroom", "Garden room", -21,
    out=(0, "10:00"), load_in=(0, "14:00"), start=(0, "18:30"), end=(0, "23:00"),
    back=(1, "11:00"), audience=70, crest_db=15,
    rig=RigPlan(
        boxes=mirrored("Column", "Haar 8", 3.2, 0.5, 2.0, 15),
        racks=("Rack 12",),
        mixer=mixers.DESK,
        feeds=(Feed("Rack 12", "Garden sockets", None, "By the door"),),
        bearers=on_stands(more.STAND, "Column"),
        lines=singles(
            "Rack 12 amp 1", ((1, "Column left"), (2, "Column right")), "column",
            (medium(10), 1), "Rack 12 control", 1,
        ),
    ),
    kit={**basics(1, 2), more.STAND: 2},
)  # fmt: skip

DANCE = EventPlan(
    "Chandlers' Dance", "Vellacourt Ballroom", "Ballroom", -13,
    out=(0, "09:00"), load_in=(0, "13:00"), start=(0, "20:00"), end=(1, "01:00"),
    back=(1, "12:00"), audience=240, crest_db=10,
    rig=RigPlan(
        boxes=(
            *mirrored("Inner top", "Whimbrel 10", 4.2, 0.5, 2.6, 12, -6),
            *mirrored("Outer top", "Whimbrel 10", 4.6, 0.5, 2.6, -14, -6),
            *mirrored("Rear", "Feldspar 12", 6, 11, 2.6, 20, -6),
        ),
        racks=("Rack 8",),
        mixer=mixers.DESK,
        feeds=plugged("Wall left", "Rack 8"),
        spots=(
            Spot("Floor before the left tops", -3.4, 8, 0.03, "on the floor"),
            Spot("Middle of the floor", 0.3, 8.5),
            Spot("Off centre, left", -2.6, 8),
        ),
        bearers=(
            *on_stands(more.STAND, ("Inner top", "Outer top")),
            *on_stands(more.WINCH_STAND, "Rear"),
        ),
        lines=(
            Line("Tops left", "Rack 8 amp 1", 1, ("Inner top left", "Outer top left"), FULL,
                 (thick(10), 1), (thick(2), 1), "Rack 8 control", 1),
            Line("Tops right", "Rack 8 amp 1", 2, ("Inner top right", "Outer top right"), FULL,
                 (thick(10), 1), (thick(2), 1), "Rack 8 control", 2),
            Line("Rear left", "Rack 8 amp 3", 1, ("Rear left",), FULL, (thick(20), 1), None,
                 "Rack 8 control", 3),
            Line("Rear right", "Rack 8 amp 3", 2, ("Rear right",), FULL, (thick(20), 1), None,
                 "Rack 8 control", 4),
        ),
    ),
    kit={**basics(1, 4), more.STAND: 4, more.WINCH_STAND: 2},
)  # fmt: skip

REVUE = EventPlan(
    "Ropewalk Revue", "Ottersgate Hall", "Great hall", -6,
    out=(0, "07:30"), load_in=(0, "09:00"), start=(0, "19:30"), end=(0, "22:30"),
    back=(1, "01:00"), audience=420, crest_db=14,
    contact="Jonas Ferrier, house technician",
    rig=RigPlan(
        boxes=(
            *mirrored("Top", "Whimbrel 12", 5.5, 0.5, 4.2, 12, -10),
            *mirrored("Balcony", "Whimbrel 12", 5.2, 12, 8.2, 6, -6),
            *row_of("Sub", "Bittern 15", 4, 2.4, 0.8, 0.3),
            *mirrored("Front fill", "Mica 208", 2.2, 0.4, 1.1, 0, 5),
            wedge("Wedge 1", "Mizzle 10", -2.5, -1.5),
            wedge("Wedge 2", "Mizzle 10", 0, -1.5),
            wedge("Wedge 3", "Mizzle 10", 2.5, -1.5),
            wedge("Wedge 4", "Mizzle 10", 0, -4),
        ),
        racks=("Rack 10", "Rack 11"),
        mixer=mixers.DESK,
        feeds=plugged("Stage left", "Rack 10", "Rack 11", socket="Stage"),
        bearers=(
            *on_stands(more.WINCH_STAND, "Top"),
            *on_stands(more.STAND, "Balcony"),
            truck(3500),
        ),
        lines=(
            *singles("Rack 10 amp 1", ((1, "Top left"), (2, "Top right")), FULL,
                     (thick(10), 1), "Rack 10 control"),
            *singles("Rack 11 amp 1", ((1, "Balcony left"), (2, "Balcony right")), FULL,
                     (thick(30), 1), "Rack 11 control", 1),
            Line("Subs 1-2", "Rack 10 amp 2", 1, ("Sub 1", "Sub 2"), "LF", (thick(10), 1),
                 (thick(5), 1), "Rack 10 control", 3),
            Line("Subs 3-4", "Rack 10 amp 2", 2, ("Sub 3", "Sub 4"), "LF", (thick(10), 1),
                 (thick(5), 1), "Rack 10 control", 3),
            *singles("Rack 10 amp 3", ((1, "Front fill left"), (2, "Front fill right")), FULL,
                     (medium(10), 1), "Rack 10 control", 4),
            Line("Wedge 1", "Rack 11 amp 3", 1, ("Wedge 1",), FULL, (medium(10), 1), None,
                 "Rack 11 control", 3),
            Line("Wedge 2", "Rack 11 amp 3", 2, ("Wedge 2",), FULL, (medium(10), 1), None,
                 "Rack 11 control", 4),
            Line("Wedge 3", "Rack 11 amp 3", 3, ("Wedge 3",), FULL, (medium(10), 1), None,
                 "Rack 11 control", 5),
            Line("Wedge 4", "Rack 11 amp 3", 4, ("Wedge 4",), FULL, (medium(10), 1), None,
                 "Rack 11 control", 6),
        ),
    ),
    kit={**basics(2, 10), more.STAND: 2, more.WINCH_STAND: 2},
    packet=True,
)  # fmt: skip

FAIR = EventPlan(
    "Boatbuilders' Fair", "Ottersgate Hall", "Great hall", -1,
    out=(-1, "08:00"), load_in=(-1, "10:00"), start=(0, "09:00"), end=(2, "18:00"),
    back=(2, "22:00"), audience=600, crest_db=15,
    contact="Jonas Ferrier, house technician",
    notes="Speech and background music. The racks stay locked behind the stage.",
    rig=RigPlan(
        boxes=(
            *mirrored("Front column", "Haar 8", 5, 0.5, 2.6, 10, -4),
            *mirrored("Middle column", "Haar 8", 7, 12, 2.6, 35, -4),
            *mirrored("Balcony", "Smirr 6", 5.6, 12, 8.2, 4, -5),
            *mirrored("Balcony inner", "Smirr 6", 2, 12, 8.2, 0, -5),
        ),
        racks=("Rack 12", "Rack 13"),
        mixer=mixers.DESK,
        feeds=plugged("Stage left", "Rack 12", "Rack 13", socket="Stage"),
        bearers=on_stands(more.STAND, "Front column", "Middle column", "Balcony", "Balcony inner"),
        lines=(
            *singles("Rack 12 amp 1", ((1, "Front column left"), (2, "Front column right")),
                     "column", (thick(10), 1), "Rack 12 control", 1),
            *singles("Rack 12 amp 1", ((3, "Middle column left"), (4, "Middle column right")),
                     "column", (thick(30), 1), "Rack 12 control", 2),
            *singles(
                "Rack 13 amp 2",
                ((1, "Balcony left"), (2, "Balcony right"),
                 (3, "Balcony inner left"), (4, "Balcony inner right")),
                FULL, (thick(20), 1), "Rack 13 control", 1,
            ),
        ),
    ),
    kit={**basics(2, 4), more.STAND: 8},
    packet=True,
)  # fmt: skip

# A year before the gala on the same meadow: what its processors were set to is "last time here".
LAST_YEAR = EventPlan(
    "Harbour Lights", "Quay Meadow", "Meadow", -358,
    out=(-1, "08:00"), load_in=(-1, "12:00"), start=(0, "18:00"), end=(0, "23:00"),
    back=(1, "06:00"), audience=700, crest_db=12, temperature_c=13, humidity_pct=75,
    rig=RigPlan(
        boxes=(*STACKS, *SUBS),
        racks=("Rack 1", "Rack 2"),
        mixer=mixers.DESK,
        feeds=plugged("Generator", "Rack 1", "Rack 2", socket="Socket"),
        bearers=on_wings(400, "Top 1", "Top 2", "Top 3", "Top 4"),
        revisions=(
            RevisionPlan(
                "Subs to tops at the desk; less of the wall by the quay",
                delays_ms=dict.fromkeys(SUB_LINES, 6.1),
                inverted=SUB_LINES,
                filters={
                    f"Tops 1-2 {hand} LF": (peak(160, -3, 2.5),) for hand in ("left", "right")
                },
            ),
        ),
        lines=(
            *side("Rack 1", "left", (1, 2, 3, 4)),
            *side("Rack 2", "right", (5, 6, 7, 8)),
        ),
    ),
    kit={**basics(2, 6), cables.MAINS_63: 1, more.DISTRO_63: 1, more.COUPLER: 2},
)  # fmt: skip

PAST_AND_NOW = (LAST_YEAR, SUPPER, DANCE, REVUE, FAIR)
