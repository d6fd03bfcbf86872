"""Loudspeaker processors, invented: a coarse one, a fine one, and one of unknown steps."""

from rigs.demo.shapes import DialPlan, ProcessorSheet

MAKER = "Lichenby"
BUTTERWORTH, LINKWITZ_RILEY, BESSEL = "Butterworth", "Linkwitz-Riley", "Bessel"
PER_OCTAVE = "steps per octave"
PASSES = ("high-pass", "low-pass")
PLAIN_KINDS = (*PASSES, "peak", "low shelf", "high shelf")
ALL_KINDS = (*PLAIN_KINDS, "all-pass", "notch")
EVEN = (2, 4, 6, 8)

PROCESSORS = (
    ProcessorSheet(
        "Almanac 2-6", 2, 6, 20, 25, 3.4, noise_dbu=-87,
        sampling_hz=48_000, latency_ms=1.5, filters=5, kinds=PLAIN_KINDS, mixes=True,
        slopes=((BUTTERWORTH, (1, 2, 3, 4)), (LINKWITZ_RILEY, (2, 4))),
        dials=(
            DialPlan("gain_db", -40, 12, 0.5),
            DialPlan("delay_ms", 0, 340, 0.1),
            DialPlan("pass_hz", 20, 20_000, 24, PER_OCTAVE),
            DialPlan("filter_hz", 20, 20_000, 24, PER_OCTAVE),
            DialPlan("filter_gain_db", -15, 12, 0.5),
            DialPlan("filter_q", 0.5, 16, 0.1),
            DialPlan("limiter_dbu", -20, 20, 0.5),
            DialPlan("attack_ms", 0.1, 100, 0.1),
            DialPlan("release_ms", 10, 2000, 10),
        ),
    ),
    ProcessorSheet(
        "Almanac 4-8", 4, 8, 20, 32, 3.9, noise_dbu=-90,
        sampling_hz=96_000, latency_ms=1.5, filters=10, kinds=ALL_KINDS, mixes=True,
        bessel="-3 dB",
        slopes=(
            (BUTTERWORTH, tuple(range(1, 9))), (LINKWITZ_RILEY, EVEN), (BESSEL, (2, 3, 4, 6, 8)),
        ),
        dials=(
            DialPlan("gain_db", -80, 15, 0.1),
            DialPlan("delay_ms", 0, 1300, 0.01),
            DialPlan("pass_hz", 10, 24_000, 0.1),
            DialPlan("filter_hz", 10, 24_000, 0.1),
            DialPlan("filter_gain_db", -24, 15, 0.1),
            DialPlan("filter_q", 0.3, 60, 0.01),
            DialPlan("limiter_dbu", -30, 22, 0.1),
            DialPlan("attack_ms", 0.1, 200, 0.1),
            DialPlan("release_ms", 1, 5000, 1),
        ),
    ),
    # The manual is lost: what it can do was tried, how finely was not written down.
    ProcessorSheet(
        "Daybook 2-4", 2, 4, 18, None, 2.8, max_input_dbu=18,
        filters=4, kinds=(*PASSES, "peak"),
        slopes=((BUTTERWORTH, (2, 4)), (LINKWITZ_RILEY, (4,))),
        dials=(DialPlan("delay_ms", 0, 170), DialPlan("limiter_dbu", step=1)),
    ),
)  # fmt: skip
