"""How strength of clear wood changes: with the grain's angle, moisture, temperature. Not design values."""

from __future__ import annotations

import math
from collections.abc import Mapping

from batchwright.handbook.species import Species

_EDGE = 1e-9
_MEETING: Mapping[str, float] = {
    "white_ash": 0.24,
    "yellow_birch": 0.27,
    "american_chestnut": 0.24,
    "douglas_fir_coast": 0.24,
    "western_larch": 0.28,
    "loblolly_pine": 0.21,
    "longleaf_pine": 0.21,
    "redwood_old_growth": 0.21,
    "redwood_young_growth": 0.21,
}
MEETING_MOISTURE_ELSE = 0.25
"""Moisture content at which dry and green strength meet, for the woods Table 5-13 does not name [ratio]."""


def _check_positive(what: str, value: float) -> None:
    if not (value > 0.0 and math.isfinite(value)):
        raise ValueError(f"{what} must be above 0, not {value:g}")


def hankinson(along: float, across: float, angle: float, exponent: float = 2.0) -> float:
    r"""Strength at an angle to the grain, between that along it and that across it.

    .. math:: N = \frac{P Q}{P \sin^n\theta + Q \cos^n\theta}

    Parameters
    ----------
    along : float
        Strength along the grain :math:`P` [MPa]
    across : float
        Strength across the grain :math:`Q` [MPa]
    angle : float
        Angle between load and grain :math:`\theta`, 0 to pi/2 [rad]
    exponent : float
        Exponent :math:`n`, 2 for bearing, 1.5 to 2.5 for others [-]

    Returns
    -------
    float
        Strength at that angle [MPa]

    Raises
    ------
    ValueError
        If a strength is not positive, the angle is outside 0 to pi/2 or the exponent outside 1.5 to 2.5.

    Notes
    -----
    Valid for bearing and compression with n = 2 (read); 1.5 to 2 for tension and bending, 2 to 2.5 for
    compression (from memory). Both strengths must be of the same kind.

    Source: Wood Handbook 2021, eq. 8-16 (read); eq. 5-2 and its table of exponents (from memory).

    Examples
    --------
    White oak in compression at 45 degrees:

    >>> round(hankinson(51.3, 7.4, math.pi / 4.0), 2)
    12.93
    """
    _check_positive("strength along the grain", along)
    _check_positive("strength across the grain", across)
    if not -_EDGE <= angle <= math.pi / 2.0 + _EDGE:
        raise ValueError(f"angle must be 0 to pi/2 radians, not {angle:g}")
    if not 1.5 <= exponent <= 2.5:
        raise ValueError(f"exponent must be 1.5 to 2.5, not {exponent:g}")
    sine, cosine = max(0.0, math.sin(angle)), max(0.0, math.cos(angle))
    return float(along * across / (along * sine**exponent + across * cosine**exponent))


def meeting_moisture(species: Species) -> float:
    """Moisture content at which strength stops changing: where dry and green values meet.

    Parameters
    ----------
    species : Species
        The wood [-]

    Returns
    -------
    float
        Moisture content as a ratio, 0.25 for woods the table does not name [-]

    Notes
    -----
    Valid for `strength_at_moisture`.

    Source: Wood Handbook 2021, Table 5-13, p. 5-34 (read).

    Examples
    --------
    >>> from batchwright.handbook.species import species_named
    >>> meeting_moisture(species_named("white ash"))
    0.24
    """
    return _MEETING.get(species.key, MEETING_MOISTURE_ELSE)


def strength_at_moisture(dry: float, green: float, moisture: float, meeting: float = 0.25) -> float:
    r"""Strength or stiffness at a moisture content, from the 12 % and the green value.

    .. math:: P = P_{12} \left(\frac{P_{12}}{P_g}\right)^{(0.12 - M)/(M_p - 0.12)}

    Parameters
    ----------
    dry : float
        Value at 12 % moisture content :math:`P_{12}` [MPa]
    green : float
        Value of green wood :math:`P_g` [MPa]
    moisture : float
        Moisture content :math:`M` as a ratio [-]
    meeting : float
        Moisture content where the two meet :math:`M_p`, as a ratio; see `meeting_moisture` [-]

    Returns
    -------
    float
        Value at that moisture content; the green value from the meeting point up [MPa]

    Raises
    ------
    ValueError
        If a value is not positive, the moisture outside 0 to 3, or the meeting point outside 0.18 to 0.30.

    Notes
    -----
    Valid near 21 degrees C, for strength and stiffness; the Handbook does not recommend it for work to maximum
    load, impact bending or tension across the grain. Below about 4 % MC strengths may fall again.

    Source: Wood Handbook 2021, eq. 5-3 and Table 5-13, worked example p. 5-34 (read).

    Examples
    --------
    White ash in bending at 8 % MC, the printed example:

    >>> round(strength_at_moisture(103.0, 66.0, 0.08, 0.24), 1)
    119.5
    """
    _check_positive("value at 12 %", dry)
    _check_positive("green value", green)
    if not 0.0 <= moisture <= 3.0:
        raise ValueError(f"moisture content must be 0 to 3 as a ratio, not {moisture:g}")
    if not 0.18 <= meeting <= 0.30:
        raise ValueError(f"meeting moisture content must be 0.18 to 0.30 as a ratio, not {meeting:g}")
    if moisture >= meeting:
        return green
    return float(dry * (dry / green) ** ((0.12 - moisture) / (meeting - 0.12)))


