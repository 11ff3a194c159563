"""Screws, nails, bolts and dowels in wood: loads at which they fail or begin to give. Not working loads."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from batchwright.handbook.strength_tables import modifiers


def _check(diameter: float, length: float, gravity: float) -> None:
    for what, value in (("diameter", diameter), ("length", length)):
        if not (value > 0.0 and math.isfinite(value)):
            raise ValueError(f"{what} must be above 0, not {value:g}")
    _check_gravity(gravity)


def _check_gravity(gravity: float) -> None:
    if not 0.2 <= gravity <= 1.2:
        raise ValueError(f"specific gravity must be 0.2 to 1.2, not {gravity:g}")


def screw_withdrawal(diameter: float, thread: float, gravity: float) -> float:
    r"""Load that pulls a wood screw out of side grain.

    .. math:: p = 108.25\,G^2 D L

    Parameters
    ----------
    diameter : float
        Shank diameter :math:`D` [mm]
    thread : float
        Length of thread in the wood :math:`L` [mm]
    gravity : float
        Specific gravity, oven-dry mass over volume at 12 % MC :math:`G` [-]

    Returns
    -------
    float
        Load at failure, not a working load [N]

    Raises
    ------
    ValueError
        If a size is not positive or the gravity outside 0.2 to 1.2.

    Notes
    -----
    Valid for lead holes of about 70 % of the root diameter in softwood and 90 % in hardwood. A working load is
    about one sixth. In end grain count on nothing.

    Source: Wood Handbook 2021, eq. 8-10 (read).

    Examples
    --------
    A number 10 screw, 25 mm of thread in white oak:

    >>> round(screw_withdrawal(4.83, 25.0, 0.68))
    6044
    """
    _check(diameter, thread, gravity)
    return 108.25 * gravity**2 * diameter * thread


def nail_withdrawal(diameter: float, length: float, gravity: float) -> float:
    r"""Load that pulls a smooth nail out of side grain.

    .. math:: p = 54.12\,G^{2.5} D L

    Parameters
    ----------
    diameter : float
        Shank diameter :math:`D` [mm]
    length : float
        Length in the wood that holds the point :math:`L` [mm]
    gravity : float
        Specific gravity, oven-dry mass over volume at 12 % MC :math:`G` [-]

    Returns
    -------
    float
        Load at failure, not a working load [N]

    Raises
    ------
    ValueError
        If a size is not positive or the gravity outside 0.2 to 1.2.

    Notes
    -----
    Valid soon after driving into dry wood that stays dry; it falls when wood dries or wets again.

    Source: Wood Handbook 2021, eq. 8-1 (read).

    Examples
    --------
    An 8d nail, 38 mm deep, G = 0.48:

    >>> round(nail_withdrawal(3.33, 38.0, 0.48))
    1093
    """
    _check(diameter, length, gravity)
    return float(54.12 * gravity**2.5 * diameter * length)


def lag_screw_withdrawal(diameter: float, thread: float, gravity: float) -> float:
    r"""Load that pulls a lag screw out of side grain.

    .. math:: p = 125.4\,G^{1.5} D^{0.75} L

    Parameters
    ----------
    diameter : float
        Shank diameter :math:`D` [mm]
    thread : float
        Length of thread in the wood :math:`L` [mm]
    gravity : float
        Specific gravity, oven-dry mass over volume at 12 % MC :math:`G` [-]

    Returns
    -------
    float
        Load at failure, not a working load [N]

    Raises
    ------
    ValueError
        If a size is not positive or the gravity outside 0.2 to 1.2.

    Notes
    -----
    Valid for drilled holes that fit the shank and the thread's root.

    Source: Wood Handbook 2021, eq. 8-14 (read).

    Examples
    --------
    >>> round(lag_screw_withdrawal(7.9, 40.0, 0.68), -1)
    13250.0
    """
    _check(diameter, thread, gravity)
    return float(125.4 * gravity**1.5 * diameter**0.75 * thread)


def drift_bolt_withdrawal(diameter: float, length: float, gravity: float) -> float:
    r"""Load that pulls a drift bolt out of side grain.

    .. math:: p = 45.51\,G^2 D L

    Parameters
    ----------
    diameter : float
        Diameter :math:`D` [mm]
    length : float
        Length in the wood :math:`L` [mm]
    gravity : float
        Specific gravity, oven-dry mass over volume at 12 % MC :math:`G` [-]

    Returns
    -------
    float
        Load at failure, not a working load [N]

    Raises
    ------
    ValueError
        If a size is not positive or the gravity outside 0.2 to 1.2.

    Notes
    -----
    Valid for holes 3.2 mm smaller than the bolt.

    Source: Wood Handbook 2021, eq. 8-9 (read).

    Examples
    --------
    >>> round(drift_bolt_withdrawal(12.7, 100.0, 0.68), -2)
    26700.0
    """
    _check(diameter, length, gravity)
    return 45.51 * gravity**2 * diameter * length


def dowel_bearing(gravity: float) -> float:
    r"""Bearing strength of wood under a dowel.

    .. math:: F_e = 114.5\,G^{1.84}

    Parameters
    ----------
    gravity : float
        Specific gravity, oven-dry :math:`G` [-]

    Returns
    -------
    float
        Bearing strength [MPa]

    Raises
    ------
    ValueError
        If the gravity is outside 0.2 to 1.2.

    Notes
    -----
    Valid for nails and small dowels, whatever the grain.

    Source: Wood Handbook 2021, eq. 8-3 (read).

    Examples
    --------
    >>> round(dowel_bearing(0.68), 1)
    56.3
    """
    _check_gravity(gravity)
    return float(114.5 * gravity**1.84)


@dataclass(frozen=True, slots=True, kw_only=True)
class LateralBand:
    """Coefficients of side load for one band of woods (units N and mm): nails, screws, lag screws."""

    wood_type: str
    low: float
    high: float
    nail: float
    screw: float
    lag_screw: float


@cache
def _bands() -> tuple[LateralBand, ...]:
    bands = []
    for row in modifiers("fastener"):
        if row.item != "lateral load coefficient K":
            continue
        wood, span = row.condition.split(", G ")
        low, high = (float(each) for each in span.split("-"))
        nail, screw, lag = (float(each) for each in row.value_text.split(";"))
        bands.append(LateralBand(wood_type=wood, low=low, high=high, nail=nail, screw=screw, lag_screw=lag))
    return tuple(bands)


def screw_side_load(diameter: float, gravity: float, hardwood: bool = True) -> float:
    r"""Side load at which a wood screw begins to give.

    .. math:: p = K D^2

    Parameters
    ----------
    diameter : float
        Shank diameter :math:`D` [mm]
    gravity : float
        Specific gravity of the wood, which picks :math:`K` [-]
    hardwood : bool
        Whether the wood is a hardwood [-]

    Returns
    -------
    float
        Load at the proportional limit, not a working load [N]

    Raises
    ------
    ValueError
        If the diameter is not positive or the table has no coefficient for the gravity.

    Notes
    -----
    Valid for side grain and 7 diameters in the main piece; hardwood of G 0.33 to 0.74, softwood 0.29 to 0.52.

    Source: Wood Handbook 2021, eq. 8-13 and Table 8-4 (read).

    Examples
    --------
    >>> round(screw_side_load(4.83, 0.60), -1)
    1030.0
    """
    if not diameter > 0.0:
        raise ValueError(f"diameter must be above 0, not {diameter:g}")
    wood = "hardwood" if hardwood else "softwood"
    for band in _bands():
        if band.wood_type == wood and band.low <= round(gravity, 2) <= band.high:
            return band.screw * diameter**2
    raise ValueError(f"no coefficient is printed for {wood} of specific gravity {gravity:g}")


def screw_diameter(gauge: int) -> float:
    """Shank diameter of a wood screw by its gauge number.

    Parameters
    ----------
    gauge : int
        Gauge, 4 to 24 [-]

    Returns
    -------
    float
        Shank diameter [mm]

    Raises
    ------
    ValueError
        If the table has no such gauge.

    Notes
    -----
    Valid for common wood screws; measure the screw in hand before drilling for it.

    Source: Wood Handbook 2021, Table 8-9, p. 8-12 (read).

    Examples
    --------
    >>> screw_diameter(10)
    4.83
    """
    sizes = {row.condition: row.value for row in modifiers("fastener") if row.item == "wood screw shank diameter"}
    value = sizes.get(f"gauge {gauge}")
    if value is None:
        known = ", ".join(each.removeprefix("gauge ") for each in sizes)
        raise ValueError(f"gauge must be one of {known}, not {gauge}")
    return value


def lag_screw_across_grain(diameter: float) -> float:
    """Factor on the side load of a lag screw that pushes across the grain.

    Parameters
    ----------
    diameter : float
        Shank diameter [mm]

    Returns
    -------
    float
        Factor; between printed diameters on a straight line [-]

    Raises
    ------
    ValueError
        If the diameter is outside 4.8 to 25.4 mm.

    Notes
    -----
    Valid for the printed diameters, 4.8 to 25.4 mm.

    Source: Wood Handbook 2021, Table 8-11, p. 8-13 (read).

    Examples
    --------
    >>> lag_screw_across_grain(9.5)
    0.76
    """
    points = sorted(
        (float(row.condition.split()[1]), row.value or 0.0)
        for row in modifiers("fastener")
        if row.item == "lag screw lateral load across grain factor"
    )
    for (low, first), (high, second) in zip(points, points[1:], strict=False):
        if low <= diameter <= high:
            return first + (second - first) * (diameter - low) / (high - low)
    raise ValueError(f"diameter must be {points[0][0]:g} to {points[-1][0]:g} mm, not {diameter:g}")
