"""What air does to sound: loss with distance and speed, ISO 9613-1."""

import math

import numpy as np
from numpy.typing import NDArray

from calc.constants import (
    KELVIN_AT_0_C,
    REFERENCE_PRESSURE_KPA,
    REFERENCE_TEMPERATURE_K,
    SPEED_OF_SOUND_AT_20_C,
    TRIPLE_POINT_K,
)
from calc.system import Surroundings


def speed_of_sound(temperature_c: float) -> float:
    """m/s in dry air: 343.2 sqrt(T / 293.15 K), ISO 9613-1."""
    kelvin = temperature_c + KELVIN_AT_0_C
    return SPEED_OF_SOUND_AT_20_C * math.sqrt(kelvin / REFERENCE_TEMPERATURE_K)


def water_vapour_share(air: Surroundings) -> float:
    """Molar concentration of water vapour in per cent, ISO 9613-1 annex B."""
    kelvin = air.temperature_c + KELVIN_AT_0_C
    exponent = -6.8346 * (TRIPLE_POINT_K / kelvin) ** 1.261 + 4.6151
    return float(air.humidity_pct * 10**exponent * REFERENCE_PRESSURE_KPA / air.pressure_kpa)


def loss_db_per_m(frequency_hz: NDArray[np.float64], air: Surroundings) -> NDArray[np.float64]:
    """Loss of level in dB per metre at exact frequencies, ISO 9613-1 equations 3 to 5.

    Parameters
    ----------
    frequency_hz : array
    air : Surroundings
        -20 to 50 degC, 10 to 100 %, below 200 kPa is the standard's range.
    """
    theta = (air.temperature_c + KELVIN_AT_0_C) / REFERENCE_TEMPERATURE_K
    kelvin = air.temperature_c + KELVIN_AT_0_C
    pressure = air.pressure_kpa / REFERENCE_PRESSURE_KPA
    h = water_vapour_share(air)
    oxygen_hz = pressure * (24 + 4.04e4 * h * (0.02 + h) / (0.391 + h))
    nitrogen_hz = (
        pressure * theta**-0.5 * (9 + 280 * h * math.exp(-4.170 * (theta ** (-1 / 3) - 1)))
    )
    squared = np.asarray(frequency_hz, dtype=np.float64) ** 2
    relaxation = theta**-2.5 * (
        0.01275 * math.exp(-2239.1 / kelvin) / (oxygen_hz + squared / oxygen_hz)
        + 0.1068 * math.exp(-3352.0 / kelvin) / (nitrogen_hz + squared / nitrogen_hz)
    )
    loss: NDArray[np.float64] = (
        8.686 * squared * (1.84e-11 / pressure * math.sqrt(theta) + relaxation)
    )
    return loss
