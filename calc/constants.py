"""Every fixed number: its value, its unit, where it comes from.

Marks: READ was read in the source, RECALL is from memory, MATH follows from definitions,
CP is common practice with no source.
"""

import math

VOLT_AT_0_DBU = math.sqrt(0.6)
"""V. The voltage that gives 1 mW in 600 ohm. MATH."""

VOLT_OF_SENSITIVITY = 2.83
"""V. The usual voltage for a stated sensitivity, about 1 W in 8 ohm. CP."""

DAMPING_REFERENCE_OHM = 8.0
"""Ohm. Data sheets state damping factors re this load unless they say otherwise. CP."""

NOISE_CREST_DB = 20 * math.log10(2)
"""dB. Crest factor 2 of the noise that loudspeakers are rated with. IEC 60268-5, RECALL."""

MINIMUM_IMPEDANCE_SHARE = 0.8
"""1. A loudspeaker's impedance may dip to this share of its rated one. IEC 60268-5, RECALL."""

COPPER_RESISTIVITY_OHM_MM2_PER_M = 0.017241
"""Ohm mm2/m at 20 degC, 100 % IACS. READ: www.univerkov.com/electrical-conductivity-of-copper"""

COPPER_TEMPERATURE_COEFFICIENT = 0.00393
"""1/K at 20 degC. READ (handbook table)."""

IEC_60228_MAXIMUM_OHM_PER_KM: dict[str, dict[float, float]] = {
    # READ: mycableengineering.com/knowledge-base/iec-60228-dc-resistance and two more reprints.
    "1/2": {
        0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41,
        4.0: 4.61, 6.0: 3.08, 10.0: 1.83, 16.0: 1.15,
    },
    "5": {
        0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98,
        4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21,
    },
    "5 tinned": {
        0.5: 40.1, 0.75: 26.7, 1.0: 20.0, 1.5: 13.7, 2.5: 8.21,
        4.0: 5.09, 6.0: 3.39, 10.0: 1.95, 16.0: 1.24,
    },
}  # fmt: skip
"""Ohm/km at 20 degC by conductor class and area in mm2, plain (or tinned) copper."""

GENERATOR_SHARE = 0.8
"""1. A generator is loaded to this share of its rating at most. CP."""

MAINS_COPPER_OHM_MM2_PER_M = 0.0225
"""Ohm mm2/m, copper in service: the temperature is in it. IEC 60364-5-52 annex G, READ."""

MAINS_REACTANCE_OHM_PER_M = 0.08e-3
"""Ohm/m of one conductor if unknown. IEC 60364-5-52 annex G, RECALL."""

MAINS_UNKNOWN_COS_PHI = 0.8
"""1. If unknown. IEC 60364-5-52 annex G, READ."""

MOST_DROP_SHARE, MOST_DROP_SHARE_PRIVATE = 0.05, 0.08
"""1. Of the phase voltage, for other uses than lighting, public network and private supply
(a generator). IEC 60364-5-52 annex G, READ."""

WISHED_DROP_SHARE = 0.03
"""1. Of the last cable alone, as its way to the source loses some too. Advice of the NEC for
branch circuits, READ."""

CONTINUOUS_SHARE = 0.8
"""1. A breaker bears this share of its rating all the time. NEC 210.20 (the 125 % rule), READ."""

NEVER_TRIPS_AT = 3.0
"""1. Times its rating, up to which no usual breaker trips at once: type B from 3, C from 5, D from
10 times. IEC 60898-1, RECALL."""

KELVIN_AT_0_C = 273.15
"""K. MATH."""

REFERENCE_TEMPERATURE_K = 293.15
"""K. ISO 9613-1."""

TRIPLE_POINT_K = 273.16
"""K. ISO 9613-1."""

REFERENCE_PRESSURE_KPA = 101.325
"""kPa. ISO 9613-1."""

SPEED_OF_SOUND_AT_20_C = 343.2
"""m/s. ISO 9613-1."""

APERTURE_HALF_PRESSURE = 1.895494
"""1. Where sin(x)/x is a half: -6 dB of a uniform straight aperture. MATH."""

AUDIENCE_LIMIT_DBA = 100.0
"""dB LAeq,15min. WHO 2022, READ: listensafe.org/venues_and_events.html"""

CREW_ACTION_DBA = 85.0
"""dB LEX,8h, the upper action value. Directive 2003/10/EC art. 3, READ."""

FEEDBACK_MARGIN_DB = 6.0
"""dB below the onset of feedback that a show keeps. READ in three teaching texts, CP."""

EQUIVALENT_DISTANCE_M = 1.2
"""m. As near as the talker shall seem to the farthest listener: the 4 ft of the example in the
Handbook for Sound Engineers, ch. 34, READ. Quiet speech gets by with 2.4 m, a concert wants less
than 0.5 m. CP."""

TALKER_Q = 2.5
"""1. Directivity factor of a talker's mouth in the mids. RECALL."""

METRES_PER_FOOT = 0.3048
"""m. International foot, 1959. RECALL."""
