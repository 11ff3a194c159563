"""Equilibrium moisture content of wood from air temperature and humidity: two published models."""

from __future__ import annotations

import math

LOWEST_TEMPERATURE = -40.0
HIGHEST_TEMPERATURE = 132.0
HIGHEST_HUMIDITY = 0.98
CHECKED_TEMPERATURE = (-1.1, 71.1)
CHECKED_HUMIDITY = (0.05, 0.95)
FIBRE_SATURATION = 0.30


def _check_air(temperature: float, humidity: float) -> None:
    if not LOWEST_TEMPERATURE <= temperature <= HIGHEST_TEMPERATURE:
        raise ValueError(
            f"temperature must be {LOWEST_TEMPERATURE:g} to {HIGHEST_TEMPERATURE:g} degrees C, not {temperature:g}"
        )
    if not 0.0 <= humidity <= HIGHEST_HUMIDITY:
        raise ValueError(f"humidity must be 0 to {HIGHEST_HUMIDITY:g} as a ratio, not {humidity:g}")


def emc(temperature: float, humidity: float) -> float:
    r"""Equilibrium moisture content of wood in still air, after Simpson (1973).

    .. math:: M = \frac{1800}{W}\left[\frac{K h}{1 - K h}
        + \frac{K_1 K h + 2 K_1 K_2 K^2 h^2}{1 + K_1 K h + K_1 K_2 K^2 h^2}\right]

    Parameters
    ----------
    temperature : float
        Temperature of the air :math:`T` [degC]
    humidity : float
        Relative humidity :math:`h` as a ratio, 0 to 0.98 [-]

    Returns
    -------
    float
        Moisture content, mass of water over oven-dry mass of wood, as a ratio [-]

    Raises
    ------
    ValueError
        If the temperature is outside -40 to 132 degrees C or the humidity outside 0 to 0.98.

    Notes
    -----
    Valid for air sheltered from rain and sun, given time to settle; checked against the printed table from
    -1.1 to 71.1 degrees C and 5 to 95 % humidity, where it differs by at most 0.06 % MC (cells from memory).
    Colder and drier air is an extension. Species and the way moisture came (drying or wetting) are left out.

    Source: Wood Handbook 2021, eq. 4-5, coefficients in degrees C (read); Table 4-2 (from memory).

    Examples
    --------
    >>> round(emc(20.0, 0.65), 3)
    0.12
    """
    _check_air(temperature, humidity)
    t, h = temperature, humidity
    w = 349.0 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    first = kh / (1.0 - kh)
    second = (k1 * kh + 2.0 * k1 * k2 * kh**2) / (1.0 + k1 * kh + k1 * k2 * kh**2)
    return 18.0 / w * (first + second)


def emc_glass(temperature: float, humidity: float) -> float:
    r"""Equilibrium moisture content of wood in still air, after Glass and others (2014).

    .. math:: M = \left[A T (1 - T/647.1)^B \ln(1 - h)\right]^{C T^D}

    Parameters
    ----------
    temperature : float
        Temperature of the air, taken to kelvin for :math:`T` [degC]
    humidity : float
        Relative humidity :math:`h` as a ratio, 0 to 0.98 [-]

    Returns
    -------
    float
        Moisture content, mass of water over oven-dry mass of wood, as a ratio [-]

    Raises
    ------
    ValueError
        If the temperature is outside -40 to 132 degrees C or the humidity outside 0 to 0.98.

    Notes
    -----
    Valid for air sheltered from rain and sun. No limits were read with this equation: those of `emc` are kept.
    The two models need not agree: from 0 to 40 degrees C and 20 to 85 % humidity they part by up
    to 1.8 % MC.

    Source: Wood Handbook 2021, eq. 4-6 (read).

    Examples
    --------
    >>> round(emc_glass(21.0, 0.50), 4)
    0.0942
    """
    _check_air(temperature, humidity)
    kelvin = temperature + 273.15
    inner = -0.000612 * kelvin * (1.0 - kelvin / 647.1) ** 2.43 * math.log(1.0 - humidity)
    return float(inner ** (0.0577 * kelvin**0.430))
