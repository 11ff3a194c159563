"""Specific gravity, density and how much water wood can hold."""

from __future__ import annotations

from dataclasses import replace

from batchwright.base.source import Mark, Source
from batchwright.handbook.moisture import FIBRE_SATURATION
from batchwright.handbook.published import Published
from batchwright.handbook.species import Species, value_of

CELL_WALL_GRAVITY = 1.54
WATER_DENSITY = 1000.0


def _check(what: str, value: float, low: float, high: float) -> None:
    if not low < value <= high:
        raise ValueError(f"{what} must be above {low:g} and at most {high:g}, not {value:g}")


def _check_moisture(moisture: float) -> None:
    if not 0.0 <= moisture <= 3.0:
        raise ValueError(f"moisture content must be 0 to 3 as a ratio, not {moisture:g}")


def most_moisture(basic_gravity: float) -> float:
    r"""Moisture content of wood whose cells are full of water.

    .. math:: M_{max} = \frac{1.54 - G_b}{1.54\,G_b}

    Parameters
    ----------
    basic_gravity : float
        Specific gravity on green volume :math:`G_b` [-]

    Returns
    -------
    float
        Moisture content as a ratio [-]

    Raises
    ------
    ValueError
        If the gravity is not above 0 and at most 1.54.

    Notes
    -----
    Valid for whole wood without air; the 1.54 is the gravity of the cell wall.

    Source: Wood Handbook 2021, eq. 4-3 (read). The two printed anchors fit an older constant of 1.5.

    Examples
    --------
    >>> round(most_moisture(0.30), 3)
    2.684
    """
    _check("specific gravity", basic_gravity, 0.0, CELL_WALL_GRAVITY)
    return (CELL_WALL_GRAVITY - basic_gravity) / (CELL_WALL_GRAVITY * basic_gravity)


def sinking_moisture(basic_gravity: float) -> float:
    r"""Moisture content at which wood sinks in water.

    .. math:: M_{sink} = \frac{1 - G_b}{G_b}

    Parameters
    ----------
    basic_gravity : float
        Specific gravity on green volume :math:`G_b` [-]

    Returns
    -------
    float
        Moisture content as a ratio [-]

    Raises
    ------
    ValueError
        If the gravity is not above 0 and at most 1.

    Notes
    -----
    Valid above the fibre saturation point, where the green volume holds.

    Source: Wood Handbook 2021, eq. 4-4 (read).

    Examples
    --------
    >>> round(sinking_moisture(0.60), 3)
    0.667
    """
    _check("specific gravity", basic_gravity, 0.0, 1.0)
    return (1.0 - basic_gravity) / basic_gravity


def gravity_at(basic_gravity: float, moisture: float, volumetric_shrinkage: float) -> float:
    r"""Specific gravity on the volume at a moisture content.

    .. math:: G_x = \frac{G_b}{1 - S_0 (1 - x/0.30)}

    Parameters
    ----------
    basic_gravity : float
        Specific gravity on green volume :math:`G_b` [-]
    moisture : float
        Moisture content :math:`x` as a ratio [-]
    volumetric_shrinkage : float
        Shrinkage green to oven-dry :math:`S_0` as a ratio of green volume [-]

    Returns
    -------
    float
        Oven-dry mass over volume at that moisture content, water = 1 [-]

    Raises
    ------
    ValueError
        If gravity, moisture or shrinkage is out of its range.

    Notes
    -----
    Valid below the fibre saturation point of 30 % MC; above it the green value holds.

    Source: Wood Handbook 2021, eq. 4-11 (read).

    Examples
    --------
    White oak, green gravity 0.60, volumetric shrinkage 16.3 %, at 12 % MC:

    >>> round(gravity_at(0.60, 0.12, 0.163), 3)
    0.665
    """
    _check("specific gravity", basic_gravity, 0.0, CELL_WALL_GRAVITY)
    _check_moisture(moisture)
    _check("volumetric shrinkage", volumetric_shrinkage, 0.0, 0.5)
    dryness = max(0.0, 1.0 - moisture / FIBRE_SATURATION)
    return basic_gravity / (1.0 - volumetric_shrinkage * dryness)


