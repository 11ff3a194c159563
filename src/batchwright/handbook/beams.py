"""Straight beams of one section: deflection, bending stress, shear stress. Published cases only."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

SHEAR_TO_STIFFNESS = 1.0 / 16.0
"""Shear modulus over modulus of elasticity where none is measured, Wood Handbook 2021, eq. 9-9 text (read)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamCase:
    """How a beam is held and loaded, with its constants of bending and of shear deflection."""

    name: str
    where: str
    bending: float
    shear: float
    moment: float
    """Largest bending moment over load times span."""


_CASES = (
    BeamCase(name="supported, even load", where="middle", bending=5 / 384, shear=1 / 8, moment=1 / 8),
    BeamCase(name="clamped, even load", where="middle", bending=1 / 384, shear=1 / 8, moment=1 / 12),
    BeamCase(name="supported, load in the middle", where="middle", bending=1 / 48, shear=1 / 4, moment=1 / 4),
    BeamCase(name="clamped, load in the middle", where="middle", bending=1 / 192, shear=1 / 4, moment=1 / 8),
    BeamCase(name="supported, loads at quarter points", where="middle", bending=11 / 768, shear=1 / 8,
             moment=1 / 8),
    BeamCase(name="overhang, even load", where="free end", bending=1 / 8, shear=1 / 2, moment=1 / 2),
    BeamCase(name="overhang, load at the end", where="free end", bending=1 / 3, shear=1.0, moment=1.0),
)  # fmt: skip
BEAM_CASES: Mapping[str, BeamCase] = {each.name: each for each in _CASES}


@dataclass(frozen=True, slots=True, kw_only=True)
class Beam:
    """A beam of rectangular section: span, width and depth [mm], modulus of elasticity [MPa]."""

    case: BeamCase
    span: float
    width: float
    depth: float
    modulus: float


def _check_positive(what: str, value: float) -> None:
    if not (value > 0.0 and math.isfinite(value)):
        raise ValueError(f"{what} must be above 0, not {value:g}")


def _check_beam(beam: Beam) -> None:
    sizes = (("span", beam.span), ("width", beam.width), ("depth", beam.depth), ("modulus", beam.modulus))
    for what, value in sizes:
        _check_positive(what, value)


def section_modulus(width: float, depth: float) -> float:
    r"""Section modulus of a rectangle.

    .. math:: S = b h^2 / 6

    Parameters
    ----------
    width : float
        Width :math:`b`, square to the load [mm]
    depth : float
        Depth :math:`h`, along the load [mm]

    Returns
    -------
    float
        Section modulus [mm^3]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for solid rectangles.

    Source: Wood Handbook 2021, eq. 9-13 (read).

    Examples
    --------
    >>> section_modulus(90.0, 40.0)
    24000.0
    """
    _check_positive("width", width)
    _check_positive("depth", depth)
    return width * depth**2 / 6.0


def bending_stress(moment: float, width: float, depth: float) -> float:
    r"""Bending stress at the edge of a rectangle.

    .. math:: f_b = 6 M / (b h^2)

    Parameters
    ----------
    moment : float
        Bending moment :math:`M` [N mm]
    width : float
        Width :math:`b`, square to the load [mm]
    depth : float
        Depth :math:`h`, along the load [mm]

    Returns
    -------
    float
        Stress at the edge [MPa]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for straight elastic beams of one section.

    Source: Wood Handbook 2021, eq. 9-13 (read).

    Examples
    --------
    1000 N in the middle of 1200 mm, on 90 by 40:

    >>> bending_stress(1000.0 * 1200.0 / 4.0, 90.0, 40.0)
    12.5
    """
    return moment / section_modulus(width, depth)


def shear_stress(shear: float, width: float, depth: float) -> float:
    r"""Largest shear stress in a rectangle.

    .. math:: f_v = \frac{3}{2}\frac{V}{b h}

    Parameters
    ----------
    shear : float
        Shear force :math:`V` [N]
    width : float
        Width :math:`b` [mm]
    depth : float
        Depth :math:`h` [mm]

    Returns
    -------
    float
        Stress in mid-depth [MPa]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for straight beams without notches.

    Source: Wood Handbook 2021, eq. 9-14 (read).

    Examples
    --------
    >>> round(shear_stress(5000.0, 40.0, 90.0), 3)
    2.083
    """
    _check_positive("width", width)
    _check_positive("depth", depth)
    return 1.5 * shear / (width * depth)


def deflection(beam: Beam, load: float, with_shear: bool = True) -> float:
    r"""Deflection of a beam under its whole load, bending and shear together.

    .. math:: \delta = \frac{k_b W L^3}{E I} + \frac{k_s W L}{G A'},\quad A' = \tfrac{5}{6} b h

    Parameters
    ----------
    beam : Beam
        How it is held, span, section and modulus [mm, MPa]
    load : float
        Whole load on the beam :math:`W` [N]
    with_shear : bool
        Whether shear is counted, with a shear modulus of E/16 [-]

    Returns
    -------
    float
        Deflection where the case says, positive downwards [mm]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for small deflections of straight elastic beams. Printed moduli of elasticity already hold some shear:
    add 10 % before counting shear, or leave shear out. Creep is left out: long loads give half as much again.

    Source: Wood Handbook 2021, eq. 9-2, eq. 9-4 and Table 9-1 (read).

    Examples
    --------
    1000 N in the middle of 1200 mm, on 90 by 40, E = 12 300 MPa:

    >>> case = BEAM_CASES["supported, load in the middle"]
    >>> beam = Beam(case=case, span=1200.0, width=90.0, depth=40.0, modulus=12_300.0)
    >>> round(deflection(beam, 1000.0), 2)
    6.23
    """
    _check_beam(beam)
    inertia = beam.width * beam.depth**3 / 12.0
    bending = beam.case.bending * load * beam.span**3 / (beam.modulus * inertia)
    if not with_shear:
        return bending
    area = 5.0 / 6.0 * beam.width * beam.depth
    return bending + beam.case.shear * load * beam.span / (beam.modulus * SHEAR_TO_STIFFNESS * area)


def largest_moment(beam: Beam, load: float) -> float:
    r"""Largest bending moment of a beam.

    .. math:: M = k_m W L

    Parameters
    ----------
    beam : Beam
        How it is held, span, section and modulus [mm, MPa]
    load : float
        Whole load on the beam :math:`W` [N]

    Returns
    -------
    float
        Bending moment, without its sign [N mm]

    Raises
    ------
    ValueError
        If a size is not positive.

    Notes
    -----
    Valid for straight elastic beams of one section.

    Source: closed form, statics of the cases of Wood Handbook 2021, Table 9-1.

    Examples
    --------
    >>> case = BEAM_CASES["supported, load in the middle"]
    >>> largest_moment(Beam(case=case, span=1200.0, width=90.0, depth=40.0, modulus=12_300.0), 1000.0)
    300000.0
    """
    _check_beam(beam)
    return beam.case.moment * load * beam.span
