"""How much wood swells and shrinks: by coefficient from 6 to 14 % MC, by shrinkage beyond."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from batchwright.base.source import Mark, Source
from batchwright.handbook.moisture import FIBRE_SATURATION
from batchwright.handbook.published import GapError, Published
from batchwright.handbook.species import Species, value_of

LOWEST_BY_COEFFICIENT = 0.06
HIGHEST_BY_COEFFICIENT = 0.14
_EDGE = 1e-9


class Cut(Enum):
    """How a board was sawn out of the log: how its rings lie to its face."""

    FLAT = "flat"
    RIFT = "rift"
    QUARTER = "quarter"


class Across(Enum):
    """Which size of a board moves: its width (in the face) or its thickness (square to the face)."""

    WIDTH = "width"
    THICKNESS = "thickness"


RING_ANGLES = {Cut.FLAT: 0.0, Cut.RIFT: math.pi / 4.0, Cut.QUARTER: math.pi / 2.0}
RING_SOURCE = Source(
    text="closed form", mark=Mark.DERIVED, where="strain turned by the ring angle, rift taken at 45 degrees"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """Change of a size [mm], growth positive, with the equation that gave it and what it rests on."""

    change: float
    equation: str
    sources: tuple[Source, ...]
    notes: tuple[str, ...] = ()


def _check_range(moisture: float, low: float, high: float) -> None:
    if not low - _EDGE <= moisture <= high + _EDGE:
        raise ValueError(f"moisture content must be {low:g} to {high:g} as a ratio here, not {moisture:g}")


def _check_positive(what: str, value: float) -> None:
    if not value > 0.0:
        raise ValueError(f"{what} must be above 0, not {value:g}")


def _check_ring_angle(ring_angle: float) -> None:
    if not -_EDGE <= ring_angle <= math.pi / 2.0 + _EDGE:
        raise ValueError(f"ring angle must be 0 to pi/2 radians, not {ring_angle:g}")


def change_by_coefficient(size: float, coefficient: float, mc_from: float, mc_to: float) -> float:
    r"""Change of a size between two moisture contents, by the dimensional change coefficient.

    .. math:: \Delta D = D_I\,C\,(M_F - M_I)

    Parameters
    ----------
    size : float
        Size at the first moisture content :math:`D_I` [mm]
    coefficient : float
        Dimensional change coefficient :math:`C`, fraction of the size for 1 % of moisture content [1/%]
    mc_from : float
        First moisture content :math:`M_I` as a ratio, 0.06 to 0.14 [-]
    mc_to : float
        Second moisture content :math:`M_F` as a ratio, 0.06 to 0.14 [-]

    Returns
    -------
    float
        Change of the size, growth positive [mm]

    Raises
    ------
    ValueError
        If the size or coefficient is not positive, or a moisture content is outside 0.06 to 0.14.

    Notes
    -----
    Valid from 6 to 14 % MC; outside it `change_by_shrinkage` is the published way.

    Source: Wood Handbook 2010, eq. 13-2 and Table 13-5 (read), worked example p. 13-17.

    Examples
    --------
    Flat-sawn white oak 300 mm wide, from 6 to 14 % MC:

    >>> round(change_by_coefficient(300.0, 0.00365, 0.06, 0.14), 2)
    8.76
    """
    _check_positive("size", size)
    _check_positive("coefficient", coefficient)
    for moisture in (mc_from, mc_to):
        _check_range(moisture, LOWEST_BY_COEFFICIENT, HIGHEST_BY_COEFFICIENT)
    return size * coefficient * 100.0 * (mc_to - mc_from)


def change_by_shrinkage(size: float, shrinkage: float, mc_from: float, mc_to: float) -> float:
    r"""Change of a size between two moisture contents, by the shrinkage from green to oven-dry.

    .. math:: \Delta D = \frac{D_I (M_F - M_I)}{0.30/S - 0.30 + M_I}

    Parameters
    ----------
    size : float
        Size at the first moisture content :math:`D_I` [mm]
    shrinkage : float
        Shrinkage green to oven-dry :math:`S` as a ratio of the green size [-]
    mc_from : float
        First moisture content :math:`M_I` as a ratio, 0 to 0.30 [-]
    mc_to : float
        Second moisture content :math:`M_F` as a ratio, 0 to 0.30 [-]

    Returns
    -------
    float
        Change of the size, growth positive [mm]

    Raises
    ------
    ValueError
        If the size is not positive, the shrinkage outside 0 to 0.5, or a moisture content outside 0 to 0.30.

    Notes
    -----
    Valid from oven-dry to the fibre saturation point of 30 % MC; above it wood does not move.

    Source: Wood Handbook 2010, eq. 13-3 (rule read, form of the equation from memory).

    Examples
    --------
    100 mm of green white oak along the rings, dried to 8 % MC:

    >>> round(change_by_shrinkage(100.0, 0.105, 0.30, 0.08), 2)
    -7.7
    """
    _check_positive("size", size)
    if not 0.0 < shrinkage < 0.5:
        raise ValueError(f"shrinkage must be above 0 and below 0.5 as a ratio, not {shrinkage:g}")
    for moisture in (mc_from, mc_to):
        _check_range(moisture, 0.0, FIBRE_SATURATION)
    return size * (mc_to - mc_from) / (FIBRE_SATURATION / shrinkage - FIBRE_SATURATION + mc_from)


def shrinkage_to(shrinkage: float, moisture: float, fibre_saturation: float = FIBRE_SATURATION) -> float:
    r"""Shrinkage of green wood when dried to a moisture content.

    .. math:: S_x = S_0\left(1 - \frac{x}{M_{fs}}\right)

    Parameters
    ----------
    shrinkage : float
        Shrinkage green to oven-dry :math:`S_0` as a ratio of the green size [-]
    moisture : float
        Moisture content :math:`x` as a ratio [-]
    fibre_saturation : float
        Fibre saturation point :math:`M_{fs}` as a ratio, usually 0.30 [-]

    Returns
    -------
    float
        Shrinkage from green, as a ratio of the green size [-]

    Raises
    ------
    ValueError
        If a ratio is out of its range.

    Notes
    -----
    Valid below the fibre saturation point; above it there is no shrinkage and 0 is returned.

    Source: Wood Handbook 2021, eq. 4-9 and Tables 4-3 and 4-4 (read).

    Examples
    --------
    White oak along the rings, 10.5 % in all, dried to 12 % MC:

    >>> round(shrinkage_to(0.105, 0.12), 4)
    0.063
    """
    if not 0.0 < shrinkage < 0.5:
        raise ValueError(f"shrinkage must be above 0 and below 0.5 as a ratio, not {shrinkage:g}")
    _check_range(moisture, 0.0, 3.0)
    if not 0.1 <= fibre_saturation <= 0.5:
        raise ValueError(f"fibre saturation must be 0.1 to 0.5 as a ratio, not {fibre_saturation:g}")
    return shrinkage * max(0.0, 1.0 - moisture / fibre_saturation)


def turned_to_rings(tangential: float, radial: float, ring_angle: float) -> float:
    r"""Movement in a direction between along the rings and across them.

    .. math:: C = C_T\cos^2\theta + C_R\sin^2\theta

    Parameters
    ----------
    tangential : float
        Movement or shrinkage along the rings :math:`C_T` [any]
    radial : float
        Movement or shrinkage across the rings :math:`C_R` [any]
    ring_angle : float
        Angle :math:`\theta` from the rings to the size that moves; 0 flat-sawn, pi/2 quarter-sawn width [rad]

    Returns
    -------
    float
        Movement in that direction, in the unit given [any]

    Raises
    ------
    ValueError
        If the angle is outside 0 to pi/2.

    Notes
    -----
    Valid for small free movement, the same over the whole width: the rings are taken as straight there.

    Source: closed form (strain turned about the grain; no shear between the two main directions).

    Examples
    --------
    >>> round(turned_to_rings(0.00365, 0.0018, math.pi / 4.0), 6)
    0.002725
    """
    _check_ring_angle(ring_angle)
    return float(tangential * math.cos(ring_angle) ** 2 + radial * math.sin(ring_angle) ** 2)


def ring_angle_of(cut: Cut, across: Across = Across.WIDTH) -> float:
    """Angle from the rings to the size that moves, for a way of sawing.

    Parameters
    ----------
    cut : Cut
        Flat, rift or quarter [-]
    across : Across
        Whether the width or the thickness moves [-]

    Returns
    -------
    float
        Angle, 0 along the rings and pi/2 across them [rad]

    Notes
    -----
    Valid for rings straight across the board. Rift-sawn is any angle from 30 to 60 degrees, taken at 45.

    Source: house rule, rift taken at 45 degrees; the other two by definition.

    Examples
    --------
    >>> round(ring_angle_of(Cut.QUARTER, Across.THICKNESS), 6)
    0.0
    """
    angle = RING_ANGLES[cut]
    return angle if across is Across.WIDTH else math.pi / 2.0 - angle


def _turned(species: Species, family: str, ring_angle: float) -> tuple[float | None, tuple[Published, ...]]:
    """A property turned to the rings, and the published values it rests on; None if one of them is a gap."""
    along = value_of(species, f"{family}_tangential")
    over = value_of(species, f"{family}_radial")
    if ring_angle < _EDGE:
        return along.value, (along,)
    if ring_angle > math.pi / 2.0 - _EDGE:
        return over.value, (over,)
    if along.value is None or over.value is None:
        return None, (along, over)
    return turned_to_rings(along.value, over.value, ring_angle), (along, over)


def movement(size: float, species: Species, ring_angle: float, mc_from: float, mc_to: float) -> Movement:
    """Change of a size of a board between two moisture contents, by the published way that fits.

    Parameters
    ----------
    size : float
        Size at the first moisture content [mm]
    species : Species
        The wood [-]
    ring_angle : float
        Angle from the rings to the size, from `ring_angle_of` or as measured on the end of the board [rad]
    mc_from : float
        First moisture content as a ratio, 0 to 0.30 [-]
    mc_to : float
        Second moisture content as a ratio, 0 to 0.30 [-]

    Returns
    -------
    Movement
        Change, growth positive, with the equation used and its sources [mm]

    Raises
    ------
    GapError
        If neither a coefficient nor a shrinkage is published for the wood.
    ValueError
        If a value is out of its range.

    Notes
    -----
    Valid from 0 to 30 % MC: eq. 13-2 where both moisture contents lie in 6 to 14 % and the wood has a
    coefficient, else eq. 13-3. Rift-sawn is worked by turning the free strain to the ring angle (derived).

    Source: Wood Handbook 2010, eq. 13-2 (read), eq. 13-3 (form from memory), Table 13-5; Wood Handbook 2021,
    Tables 4-3 and 4-4 (see each value's mark).

    Examples
    --------
    >>> from batchwright.handbook.species import species_named
    >>> oak = species_named("white oak")
    >>> answer = movement(300.0, oak, ring_angle_of(Cut.FLAT), 0.06, 0.14)
    >>> round(answer.change, 2), answer.equation
    (8.76, 'eq. 13-2')
    """
    _check_ring_angle(ring_angle)
    inside = all(LOWEST_BY_COEFFICIENT - _EDGE <= each <= HIGHEST_BY_COEFFICIENT + _EDGE for each in (mc_from, mc_to))
    coefficient, rests = _turned(species, "movement", ring_angle)
    if inside and coefficient is not None:
        change = change_by_coefficient(size, coefficient, mc_from, mc_to)
        return _movement(change, "eq. 13-2", rests, ())
    shrinkage, shrinks = _turned(species, "shrink", ring_angle)
    if shrinkage is None:
        raise GapError(f"no movement coefficient and no shrinkage is published for {species.name} this way")
    why = "a moisture content lies outside 6 to 14 %"
    if inside:
        why = f"no movement coefficient is published for {species.name}"
    change = change_by_shrinkage(size, shrinkage, mc_from, mc_to)
    return _movement(change, "eq. 13-3", shrinks, (f"worked from green shrinkage, because {why}",))


def _movement(change: float, equation: str, rests: tuple[Published, ...], notes: tuple[str, ...]) -> Movement:
    mark = Mark.READ if equation == "eq. 13-2" else Mark.MEMORY
    sources = [Source(text="Wood Handbook 2010", mark=mark, where=equation)]
    sources += [each.source for each in rests]
    if len(rests) > 1:
        sources.append(RING_SOURCE)
    told = notes + tuple(each.note for each in rests if each.note)
    return Movement(
        change=change, equation=equation, sources=tuple(dict.fromkeys(sources)), notes=tuple(dict.fromkeys(told))
    )
