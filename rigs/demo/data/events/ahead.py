"""The weeks ahead, the half-planned event in two weeks among them."""

from rigs.demo.data import accessories as more
from rigs.demo.data import cables, mixers
from rigs.demo.data.cables import signal, thick
from rigs.demo.data.events.parts import (
    basics,
    mirrored,
    on_stands,
    plugged,
    row_of,
    singles,
    truck,
    two_way,
)
from rigs.demo.data.processing import passed
from rigs.demo.shapes import (
    Bearer,
    EventPlan,
    Feed,
    Line,
    LooseAmplifier,
    RevisionPlan,
    RigPlan,
    StagePlan,
)

FULL = "full range"

# Half done on purpose: no subs, no monitors, no mains, no signal, no packet.
SESSIONS = EventPlan(
    "Saltmarsh Sessions", "Ottersgate Hall", "Great hall", 14,
    out=(0, "07:00"), load_in=(0, "09:00"), start=(0, "19:30"), end=(0, "22:30"),
    back=(1, "01:30"), state="planned", audience=380, crest_db=14, target_dba=92,
    contact="Jonas Ferrier, house technician",
    notes="Still to do: subs, monitors, mains and signal cable, spares.",
    wired=False,
    rig=RigPlan(
        boxes=(
            *mirrored("Top 1", "Godwit 15", 6.4, 0.6, 4.2, 6, -10),
            *mirrored("Top 2", "Godwit 15", 5.9, 0.6, 5.0, 16, 7),
        ),
        racks=("Rack 3",),
        lines=(
            *two_way("Tops left", ("Top 1 left", "Top 2 left"), ("Rack 3 amp 1", 1, 1),
                     ("Rack 3 amp 3", 1, 2), "Rack 3 control", (thick(10), 1), (thick(2), 1)),
            *two_way("Tops right", ("Top 1 right", "Top 2 right"), ("Rack 3 amp 1", 2, 1),
                     ("Rack 3 amp 3", 2, 2), "Rack 3 control", (thick(10), 1), (thick(2), 1)),
        ),
    ),
)  # fmt: skip

BALL = EventPlan(
    "Glassblowers' Ball", "Vellacourt Ballroom", "Ballroom", 14,
    out=(-1, "14:00"), load_in=(0, "08:00"), start=(0, "20:00"), end=(1, "02:00"),
    back=(1, "09:00"), audience=300, crest_db=10, target_dba=90,
    contact="Margit de Wael, banquets",
    rig=RigPlan(
        boxes=(
            *mirrored("Top", "Feldspar 15", 4.5, 0.5, 2.9, 4, -6),
            *mirrored("Rear inner", "Whimbrel 10", 5.2, 11, 2.8, 20, -6),
            *mirrored("Rear outer", "Whimbrel 10", 5.6, 11, 2.8, -5, -6),
            *row_of("Sub", "Haar 12", 4, 1.6, 0.6, 0.25),
        ),
        racks=("Rack 9", "Rack 7"),
        mixer=mixers.DESK,
        feeds=(*plugged("Wall left", "Rack 9", socket="Left"), *plugged("Wall right", "Rack 7")),
        bearers=(
            *on_stands(more.STAND, "Top"),
            *on_stands(more.WINCH_STAND, ("Rear inner", "Rear outer")),
            truck(1200, "Van"),
        ),
        lines=(
            *singles("Rack 9 amp 1", ((1, "Top left"), (2, "Top right")), FULL,
                     (thick(10), 1), "Rack 9 control", 1),
            Line("Rear left", "Rack 9 amp 2", 1, ("Rear inner left", "Rear outer left"), FULL,
                 (thick(20), 1), (thick(2), 1), "Rack 9 control", 2),
            Line("Rear right", "Rack 9 amp 2", 2, ("Rear inner right", "Rear outer right"), FULL,
                 (thick(20), 1), (thick(2), 1), "Rack 9 control", 2),
            *singles("Rack 7 amp 1", ((n, f"Sub {n}") for n in (1, 2, 3, 4)), "LF",
                     (thick(10), 1), "Rack 7 control", 1),
        ),
        # The toast is given on the parquet, before the right top. Nobody asked the quartet yet.
        microphones=(
            StagePlan("Host", -1, -0.5, 1.7, "supercardioid", 0.05, tilt=20),
            StagePlan("Singer", 0.5, -0.8, 1.7, "cardioid", 0.05, tilt=20),
            StagePlan("Top table", -2, 12, 1.2, "cardioid", 0.2, tilt=20),
            StagePlan("Toast lapel", 3, 4.5, 1.4, "omnidirectional", 0.3, 0, 60),
            StagePlan("Quartet", -3, 1, 2, "unknown", None, tilt=-30, open=False),
        ),
    ),
    kit={**basics(2, 6), more.STAND: 4, more.WINCH_STAND: 2},
    packet=True,
)  # fmt: skip

