"""Pass (a): each statement expanded to the places where its parts meet, at which end, against which face."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace

import numpy as np

from batchwright.base.trace import MISSING
from batchwright.geometry.frame import Array, Vec3, dot, plus, vec3
from batchwright.joinery.meeting.contact import BEFORE, Contact, contact_of
from batchwright.joinery.meeting.standing import Section, Standing, line_at, section_at
from batchwright.joinery.words import Compass
from batchwright.model.draft import JointAsk, JointStatement, Otherwise, PartId
from batchwright.model.piece import JointId
from batchwright.solids.meet import lumps
from batchwright.solids.solid import Solid, shifted

TOUCH = 0.5
"""Parts this near to each other meet [mm]."""
ENDS = 0.30
"""A meeting lies at an end if its middle lies in the first or last share of the part's length."""
THIN = 0.02
"""An overlap thinner than this is a touch [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lap:
    """Where part A lies in (or against) part B: at A's low (-1) or high (+1) end, or in its length (0)."""

    sign: int
    share: float
    """Where its middle lies along A, 0 to 1."""
    points: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One meeting: A's end comes up to B."""

    id: JointId
    statement: JointStatement
    ask: JointAsk
    a: Standing
    b: Standing
    sign: int
    direction: Vec3
    section: Section
    contact: Contact
    begins: float
    """Where B begins along the direction [mm]."""
    depth_drawn: float
    """How far A is drawn into B along the direction [mm]."""


def laps_of(a: Standing, b: Standing) -> tuple[Lap, ...]:
    """The places where two parts overlap, or touch within 0.5 mm at an end of A."""
    if not _near(a, b):
        return ()
    pieces = _overlapping(a.solid, b.solid)
    if pieces:
        return _gathered(a, pieces)
    touching: list[Lap] = []
    for sign in (-1, 1):
        out = np.array(a.grain) * sign * (TOUCH + 0.01)
        found = _overlapping(shifted(a.solid, vec3(out)), b.solid)
        touching += [lap for lap in _gathered(a, found) if lap.sign == sign]
    return tuple(touching)


def _near(a: Standing, b: Standing) -> bool:
    (a_low, a_high), (b_low, b_high) = a.solid.bounds, b.solid.bounds
    return bool((a_low <= b_high + TOUCH).all() and (b_low <= a_high + TOUCH).all())


def _overlapping(a: Solid, b: Solid) -> list[Array]:
    """Corner points of each piece of wood in both, thin touches left out."""
    return [lump.corners for lump in lumps(a, b) if lump.volume > THIN * lump.area / 2.0]


def _gathered(a: Standing, pieces: list[Array]) -> tuple[Lap, ...]:
    """Pieces at the same end are one meeting."""
    by_sign: dict[int, list[Array]] = {}
    for points in pieces:
        by_sign.setdefault(_sign(_share(a, points)), []).append(points)
    laps = []
    for sign in sorted(by_sign):
        points = np.vstack(by_sign[sign])
        laps.append(Lap(sign=sign, share=_share(a, points), points=points))
    return tuple(laps)


def _share(a: Standing, points: Array) -> float:
    along = points @ np.array(a.grain)
    return float(((along.min() + along.max()) / 2.0 - a.reach[0]) / a.length)


def _sign(share: float) -> int:
    return -1 if share <= ENDS else (1 if share >= 1.0 - ENDS else 0)


def site_of(pair: tuple[Standing, Standing], lap: Lap, statement: JointStatement, compass: Compass) -> Site | None:
    """The meeting at one end, with its face; None where no sight line of A's section strikes B."""
    a, b = pair
    low, high = lap.points.min(axis=0), lap.points.max(axis=0)
    near = vec3((low + high) / 2.0)
    direction = line_at(a, near, lap.sign)
    along = lap.points @ np.array(direction)
    begins = float(along.min())
    start = plus(near, direction, begins - BEFORE - dot(near, direction))
    section = section_at(a, start, direction, start)
    if section is None:
        return None
    reach = BEFORE + float(np.ptp(along)) + 4.0 * (section.width + section.thickness)
    contact = contact_of(b, section, reach)
    if contact is None:
        return None
    end = compass.word_of(direction)
    return Site(
        id=JointId(f"{a.part.id}, {end} end, into {b.part.id}"),
        statement=statement,
        ask=ask_at(statement, a.part.id, b.part.id, end),
        a=a,
        b=b,
        sign=lap.sign,
        direction=direction,
        section=section,
        contact=contact,
        begins=begins,
        depth_drawn=float(np.ptp(along)),
    )


def first_met(sites: Iterable[Site]) -> tuple[tuple[Site, ...], tuple[Site, ...]]:
    """Of several parts met at one end, the first met going outwards; and the others, which are beyond its shoulder."""
    best: dict[tuple[PartId, int], Site] = {}
    every = sorted(sites, key=lambda site: (round(site.begins, 6), site.b.part.id))
    for site in every:
        best.setdefault((site.a.part.id, site.sign), site)
    kept = tuple(best.values())
    return kept, tuple(site for site in every if site not in kept)


def is_set_in(site: Site) -> bool:
    """Whether the shoulder goes to the deepest point of the face: let in or scribed."""
    return site.ask.shoulder in ("let in", "scribed")


def ask_at(statement: JointStatement, a: PartId, b: PartId, end: str) -> JointAsk:
    """What the maker says of one joint: the statement, then the last exception that fits."""
    fitting = [item for item in statement.exceptions if otherwise_fits(item, a, b, end)]
    return merged(statement.ask, fitting[-1].ask) if fitting else statement.ask


def otherwise_fits(item: Otherwise, a: PartId, b: PartId, end: str) -> bool:
    """Whether an `except` item speaks of this joint."""
    return (not item.at or b in item.at) and (not item.ends or end in item.ends) and (not item.of or a in item.of)


def merged(first: JointAsk, then: JointAsk) -> JointAsk:
    """The first with all that the second says."""
    said = {
        field.name: value
        for field in fields(JointAsk)
        if (value := getattr(then, field.name)) is not MISSING and value != field.default
    }
    return replace(first, **said)
