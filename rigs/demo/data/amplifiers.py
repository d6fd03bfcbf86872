"""Amplifier types, invented. Powers follow one rule: as the load falls, the voltage sags and
the current rises until its limit. The bridged ratings follow from those of one channel. What
comes out more at 1/3 power than at 1/8 is taken from the mains at 60 % in the old ones, at 80 % in
those that switch.
"""

from rigs.demo.shapes import AmplifierSheet, Signal

GNEISSHAVEN = (
    AmplifierSheet(
        "Gneisshaven", "Moraine 2-700", 2, 2, 17.5, {8: 400, 4: 700}, 4,
        gain_db=32, damping=300, idle_w=45, eighth_w=330, power_factor=0.68, inrush_a=28,
        notes="Bridge switch at the back, behind the cover.",
        third_w=820, peak_v=84, noise_dbu=-66,
    ),
    AmplifierSheet(
        "Gneisshaven", "Moraine 2-1100", 2, 2, 19.0, {8: 650, 4: 1100, 2: 1500}, 2,
        gain_db=32, damping=400, idle_w=55, eighth_w=500, power_factor=0.70, inrush_a=32,
        third_w=1260, peak_v=108, noise_dbu=-65,
    ),
    AmplifierSheet(
        "Gneisshaven", "Moraine 2-1800", 2, 2, 12.4, {8: 1000, 4: 1800, 2: 2600}, 2,
        gain_db=32, damping=600, idle_w=70, eighth_w=690, power_factor=0.92, inrush_a=18,
        parallels=True, basis={"eighth_power_w": "measured", "inrush_a": "measured"},
        third_w=1630, noise_dbu=-67, gains_db=(26, 32, 38),
    ),
    AmplifierSheet(
        "Gneisshaven", "Moraine 2-3000", 2, 2, 13.1, {8: 1800, 4: 3000, 2: 4000}, 2,
        sensitivity_v=0.775, damping=800, idle_w=85, eighth_w=1120, power_factor=0.95,
        inrush_a=20, notes="Full power from 0.775 V: about 44 dB of gain.",
        third_w=2680, noise_dbu=-58, signal=Signal.BURST,
    ),
    AmplifierSheet(
        "Gneisshaven", "Drumlin 4-350", 4, 1, 8.2, {16: 104, 8: 200, 4: 350}, 4,
        gain_db=29, damping=250, idle_w=50, eighth_w=330, power_factor=0.90, inrush_a=15,
        third_w=690, clip_dbu=20, noise_dbu=-68,
    ),
    AmplifierSheet(
        "Gneisshaven", "Drumlin 4-700", 4, 2, 11.0, {8: 400, 4: 700, 2: 900}, 2,
        gain_db=32, damping=350, idle_w=75, eighth_w=600, power_factor=0.92, inrush_a=18,
        third_w=1330, noise_dbu=-66, gains_db=(26, 32),
    ),
    AmplifierSheet(
        "Gneisshaven", "Drumlin 4-1250", 4, 2, 12.8, {8: 700, 4: 1250, 2: 1800}, 2,
        gain_db=32, damping=500, idle_w=95, eighth_w=960, power_factor=0.95, inrush_a=22,
        basis={"idle_w": "measured"},
        third_w=2260, noise_dbu=-65, gains_db=(26, 32),
    ),
)  # fmt: skip

SHALEWATER = (
    AmplifierSheet(
        "Shalewater", "Tarn 2-250", 2, 2, 9.8, {8: 150, 4: 250}, 4,
        sensitivity_v=0.775, damping=200, idle_w=30, eighth_w=135, power_factor=0.65,
        inrush_a=16, bridges=False,
        signal=Signal.NOT_STATED, clip_dbu=None,
    ),
    AmplifierSheet(
        "Shalewater", "Tarn 2-500", 2, 2, 13.6, {8: 300, 4: 500}, 4,
        sensitivity_v=1.23, damping=250, idle_w=38, eighth_w=245, power_factor=0.66,
        inrush_a=22,
        third_w=590, clip_dbu=18, noise_dbu=-60,
    ),
    AmplifierSheet(
        "Shalewater", "Tarn 2-900", 2, 2, 18.2, {8: 550, 4: 900, 2: 1200}, 2,
        sensitivity_v=1.4, damping=300, idle_w=50, eighth_w=420, power_factor=0.68,
        inrush_a=30,
        third_w=1040, peak_v=98, clip_dbu=18, noise_dbu=-61,
    ),
    AmplifierSheet(
        "Shalewater", "Ghyll 4-500", 4, 2, 10.6, {16: 155, 8: 300, 4: 500}, 3,
        gain_db=32, damping=300, idle_w=60, eighth_w=430, power_factor=0.93, inrush_a=17,
        minimum_is="true",
        notes="The sheet states the least true impedance, 3 ohm, not a rated load.",
        third_w=950, noise_dbu=-67,
    ),
    AmplifierSheet(
        "Shalewater", "Sike 2-150", 2, 1, 6.4, {8: 90, 4: 150}, 4,
        sensitivity_v=0.775, idle_w=20, bridges=False,
        notes="Old; no damping factor and no mains figures on its sheet.",
        signal=Signal.NOT_STATED, clip_dbu=None,
    ),
)  # fmt: skip

AMPLIFIERS = GNEISSHAVEN + SHALEWATER
