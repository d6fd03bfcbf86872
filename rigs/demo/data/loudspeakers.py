"""Loudspeaker types. Makers, models and figures are invented.

Older Yarrowstone sheets state sensitivity at 2.83 V, which is 2 W in their 4 ohm boxes.
Some figures are unknown on purpose: nobody has the sheet, or nobody has measured it.
"""

from rigs.demo.data import directivity as shapes_of
from rigs.demo.data import impedance as curves
from rigs.demo.data.connectors import FRAME, POLE, SOCKET, SPEAKER_2, SPEAKER_4
from rigs.demo.shapes import PER_VOLTS, Ends, LoudspeakerSheet, Role, WaySheet

LINKED: Ends = (("takes", SPEAKER_4, 1), ("feeds", SPEAKER_4, 1))
ON_POLE: Ends = (*LINKED, ("takes", POLE, 1))
SUB: Ends = (*LINKED, ("feeds", SOCKET, 1))
HUNG: Ends = (*LINKED, ("takes", FRAME, 1), ("feeds", FRAME, 1))
MEASURED_MINIMUM = {"minimum_impedance_ohm": "measured"}
MEASURED_CURVE = {"impedance_curve": "measured"}
MEASURED_SOUND = {"directivity": "measured", "axis_response": "measured"}

BOGMYRTLE = (
    LoudspeakerSheet(
        "Bogmyrtle", "Dabchick 8", Role.TOP, 9.4, (0.26, 0.42, 0.27),
        (WaySheet("full range", 8, 200, 93, 70, 18000, 90, 60, 6.6, basis=MEASURED_MINIMUM),),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Whimbrel 10", Role.TOP, 14.2, (0.31, 0.50, 0.32),
        (
            WaySheet(
                "full range", 8, 250, 95, 65, 18000, 90, 50, 6.8,
                axis=shapes_of.WHIMBREL_10_AXIS, basis={"axis_response": "measured"},
            ),
        ),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Whimbrel 12", Role.TOP, 19.6, (0.36, 0.58, 0.36),
        (
            WaySheet(
                "full range", 8, 350, 97, 58, 18000, 75, 50,
                curve=curves.WHIMBREL_12, basis=MEASURED_CURVE | MEASURED_SOUND,
                polars=shapes_of.WHIMBREL_12, axis=shapes_of.WHIMBREL_12_AXIS,
            ),
        ),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Curlew 15", Role.TOP, 27.5, (0.44, 0.70, 0.43),
        (WaySheet("full range", 8, 450, 98, 50, 18000, 80, 50, 6.5, basis=MEASURED_MINIMUM),),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Godwit 12", Role.TOP, 24.0, (0.37, 0.62, 0.38),
        (
            WaySheet("LF", 8, 400, 96, 55, 1600, 80, 60, 6.7),
            WaySheet("HF", 16, 75, 107, 1100, 18000, 75, 50, 13.5, pair=2),
        ),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Godwit 15", Role.TOP, 35.5, (0.46, 0.74, 0.47),
        (
            WaySheet(
                "LF", 8, 500, 97, 48, 1400, 80, 60, 6.6,
                curve=curves.GODWIT_15_LF, axis=shapes_of.GODWIT_15_LF_AXIS,
                basis=MEASURED_MINIMUM | MEASURED_CURVE | {"axis_response": "measured"},
                piston_m=0.33,
            ),
            WaySheet(
                "HF", 16, 80, 108, 1000, 18000, 60, 40, 13.2, pair=2,
                curve=curves.GODWIT_15_HF, basis=MEASURED_MINIMUM | MEASURED_SOUND,
                polars=shapes_of.GODWIT_15_HF, axis=shapes_of.GODWIT_15_HF_AXIS,
            ),
        ),
        LINKED,
        "Stands on its own case or on a wing, not on a pole.",
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Godwit 212", Role.TOP, 52.0, (0.42, 1.05, 0.48),
        (
            WaySheet("LF", 4, 800, 98.5, 50, 1300, 70, 50, 3.4),
            WaySheet("HF", 16, 100, 108.5, 900, 18000, 60, 40, 13.4, pair=2),
        ),
        LINKED,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Turnstone 10", Role.LINE_ELEMENT, 29.0, (0.68, 0.29, 0.46),
        (
            WaySheet("LF", 8, 400, 97, 60, 1400, 100, 40, 6.7),
            WaySheet("HF", 8, 100, 109, 900, 18000, 100, 12, 6.8, pair=2),
        ),
        HUNG,
        "Hangs on its own frame; the venue's rigger decides about the points.",
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Turnstone 6", Role.LINE_ELEMENT, 13.5, (0.50, 0.20, 0.32),
        (WaySheet("full range", 16, 200, 95, 80, 18000, 110, 15, 13.1),),
        HUNG,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Bittern 15", Role.SUB, 34.0, (0.50, 0.50, 0.58),
        (
            WaySheet(
                "LF", 8, 500, 96, 42, 150, 360, 180, 6.8,
                axis=shapes_of.BITTERN_15_AXIS, basis={"axis_response": "measured"},
            ),
        ),
        SUB,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Bittern 18", Role.SUB, 48.5, (0.56, 0.60, 0.70),
        (
            WaySheet(
                "LF", 8, 800, 98, 35, 140, 360, 180, 6.6,
                curve=curves.BITTERN_18, axis=shapes_of.BITTERN_18_AXIS,
                basis=MEASURED_MINIMUM | MEASURED_CURVE | {"axis_response": "measured"},
            ),
        ),
        SUB,
    ),
    LoudspeakerSheet(
        "Bogmyrtle", "Bittern 218", Role.SUB, 88.0, (1.10, 0.60, 0.76),
        (WaySheet("LF", 4, 1600, 101, 33, 140, 360, 180, 3.3),),
        SUB,
        "Two people or a ramp.",
    ),
)  # fmt: skip

