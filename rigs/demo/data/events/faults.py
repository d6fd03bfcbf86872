"""An event with three electrical faults to find, each on one drive line."""

from rigs.catalogue.models import Mode
from rigs.demo.data import accessories as more
from rigs.demo.data import cables, mixers
from rigs.demo.data.cables import medium, thick
from rigs.demo.data.events.parts import basics, mirrored, on_stands, plugged, truck
from rigs.demo.data.processing import peak
from rigs.demo.shapes import (
    AlignmentPlan,
    Bearer,
    Box,
    EventPlan,
    Line,
    LooseAmplifier,
    RevisionPlan,
    RigPlan,
    Spot,
)

FULL = "full range"

FAULTS = {
    "Subs": "load",  # bridged onto 2 x 8 ohm: each channel sees 2 ohm, its minimum is 4
    "Side fills": "cable_loss",  # 60 m of 1.5 mm2 to 3 x 8 ohm
    "Booth": "power",  # swapped amplifier: nine times the box's rating, old limiter setting
}

UNDERTOW = EventPlan(
    "Undertow", "The Salt Cellar", "Cellar floor", 9,
    out=(-1, "06:00"), load_in=(0, "12:00"), start=(0, "21:00"), end=(1, "02:00"),
    back=(1, "18:00"), audience=140, crest_db=8, target_dba=90, temperature_c=24,
    contact="Runa Solberg, bar",
    notes=(
        "Copied from last year. The racks for subs and side fills stay in the van in the yard: "
        "60 m to the side fills. The booth's own Tarn 2-500 broke; a Moraine 2-3000 goes along "
        "instead, its limiter left as noted for the old one: +2.2 dBu."
    ),
    rig=RigPlan(
        boxes=(
            *mirrored("Inner top", "Whimbrel 10", 3.0, 0.4, 2.3, 10, -8),
            *mirrored("Outer top", "Whimbrel 10", 3.4, 0.4, 2.3, -8, -8),
            Box("Sub left", "Bittern 15", -1.2, 0.4, 0.3),
            Box("Sub right", "Bittern 15", 1.2, 0.4, 0.3),
            Box("Side fill 1", "Dabchick 8", -4.2, 7.5, 2.3, 45, -8),
            Box("Side fill 2", "Dabchick 8", 0, 7.5, 2.6, 0, -12),
            Box("Side fill 3", "Dabchick 8", 4.2, 7.5, 2.3, -45, -8),
            Box("Booth box", "Mizzle 10", 1.5, -1.5, 1.2, 200, 10),
        ),
        racks=("Rack 8", "Rack 14"),
        amplifiers=(LooseAmplifier("Booth amp", "Moraine 2-3000", "Booth"),),
        mixer=mixers.DESK,
        spots=(Spot("Dance floor", 0.8, 5),),
        alignments=(
            AlignmentPlan(
                "Subs to tops", "sub to top", ("Subs",), ("Tops left", "Tops right"),
                "Dance floor",
            ),
        ),
        revisions=(
            RevisionPlan(
                "Copied from last year: subs turned over, five peaks for the booth",
                inverted=("Subs",),
                filters={
                    "Booth": tuple(
                        peak(hz, gain, 4)
                        for hz, gain in ((160, -3), (315, -2), (500, 2), (1250, -4), (3150, -3))
                    )
                },
            ),
        ),
        feeds=plugged(
            "Stage board", "Rack 8", "Rack 14", "Booth", socket="Board", cable=cables.MAINS_16
        ),
        bearers=(
            *on_stands(more.STAND, ("Inner top", "Outer top")),
            *(
                Bearer(f"{box} stand", "stand", (box,), stand=more.STAND)
                for box in ("Side fill 1", "Side fill 2", "Side fill 3")
            ),
            truck(1200, "Van"),
        ),
        lines=(
            Line("Tops left", "Rack 8 amp 1", 1, ("Inner top left", "Outer top left"), FULL,
                 (thick(10), 1), (thick(2), 1), "Rack 8 control", 1),
            Line("Tops right", "Rack 8 amp 1", 2, ("Inner top right", "Outer top right"), FULL,
                 (thick(10), 1), (thick(2), 1), "Rack 8 control", 1),
            Line("Side fills", "Rack 8 amp 2", 1, ("Side fill 1", "Side fill 2", "Side fill 3"),
                 FULL, (cables.THIN, 2), (medium(5), 1), "Rack 8 control", 3),
            Line("Subs", "Rack 14 amp 1", 1, ("Sub left", "Sub right"), "LF",
                 (thick(10), 1), (thick(5), 1), "Rack 14 control", 1, Mode.BRIDGED),
            Line("Booth", "Booth amp", 1, ("Booth box",), FULL, (medium(10), 1), None,
                 "Rack 14 control", 3),
        ),
    ),
    kit={**basics(2, 4), more.STAND: 7, more.COUPLER: 1},
    packet=True,
)  # fmt: skip