CHOIR = EventPlan(
    "Choir of the Two Rivers", "Ottersgate Hall", "Great hall", 28,
    out=(0, "08:00"), load_in=(0, "10:00"), start=(0, "19:00"), end=(0, "21:30"),
    back=(1, "00:30"), audience=400, crest_db=18, target_dba=84,
    rig=RigPlan(
        boxes=(
            *mirrored("Column", "Haar 8", 5, 0.5, 2.6, 10, -4),
            *mirrored("Balcony", "Haar 8", 4.6, 12, 8.2, 4, -4),
        ),
        racks=("Rack 12",),
        mixer=mixers.DESK,
        feeds=(Feed("Rack 12", "House sockets", 1, "House 1", cables.MAINS_32),),
        bearers=on_stands(more.STAND, "Column", "Balcony"),
        lines=(
            *singles("Rack 12 amp 1", ((1, "Column left"), (2, "Column right")), "column",
                     (thick(10), 1), "Rack 12 control", 1),
            *singles("Rack 12 amp 1", ((3, "Balcony left"), (4, "Balcony right")), "column",
                     (thick(30), 1), "Rack 12 control", 2),
        ),
        microphones=(
            StagePlan("Lectern", 3, -1, 2.3, "cardioid", 0.3, tilt=15),
            StagePlan("Choir left", -2, -2, 3.4, "wide cardioid", 1.2, tilt=-20, near=6),
            StagePlan("Choir right", 2, -2, 3.4, "wide cardioid", 1.2, tilt=-20, near=6),
        ),
    ),
    kit={**basics(1, 8), more.STAND: 4},
)  # fmt: skip

LOW_TIDE = EventPlan(
    "Low Tide", "The Salt Cellar", "Cellar floor", 33,
    out=(-1, "06:00"), load_in=(0, "12:00"), start=(0, "22:00"), end=(1, "03:00"),
    back=(2, "10:00"), audience=150, crest_db=7, target_dba=98, temperature_c=25,
    rig=RigPlan(
        boxes=(
            *mirrored("Top", "Godwit 12", 3.2, 0.4, 2.4, 8, -7),
            *mirrored("Sub", "Bittern 218", 1.4, 0.4, 0.3),
            *mirrored("Bar", "Whimbrel 12", 3.6, 8.5, 2.5, 15, -8),
        ),
        racks=("Rack 4", "Rack 6"),
        mixer=mixers.DESK,
        revisions=(
            RevisionPlan(
                "Set by ear after the old horns",
                inverted=("Tops HF",),
                passes={"Tops HF": (passed("high-pass", 800),)},
            ),
        ),
        feeds=tuple(
            Feed(rack, "Stage board", 1, cable=cables.MAINS_16) for rack in ("Rack 4", "Rack 6")
        ),
        bearers=(*on_stands(more.SUB_POLE, "Top"), *on_stands(more.STAND, "Bar")),
        lines=(
            *singles("Rack 6 amp 1", ((1, "Bar left"), (2, "Bar right")), FULL,
                     (thick(20), 1), "Rack 6 control", 3),
            Line("Tops LF left", "Rack 6 amp 1", 3, ("Top left",), "LF", (thick(5), 1), None,
                 "Rack 6 control", 1),
            Line("Tops LF right", "Rack 6 amp 1", 4, ("Top right",), "LF", (thick(5), 1), None,
                 "Rack 6 control", 1),
            Line("Tops HF", "Rack 4 amp 3", 1, ("Top left", "Top right"), "HF", (thick(5), 1),
                 (thick(10), 1), "Rack 4 control", 2),
            *singles("Rack 4 amp 2", ((1, "Sub left"), (2, "Sub right")), "LF",
                     (thick(5), 1), "Rack 4 control", 3),
        ),
    ),
    kit={**basics(2, 2), more.SUB_POLE: 2, more.STAND: 2},
)  # fmt: skip

