"""What the company owns: racks, single units, counted pieces, and what is set aside."""

from rigs.demo.data import accessories as more
from rigs.demo.data import cables, mixers
from rigs.demo.data.cables import medium, signal, thick
from rigs.demo.shapes import RackPlan

SERIAL = "RW-{:04d}"

MAIN = ("Moraine 2-1800", "Moraine 2-3000", "Ghyll 4-500", "Almanac 2-6")
STAGE = ("Drumlin 4-1250", "Drumlin 4-1250", "Almanac 4-8")
SMALL = ("Tarn 2-900", "Tarn 2-900", "Tarn 2-500", "Daybook 2-4")
CLUB = ("Moraine 2-1100", "Moraine 2-1800", "Drumlin 4-700", "Almanac 2-6")
HOUSE = ("Drumlin 4-700", "Drumlin 4-350", "Almanac 2-6")

RACKS = (
    *(RackPlan(f"Rack {n}", 24, MAIN, "One side of a large rig.") for n in (1, 2, 3, 4)),
    *(RackPlan(f"Rack {n}", 22, STAGE, "Monitors and delays.") for n in (5, 6, 7)),
    *(RackPlan(f"Rack {n}", 20, SMALL, "Small shows.") for n in (8, 9)),
    *(RackPlan(f"Rack {n}", 22, CLUB) for n in (10, 11)),
    *(RackPlan(f"Rack {n}", 16, HOUSE, "Columns and fills.") for n in (12, 13)),
    RackPlan("Rack 14", 20, ("Moraine 2-700", "Moraine 2-700", "Daybook 2-4")),
)

# Loudspeakers, mixers, and amplifiers outside of racks.
UNITS = {
    "Dabchick 8": 8, "Whimbrel 10": 8, "Whimbrel 12": 10, "Curlew 15": 8, "Godwit 12": 6,
    "Godwit 15": 10, "Godwit 212": 4, "Turnstone 10": 8, "Turnstone 6": 8, "Bittern 15": 8,
    "Bittern 18": 14, "Bittern 218": 4, "Feldspar 8": 4, "Feldspar 12": 4, "Feldspar 15": 4,
    "Olivine 15": 4, "Olivine 18": 4, "Mica 5": 8, "Mica 208": 4, "Gorse 15": 2,
    "Mizzle 10": 6, "Mizzle 12": 12, "Mizzle 15": 6, "Smirr 6": 8, "Smirr 8": 6, "Haar 8": 8,
    "Haar 12": 4,
    "Moraine 2-700": 2, "Moraine 2-3000": 1, "Drumlin 4-1250": 1, "Tarn 2-250": 4,
    "Tarn 2-500": 1, "Sike 2-150": 2, "Almanac 2-6": 1,
    mixers.DESK: 4, mixers.LARGE_DESK: 1, mixers.SMALL_DESK: 2,
}  # fmt: skip

# Model and which of its units (from 1), with the reason.
SET_ASIDE = {
    ("Godwit 15", 9): "HF rattles above 5 kHz; driver ordered.",
    ("Bittern 18", 14): "Cone torn, wait for the new one.",
    ("Mizzle 12", 12): "Read 2 dB low at line-up: test it.",
    ("Moraine 2-3000", 5): "Trips the supply at switch-on; no spare part yet.",
    ("Moraine 2-700", 3): "Channel 2 hums.",
    ("Turnstone 6", 8): "Hanging pin bent.",
    ("Almanac 2-6", 9): "Display dark; settings can't be read.",
}

# Owned, and of these set aside.
COUNTS = {
    medium(2): (24, 0), medium(5): (24, 1), medium(10): (24, 0), medium(20): (16, 2),
    medium(30): (8, 0), thick(2): (24, 0), thick(5): (20, 0), thick(10): (24, 1),
    thick(20): (12, 0), thick(30): (8, 0), cables.THIN: (4, 0), cables.GREY: (5, 0),
    cables.MULTI: (4, 0), cables.OLD_TAIL: (4, 0),
    signal(5): (60, 2), signal(10): (50, 3), signal(20): (24, 1), signal(50): (8, 0),
    cables.AMP_LEAD: (48, 0), cables.SMALL_LEAD: (24, 0), cables.MAINS_16: (30, 1),
    cables.MAINS_32: (10, 0), cables.MAINS_63: (4, 0),
    more.STAND: (16, 1), more.WINCH_STAND: (4, 0), more.SUB_POLE: (10, 0),
    more.FRAME_TOP: (4, 0), more.DISTRO_63: (2, 0), more.DISTRO_32: (8, 0),
    more.DISTRO_16: (10, 0), more.COUPLER: (12, 0), "Adaptor 4-pole to 2-pole": (6, 0),
    "Split 8-pole to 4 x 4-pole": (4, 0), "Join 4 x 4-pole to 8-pole": (4, 0),
    more.VOCAL_MIC: (24, 2), "Instrument microphone": (20, 0),
    "Measuring microphone": (2, 0), "Microphone stand": (30, 2), "Cable ramp 1 m": (40, 3),
    more.STRAP: (40, 0), "Ground mat 2 m": (12, 0), "Rain cover for a stack": (8, 1),
}  # fmt: skip