def gravity_estimated(basic_gravity: float, moisture: float) -> float:
    r"""Specific gravity on the volume at a moisture content where no shrinkage is published.

    .. math:: G_x = \frac{G_b}{1 - 0.265\,G_b (1 - x/0.30)}

    Parameters
    ----------
    basic_gravity : float
        Specific gravity on green volume :math:`G_b` [-]
    moisture : float
        Moisture content :math:`x` as a ratio [-]

    Returns
    -------
    float
        Oven-dry mass over volume at that moisture content, water = 1 [-]

    Raises
    ------
    ValueError
        If gravity or moisture is out of its range.

    Notes
    -----
    Valid below the fibre saturation point; shrinkage is taken as 26.5 % times the gravity, a mean of woods.

    Source: Wood Handbook 2021, eq. 4-13 (read).

    Examples
    --------
    >>> round(gravity_estimated(0.55, 0.12), 3)
    0.603
    """
    return gravity_at(basic_gravity, moisture, 0.265 * basic_gravity)


def density(gravity: float, moisture: float) -> float:
    r"""Mass of wood with its water over its volume.

    .. math:: \rho = \rho_w G_x (1 + x)

    Parameters
    ----------
    gravity : float
        Specific gravity on the volume at this moisture content :math:`G_x` [-]
    moisture : float
        Moisture content :math:`x` as a ratio [-]

    Returns
    -------
    float
        Density [kg/m3]

    Raises
    ------
    ValueError
        If gravity or moisture is out of its range.

    Notes
    -----
    Valid at any moisture content, given the gravity that belongs to it. Water is taken as 1000 kg/m3.

    Source: Wood Handbook 2021, eq. 4-14 (read).

    Examples
    --------
    White oak at 12 % MC:

    >>> round(density(0.68, 0.12), 1)
    761.6
    """
    _check("specific gravity", gravity, 0.0, CELL_WALL_GRAVITY)
    _check_moisture(moisture)
    return WATER_DENSITY * gravity * (1.0 + moisture)


def gravity_of(species: Species, moisture: float) -> Published:
    """Specific gravity of a wood on its volume at a moisture content, by the best published way.

    Parameters
    ----------
    species : Species
        The wood [-]
    moisture : float
        Moisture content as a ratio [-]

    Returns
    -------
    Published
        Oven-dry mass over volume, None if the table has none; its note says how it was worked [-]

    Raises
    ------
    ValueError
        If the moisture is out of its range.

    Notes
    -----
    Valid below the fibre saturation point; at 12 % MC the printed value is given as it stands, else eq. 4-11
    from the green value and volumetric shrinkage, else the 12 % value. The printed 12 % value of a wood and
    eq. 4-11 differ by about 2 %.

    Source: Wood Handbook 2021, Tables 5-3b and 5-5b, eq. 4-11 and eq. 4-13 (read).

    Examples
    --------
    >>> from batchwright.handbook.species import species_named
    >>> gravity_of(species_named("white oak"), 0.12).value
    0.68
    """
    _check_moisture(moisture)
    dry, green = value_of(species, "sg_12"), value_of(species, "sg_green")
    shrinkage = value_of(species, "shrink_volumetric")
    if dry.value is not None and abs(moisture - 0.12) < 1e-9:
        return dry
    if green.value is None or shrinkage.value is None:
        return replace(dry, note="the 12 % value, without a green value and shrinkage to move it by")
    value = gravity_at(green.value, moisture, shrinkage.value)
    source = Source(text="Wood Handbook 2021", mark=Mark.DERIVED, where="eq. 4-11")
    return Published(value=value, unit="-", source=source, note=f"from {green.source} and {shrinkage.source}")