KITES = EventPlan(
    "Kite Weekend", "Quay Meadow", "Meadow", 38,
    out=(-1, "09:00"), load_in=(-1, "13:00"), start=(0, "11:00"), end=(1, "19:00"),
    back=(2, "12:00"), audience=1500, crest_db=12, temperature_c=19, humidity_pct=60,
    contact="Ines Calloway, site manager, gate B",
    notes="Two days; the racks stay on the wings overnight, covered.",
    rig=RigPlan(
        boxes=tuple(
            box
            for n, (height, tilt) in enumerate(((6.4, -1), (6.1, -3), (5.8, -7), (5.5, -13)), 1)
            for box in mirrored(f"Hang {n}", "Turnstone 10", 7, 0, height, 4, tilt)
        )
        + row_of("Sub", "Bittern 18", 8, 1.2, 0.6, 0.3)
        + mirrored("Delay", "Curlew 15", 8, 27, 3.6, 0, -4),
        racks=("Rack 1", "Rack 2", "Rack 5", "Rack 13"),
        mixer=mixers.DESK,
        revisions=(RevisionPlan("Horns of the lower boxes over", inverted=("Hang 3-4 left HF",)),),
        feeds=tuple(
            Feed(rack, "Generator", cable=cables.MAINS_32)
            for rack in ("Rack 1", "Rack 2", "Rack 5", "Rack 13")
        ),
        bearers=(
            *(
                Bearer(
                    f"Tower {hand}", "hang point", tuple(f"Hang {n} {hand}" for n in (1, 2, 3, 4)),
                    limit_kg=250, loads=(("Hanging frame", 14), ("Chain hoist", 32)),
                )
                for hand in ("left", "right")
            ),
            *on_stands(more.WINCH_STAND, "Delay"),
            truck(3500),
        ),
        gains_db={"Rack 1 amp 1": 32, "Rack 5 amp 1": 26, "Rack 5 amp 2": 26},
        lines=(
            *(
                line
                for hand, lf, first in (("left", "Rack 5 amp 1", 1), ("right", "Rack 5 amp 2", 3))
                for line in (
                    *(
                        Line(f"Hang {n} {hand} LF", lf, n, (f"Hang {n} {hand}",), "LF",
                             (thick(20), 1), None, "Rack 5 control", first)
                        for n in (1, 2, 3, 4)
                    ),
                    Line(f"Hang 1-2 {hand} HF", "Rack 13 amp 2", first,
                         (f"Hang 1 {hand}", f"Hang 2 {hand}"), "HF", (thick(20), 1),
                         (thick(2), 1), "Rack 13 control", 1),
                    Line(f"Hang 3-4 {hand} HF", "Rack 13 amp 2", first + 1,
                         (f"Hang 3 {hand}", f"Hang 4 {hand}"), "HF", (thick(20), 1),
                         (thick(2), 1), "Rack 13 control", 2),
                )
            ),
            *(
                Line(f"Subs {n}-{n + 1}", f"{rack} amp 2", channel, (f"Sub {n}", f"Sub {n + 1}"),
                     "LF", (thick(10), 1), (thick(2), 1), f"{rack} control", 3)
                for n, rack, channel in (
                    (1, "Rack 1", 1), (3, "Rack 1", 2), (5, "Rack 2", 1), (7, "Rack 2", 2)
                )
            ),
            *singles("Rack 1 amp 1", ((1, "Delay left"), (2, "Delay right")), FULL,
                     (thick(30), 1), "Rack 1 control", 1),
        ),
    ),
    kit={
        **basics(4, 8), cables.MAINS_63: 1, more.DISTRO_63: 1, more.FRAME_TOP: 2,
        more.WINCH_STAND: 2, "Rain cover for a stack": 6, "Ground mat 2 m": 8,
    },
)  # fmt: skip

# Old stock, of which much is unknown: most of it can't be checked.
DINNER = EventPlan(
    "Cartographers' Dinner", "Vellacourt Ballroom", "Garden room", 45,
    out=(0, "12:00"), load_in=(0, "15:00"), start=(0, "19:00"), end=(0, "23:00"),
    back=(1, "10:00"), state="planned", audience=60, crest_db=15,
    notes="The good kit is kept free for a request: old boxes and the old amplifier.",
    rig=RigPlan(
        boxes=mirrored("Box", "Gorse 15", 3, 0.5, 2.1, 12),
        amplifiers=(LooseAmplifier("Amp", "Sike 2-150"),),
        mixer=mixers.SMALL_DESK,
        feeds=(Feed("Amp", "Garden sockets", None, "By the door"),),
        bearers=on_stands(more.STAND, "Box"),
        lines=(
            Line("Box left", "Amp", 1, ("Box left",), FULL, (cables.GREY, 1)),
            Line("Box right", "Amp", 2, ("Box right",), FULL, (cables.OLD_TAIL, 1)),
        ),
        microphones=(StagePlan("Speaker", 0, -0.4, 1.4, "cardioid", 0.25, tilt=15),),
    ),
    kit={
        more.STAND: 2, more.VOCAL_MIC: 1, mixers.SMALL_DESK: 1, signal(10): 1,
        more.DISTRO_16: 1, "Adaptor 4-pole to 2-pole": 1,
    },
)  # fmt: skip

OTTER = EventPlan(
    "Year of the Otter", "Ottersgate Hall", "Great hall", 55,
    out=(0, "07:00"), load_in=(0, "09:00"), start=(0, "20:00"), end=(0, "23:00"),
    back=(1, "02:00"), state="planned", audience=500, notes="First talk next week.",
)  # fmt: skip

BELLS = EventPlan(
    "Bell Tower Matins", "Quay Meadow", "Meadow", 30,
    out=(0, "06:00"), load_in=(0, "08:00"), start=(0, "11:00"), end=(0, "16:00"),
    back=(0, "20:00"), state="cancelled", audience=200, notes="Called off: tower closed.",
)  # fmt: skip

AHEAD = (SESSIONS, BALL, CHOIR, BELLS, LOW_TIDE, KITES, DINNER, OTTER)