YARROWSTONE = (
    LoudspeakerSheet(
        "Yarrowstone", "Feldspar 8", Role.TOP, 11.0, (0.28, 0.46, 0.30),
        (WaySheet("full range", 8, 150, 92, 75, 17000, 100, 60, 6.6, per=PER_VOLTS),),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Yarrowstone", "Feldspar 12", Role.TOP, 25.0, (0.40, 0.62, 0.40),
        (
            WaySheet(
                "full range", 4, 300, 98, 60, 17000, 80, 50, 3.3, per=PER_VOLTS,
                curve=curves.FELDSPAR_12, basis=MEASURED_CURVE,
            ),
        ),
        ON_POLE,
        "98 dB at 2.83 V is 95 dB at 1 W: the box is 4 ohm, and measured it dips below 3.",
    ),
    LoudspeakerSheet(
        "Yarrowstone", "Feldspar 15", Role.TOP, 33.0, (0.48, 0.74, 0.46),
        (WaySheet("full range", 4, 450, 100, 52, 17000, 80, 50, per=PER_VOLTS),),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Yarrowstone", "Olivine 15", Role.SUB, 39.0, (0.52, 0.52, 0.60),
        (WaySheet("LF", 8, 400, 95, 44, 150, 360, 180, peak_known=False),),
        SUB,
    ),
    LoudspeakerSheet(
        "Yarrowstone", "Olivine 18", Role.SUB, 56.0, (0.60, 0.62, 0.72),
        (
            WaySheet(
                "LF", 4, 700, 98.5, 38, 140, 360, 180, per=PER_VOLTS,
                basis={"noise_power_w": "assumed"},
            ),
        ),
        SUB,
        "The sheet is lost; the rating is that of a driver of the same size.",
    ),
    LoudspeakerSheet(
        "Yarrowstone", "Mica 5", Role.FILL, 4.1, (0.18, 0.27, 0.19),
        (WaySheet("full range", 16, 60, 88, 95, 19000, 110, 90, 13.3),),
        LINKED,
    ),
    LoudspeakerSheet(
        "Yarrowstone", "Mica 208", Role.FILL, 16.5, (0.26, 0.66, 0.30),
        (WaySheet("full range", 8, 250, 95, 75, 18000, 110, 50, 6.7),),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Yarrowstone", "Gorse 15", Role.TOP, None, None,
        (
            WaySheet(
                "full range", 8, 150, None, None, None, 90, 40,
                peak_known=False, basis={"noise_power_w": "assumed"},
            ),
        ),
        (("takes", SPEAKER_2, 1), ("takes", POLE, 1)),
        "Bought used without papers. Measure before use as a main.",
    ),
)  # fmt: skip

TEASELMOOR = (
    LoudspeakerSheet(
        "Teaselmoor", "Mizzle 10", Role.MONITOR, 13.0, (0.42, 0.30, 0.40),
        (WaySheet("full range", 8, 200, 95, 75, 18000, 90, 90, 6.6),),
        LINKED,
    ),
    LoudspeakerSheet(
        "Teaselmoor", "Mizzle 12", Role.MONITOR, 18.5, (0.50, 0.34, 0.46),
        (
            WaySheet(
                "full range", 8, 350, 97.5, 65, 18000, 70, 70, 6.7,
                curve=curves.MIZZLE_12, basis=MEASURED_MINIMUM | MEASURED_CURVE,
            ),
        ),
        LINKED,
    ),
    LoudspeakerSheet(
        "Teaselmoor", "Mizzle 15", Role.MONITOR, 26.5, (0.58, 0.40, 0.50),
        (
            WaySheet("LF", 8, 500, 98, 55, 1500, 80, 80, 6.7),
            WaySheet("HF", 8, 90, 107.5, 1000, 18000, 60, 60, 6.9, pair=2),
        ),
        LINKED,
    ),
    LoudspeakerSheet(
        "Teaselmoor", "Smirr 6", Role.FILL, 7.2, (0.22, 0.36, 0.24),
        (WaySheet("full range", 8, 120, 91, 85, 19000, 100, 80, 6.7),),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Teaselmoor", "Smirr 8", Role.FILL, 10.8, (0.27, 0.43, 0.28),
        (WaySheet("full range", 16, 180, 93, 75, 18000, 100, 60, 13.0),),
        ON_POLE,
    ),
    LoudspeakerSheet(
        "Teaselmoor", "Haar 8", Role.FILL, 12.5, (0.13, 0.98, 0.17),
        (
            WaySheet(
                "column", 8, 200, 93, 110, 17000, 120, 25, 6.8, polars=shapes_of.HAAR_8,
            ),
        ),
        ON_POLE,
        "Column of eight small drivers, for speech.",
    ),
    LoudspeakerSheet(
        "Teaselmoor", "Haar 12", Role.SUB, 23.0, (0.42, 0.42, 0.50),
        (WaySheet("LF", 8, 350, 93.5, 45, 160, 360, 180, 6.6),),
        SUB,
    ),
)  # fmt: skip

LOUDSPEAKERS = BOGMYRTLE + YARROWSTONE + TEASELMOOR