_SLOPES: tuple[tuple[float, float, float, float], ...] = (
    (0.0, 1.00, 1.00, 1.00),
    (1.0 / 25.0, 0.96, 0.95, 1.00),
    (1.0 / 20.0, 0.93, 0.90, 1.00),
    (1.0 / 15.0, 0.89, 0.81, 1.00),
    (1.0 / 10.0, 0.81, 0.62, 0.99),
    (1.0 / 5.0, 0.55, 0.36, 0.93),
)
SLOPE_COLUMNS: Mapping[str, int] = {"bending": 1, "impact": 2, "compression": 3}


def share_left_by_slope(slope: float, kind: str = "bending") -> float:
    """Share of straight-grained strength left when the grain slopes.

    Parameters
    ----------
    slope : float
        Slope of grain, 0.1 for 1 in 10 [-]
    kind : str
        ``bending``, ``impact`` or ``compression`` (along the grain) [text]

    Returns
    -------
    float
        Share left as a ratio; between printed slopes on a straight line [-]

    Raises
    ------
    ValueError
        If the slope is outside 0 to 0.2 or the kind is not one of the three.

    Notes
    -----
    Valid to 1 in 5. A second source gives 78 % in bending at 1 in 10 (ANC-18, Table 2-4, read).

    Source: Wood Handbook 2010, Table 5-12 (from memory).

    Examples
    --------
    >>> share_left_by_slope(0.1)
    0.81
    """
    column = SLOPE_COLUMNS.get(kind)
    if column is None:
        raise ValueError(f"kind must be one of {', '.join(SLOPE_COLUMNS)}, not '{kind}'")
    if not 0.0 <= slope <= 0.2 + _EDGE:
        raise ValueError(f"slope must be 0 to 0.2 (1 in 5), not {slope:g}")
    for lower, upper in zip(_SLOPES, _SLOPES[1:], strict=False):
        if slope <= upper[0] + _EDGE:
            part = (slope - lower[0]) / (upper[0] - lower[0])
            return round(lower[column] + part * (upper[column] - lower[column]), 12)
    return _SLOPES[-1][column]


def stiffness_change_by_temperature(temperature: float, green: bool = False) -> float:
    r"""Change of the modulus of elasticity of lumber against 21 degrees C (70 F).

    .. math:: \Delta = (7.8553 - 0.1108\,T_F)/100 \quad\text{or green}\quad (13.1215 - 0.1793\,T_F)/100

    Parameters
    ----------
    temperature : float
        Temperature, taken to Fahrenheit for :math:`T_F` [degC]
    green : bool
        Whether the wood is green, else at 12 % MC [-]

    Returns
    -------
    float
        Change as a ratio, negative for softer [-]

    Raises
    ------
    ValueError
        If the temperature is outside -26.1 to 65.6 degrees C, or below 0 for green wood.

    Notes
    -----
    Valid for lumber and quick changes, undone on cooling; long heat does lasting harm.

    Source: Wood Handbook 2021, Table 5-16, p. 5-37 (read).

    Examples
    --------
    >>> round(stiffness_change_by_temperature(37.7778), 4)
    -0.0322
    """
    lowest = 0.0 if green else -26.2
    if not lowest <= temperature <= 65.6:
        raise ValueError(f"temperature must be {lowest:g} to 65.6 degrees C, not {temperature:g}")
    fahrenheit = temperature * 1.8 + 32.0
    if green:
        return (13.1215 - 0.1793 * fahrenheit) / 100.0
    return (7.8553 - 0.1108 * fahrenheit) / 100.0


def design_stress(mean: float, variation: float, divisor: float, strength_ratio: float = 1.0) -> float:
    r"""Stress to design with, from the mean of small clear specimens.

    .. math:: f = \frac{\bar{x}\,(1 - 1.645\,V)\,r}{d}

    Parameters
    ----------
    mean : float
        Mean strength of clear wood :math:`\bar{x}` [MPa]
    variation : float
        Coefficient of variation :math:`V` as a ratio, 0.16 for bending [-]
    divisor : float
        Divisor :math:`d` for load duration and safety, 2.1 softwood or 2.3 hardwood in bending [-]
    strength_ratio : float
        Share left :math:`r` for grain and knots as a ratio, 1 for clear straight grain [-]

    Returns
    -------
    float
        Stress under a ten-year load [MPa]

    Raises
    ------
    ValueError
        If a value is out of its range.

    Notes
    -----
    Valid for planning furniture. It stands in for no building code: where a failure can hurt someone, have a
    licensed engineer look at it.

    Source: ASTM D2555 and ASTM D245 (factors from memory).

    Examples
    --------
    White oak in bending, clear and straight:

    >>> round(design_stress(105.0, 0.16, 2.3), 1)
    33.6
    """
    _check_positive("mean strength", mean)
    if not 0.0 <= variation <= 0.5:
        raise ValueError(f"variation must be 0 to 0.5 as a ratio, not {variation:g}")
    if not 0.5 <= divisor <= 10.0:
        raise ValueError(f"divisor must be 0.5 to 10, not {divisor:g}")
    if not 0.0 < strength_ratio <= 1.0:
        raise ValueError(f"strength ratio must be above 0 and at most 1, not {strength_ratio:g}")
    return mean * (1.0 - 1.645 * variation) * strength_ratio / divisor
