"""Everything else on the truck."""

from rigs.demo.data.connectors import (
    CEE_16,
    CEE_32,
    CEE_63,
    FRAME,
    POLE,
    SOCKET,
    SPEAKER_2,
    SPEAKER_4,
    SPEAKER_8,
    XLR,
)
from rigs.demo.shapes import AccessorySheet

MAKER = "Sallowbank"

STAND = "Tripod stand"
WINCH_STAND = "Winch stand"
SUB_POLE = "Pole for subs"
FRAME_TOP = "Hanging frame"
DISTRO_32 = "Distribution 32 A to 6 x 16 A"
DISTRO_63 = "Distribution 63 A to 4 x 32 A"
DISTRO_16 = "Distribution 16 A to 3 x 16 A"
COUPLER = "Coupler 4-pole"
VOCAL_MIC = "Vocal microphone"
STRAP = "Ratchet strap 5 m"

ACCESSORIES = (
    AccessorySheet(STAND, 4.6, (("feeds", POLE, 1),), 40),
    AccessorySheet(WINCH_STAND, 17.5, (("feeds", POLE, 2),), 80, "With cross bar for two boxes."),
    AccessorySheet(SUB_POLE, 1.7, (("takes", SOCKET, 1), ("feeds", POLE, 1)), 35),
    AccessorySheet(FRAME_TOP, 14.0, (("feeds", FRAME, 1),), 250, "Test date on its plate."),
    AccessorySheet(DISTRO_63, 34.0, (("takes", CEE_63, 1), ("feeds", CEE_32, 4))),
    AccessorySheet(DISTRO_32, 15.5, (("takes", CEE_32, 1), ("feeds", CEE_16, 6))),
    AccessorySheet(DISTRO_16, 3.2, (("takes", CEE_16, 1), ("feeds", CEE_16, 3))),
    AccessorySheet(COUPLER, 0.12, (("takes", SPEAKER_4, 1), ("feeds", SPEAKER_4, 1))),
    AccessorySheet(
        "Adaptor 4-pole to 2-pole", 0.15, (("takes", SPEAKER_4, 1), ("feeds", SPEAKER_2, 1))
    ),
    AccessorySheet(
        "Split 8-pole to 4 x 4-pole", 0.9, (("takes", SPEAKER_8, 1), ("feeds", SPEAKER_4, 4))
    ),
    AccessorySheet(
        "Join 4 x 4-pole to 8-pole", 0.9, (("takes", SPEAKER_4, 4), ("feeds", SPEAKER_8, 1))
    ),
    AccessorySheet(VOCAL_MIC, 0.32, (("feeds", XLR, 1),)),
    AccessorySheet("Instrument microphone", 0.28, (("feeds", XLR, 1),)),
    AccessorySheet("Measuring microphone", 0.16, (("feeds", XLR, 1),)),
    AccessorySheet("Microphone stand", 2.9),
    AccessorySheet("Cable ramp 1 m", 9.8),
    AccessorySheet(STRAP, 1.1, carries_kg=2000, notes="For loads on the truck, never for hanging."),
    AccessorySheet("Ground mat 2 m", 6.4),
    AccessorySheet("Rain cover for a stack", 3.4),
)
