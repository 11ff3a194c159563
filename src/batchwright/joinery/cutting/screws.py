"""Where screws and buttons go: the bed where two parts lie on one another, points in it, distances to edges."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from batchwright.base.finding import Finding, Grade
from batchwright.base.length import Unit, read_length
from batchwright.base.mend import Mend
from batchwright.base.misread import Misread
from batchwright.base.trace import Missing, Sized
from batchwright.geometry.frame import Array, Frame, Vec3, cross, dot, plus, vec3
from batchwright.handbook.fasteners import screw_diameter
from batchwright.joinery.cutting.fixed import Held
from batchwright.joinery.meeting.probe import exits
from batchwright.joinery.meeting.sites import TOUCH
from batchwright.joinery.meeting.standing import Standing, section_axes, thick_across
from batchwright.joinery.offering import asks
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, place_of
from batchwright.joinery.words import BENCH, at_least, cite, say
from batchwright.model.piece import FixingPoint, Measure
from batchwright.solids.rays import cast_grid
from batchwright.solids.solid import Solid

KEPT = 128
"""Beds kept: those of a few revisions."""
GRID = 25
END_DIAMETERS = 7.0
"""Least distance of a screw from an end, in diameters (common practice, no source)."""
NARROW = 3.0 * 25.4
"""In a crossing shorter than this one screw is enough (common practice, no source) [mm]."""
GAUGES = (4, 5, 6, 7, 8, 9, 10, 12, 14)
"""Numbers of wood screws a shop is likely to have (common practice, no source)."""
THREADS, HOLD = 6.0, 4.0
"""Least length in the second part, in diameters (JR36); below the second it counts as a failure."""
END_GRAIN = np.cos(np.radians(30.0))
PLAIN = "common practice, no source"
WOOD = "wood of the first part under the screw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    """Where A lies on B: the way from A into B, points of A's bed in world (n, 3), A's wood behind each (n,) [mm]."""

    way: Vec3
    points: Array
    wood: Array


def bed_of(held: Held) -> Bed | None:
    """The bed, looked for along A's own axes, its thickness first; None where no sight line finds both faces near."""
    return _bed(_Lies(held.a.solid, held.b.solid, held.a.part.frame, held.a.grain, held))


@dataclass(frozen=True, slots=True)
class _Lies:
    """Two solids of which one may lie on the other, with the first one's drawing frame and grain."""

    a: Solid
    b: Solid
    frame: Frame
    grain: Vec3
    held: Held = field(compare=False)


@lru_cache(maxsize=KEPT)
def _bed(lies: _Lies) -> Bed | None:
    held = lies.held
    a = held.a
    first, second = section_axes(a, a.grain)
    thin = min((first, second), key=lambda axis: thick_across(a, axis))
    wide = second if thin == first else first
    best: Bed | None = None
    for axis in (thin, wide, a.grain):
        for sign in (1.0, -1.0):
            bed = _look(held, (axis[0] * sign, axis[1] * sign, axis[2] * sign))
            if bed is not None and (best is None or len(bed.points) > len(best.points)):
                best = bed
        if best is not None:
            return best
    return None


def _look(held: Held, way: Vec3) -> Bed | None:
    """Sight lines from the far side of A through it on to B."""
    a, b = held.a, held.b
    frame = (a.grain, cross(way, a.grain)) if abs(dot(way, a.grain)) < 0.7 else section_axes(a, way)
    axes = np.array([*frame, way])
    mine, other = a.solid.vertices @ axes.T, b.solid.vertices @ axes.T
    low = np.maximum(mine.min(axis=0), other.min(axis=0))[:2]
    high = np.minimum(mine.max(axis=0), other.max(axis=0))[:2]
    if (high - low < 0.5).any():
        return None
    grid = tuple([np.linspace(lo + 0.05, hi - 0.05, GRID) for lo, hi in zip(low, high)])
    behind = Frame(vec3((mine[:, 2].min() - 1.0) * np.array(way)), *frame, way)
    into_b = cast_grid(b.solid, behind, (grid[0], grid[1]))
    if not into_b.hit.any():
        return None
    into_a = cast_grid(a.solid, behind, (grid[0], grid[1]))
    both = into_a.hit & into_b.hit
    wood = exits(a.solid, into_a.points[both] + 1e-4 * np.array(way), way)
    into, out = into_b.distance[both], into_a.distance[both] + wood
    start = into_a.points[both] - into_a.distance[both, None] * np.array(way)
    near = np.abs(into - out) <= TOUCH
    if not near.any():
        return None
    points = start[near] + out[near, None] * np.array(way)
    return Bed(way=way, points=points, wood=wood[near])


def screw_points(held: Held, bed: Bed) -> tuple[FixingPoint, ...]:
    """Screws spread evenly along the longer way of the bed, on its middle; on A's outer face."""
    count = 1 if isinstance(held.ask.per_crossing, Missing) else held.ask.per_crossing
    along = held.a.grain if abs(dot(bed.way, held.a.grain)) < 0.7 else section_axes(held.a, bed.way)[0]
    axes = np.array([along, cross(bed.way, along)])
    flat = bed.points @ axes.T
    low, high = flat.min(axis=0), flat.max(axis=0)
    longer = int(np.argmax(np.round(high - low, 3)))
    depth = float(np.median(bed.points @ np.array(bed.way)))
    found = []
    for i in range(count):
        place = (low + high) / 2.0
        place[longer] = low[longer] + (i + 0.5) / count * (high[longer] - low[longer])
        nearest = int(np.argmin(np.linalg.norm(flat - place, axis=1)))
        on_bed = place @ axes + depth * np.array(bed.way)
        point = plus(vec3(on_bed), bed.way, -float(bed.wood[nearest]))
        found.append(FixingPoint(point=point, direction=bed.way))
    return tuple(found)


def read_size(text: str, units: str) -> tuple[float, float] | None:
    """Diameter and length [mm] of `no 8 x 1 1/2` or `5 x 40 mm`; None where it says neither."""
    match = re.fullmatch(r"\s*(?:no\s*(?P<gauge>\d+)|(?P<thick>[\d./ ]+(?:mm|in)?))\s*x\s*(?P<long>.+?)\s*", text)
    if match is None:
        return None
    bare = Unit.INCHES if units == "in" else Unit.MILLIMETRES
    length = read_length(match["long"], bare)
    thick: float | Misread
    if match["gauge"]:
        try:
            thick = screw_diameter(int(match["gauge"]))
        except ValueError:
            return None
    else:
        thick = read_length(match["thick"], bare)
    if isinstance(length, Misread) or isinstance(thick, Misread):
        return None
    return thick, length


@dataclass(frozen=True, slots=True)
class _Checked:
    measures: list[Measure]
    findings: list[Finding]


def check_screws(held: Held, bed: Bed, points: tuple[FixingPoint, ...], bench: Bench) -> _Checked:
    """Distances to ends and edges, thread in the second part, end grain, and screws in narrow parts."""
    done = _Checked([], [])
    size = None if isinstance(held.ask.size, Missing) else read_size(held.ask.size, bench.units)
    sunk = 0.0 if isinstance(held.ask.counterbore, Missing) else held.ask.counterbore
    wood = max(float(np.median(bed.wood)) - sunk, 0.0)
    done.measures.append(Measure(name=WOOD, value=wood))
    _edges(held, (points, wood / 2.0), (size[0] if size else 4.0), done, bench)
    if size is not None:
        _thread(held, (size[0], size[1], wood), points, (done, bench))
    row = _crossing(held, bed)
    if len(points) > 1 and 0.0 < row < NARROW:
        done.findings.append(
            _screw(
                held,
                "screws-in-narrow-part",
                Grade.NOTE,
                f"{len(points)} screws a crossing in {held.a.part.id}, which crosses over {say(row, bench.units)}",
                f"one a crossing is enough below {say(NARROW, bench.units)}, and lets it move",
            )
        )
    if abs(dot(bed.way, held.b.grain)) > END_GRAIN:
        done.findings.append(
            _screw(
                held,
                "screw-in-end-grain",
                Grade.FAILS,
                f"the screws of {held.id} go into end grain",
                f"{cite('JR35')}: no withdrawal load there",
            )
        )
    return done


def _crossing(held: Held, bed: Bed) -> float:
    """How long the crossing is, the way the screws stand in it; 0 where they go in along the grain [mm]."""
    if abs(dot(bed.way, held.a.grain)) >= 0.7:
        return 0.0
    flat = bed.points @ np.array([held.a.grain, cross(bed.way, held.a.grain)]).T
    return float(np.ptp(flat, axis=0).max())


def _screw(held: Held, code: str, grade: Grade, what: str, why: str) -> Finding:
    mends = {
        "screws-in-narrow-part": "`per crossing: 1`",
        "screw-in-end-grain": "turn the part, or screw from the other side",
        "screw-comes-through": "a shorter screw, or a counterbore less deep",
    }
    return Finding(
        code=code,
        grade=grade,
        what=what,
        why=why,
        mend=mends.get(code, ""),
        source=cite("JR36") if code == "screw-too-short" else PLAIN,
        about=(held.id, held.a.part.id, held.b.part.id),
        place=place_of(held.statement, "size"),
    )


def _edges(
    held: Held, where: tuple[tuple[FixingPoint, ...], float], thick: float, done: _Checked, bench: Bench
) -> None:
    points, halfway = where
    origins = np.array([p.point for p in points]) + halfway * np.array(points[0].direction)
    way = points[0].direction
    grain = held.a.grain
    if abs(dot(way, grain)) > 0.7:
        return
    edge = cross(way, grain)
    ways = np.repeat([grain, _back(grain), edge, _back(edge)], len(origins), axis=0)
    woods = exits(held.a.solid, np.tile(origins, (4, 1)), ways)
    ends, edges = (float(half.min()) for half in woods.reshape(2, -1))
    limit = END_DIAMETERS * thick
    done.measures.append(Measure(name="screw to the end", value=ends, limit=limit, source=PLAIN))
    done.measures.append(Measure(name="screw to the edge", value=edges, source=PLAIN))
    if ends < limit - BENCH:
        done.findings.append(
            replace(
                _screw(
                    held,
                    "screw-near-end",
                    Grade.NEAR,
                    f"a screw of {held.id} stands {say(ends, bench.units)} from the end of {held.a.part.id}",
                    f"{END_DIAMETERS:.0f} diameters, {say(limit, bench.units)}, keep it from splitting",
                ),
                mend=_further_in(held, limit - ends, ends, bench),
                mends=_thinner_screw(held, ends),
            )
        )


def _thread(
    held: Held, size: tuple[float, float, float], points: tuple[FixingPoint, ...], done: tuple[_Checked, Bench]
) -> None:
    checked, bench = done
    thick, length, wood = size
    sunk = 0.0 if isinstance(held.ask.counterbore, Missing) else held.ask.counterbore
    inside = np.array([plus(p.point, p.direction, wood + sunk + 0.05) for p in points])
    behind = exits(held.b.solid, inside, points[0].direction)
    there = float(behind[behind > 0.0].min()) if (behind > 0.0).any() else 0.0
    held_in = length - wood
    checked.measures.append(
        Measure(name="thread in the second part", value=held_in, limit=THREADS * thick, source=cite("JR36"))
    )
    if held_in < THREADS * thick - BENCH:
        checked.findings.append(
            replace(
                _screw(
                    held,
                    "screw-too-short",
                    Grade.NEAR if held_in >= HOLD * thick else Grade.FAILS,
                    f"the screws of {held.id} hold {say(max(held_in, 0.0), bench.units)} in {held.b.part.id}",
                    f"six diameters are {say(THREADS * thick, bench.units)} (JR36)",
                ),
                mend=_longer_screw(held, (thick, wood, there), bench),
                mends=_screw_that_holds(held, (thick, wood, there), bench),
            )
        )
    if there > 0.0 and held_in > there:
        checked.findings.append(
            replace(
                _screw(
                    held,
                    "screw-comes-through",
                    Grade.FAILS,
                    f"the screws of {held.id} come out of {held.b.part.id}",
                    f"it is {say(there, bench.units)} deep there",
                ),
                mends=_shorter_screw(held, wood + there, bench),
            )
        )


def _further_in(held: Held, need: float, ends: float, bench: Bench) -> str:
    """A longer part, the part under it moved in, or a thinner screw; a lead hole in any case."""
    amount, a, b = at_least(need, bench.units), held.a.part.id, held.b.part.id
    fits = [gauge for gauge in GAUGES if END_DIAMETERS * screw_diameter(gauge) <= ends]
    thinner = f", or a screw no thicker than no {max(fits)}" if fits else ""
    return (
        f"draw {a} longer at that end by {amount}, or {b} further in by {amount}{thinner}; bore a lead hole in any case"
    )


def _longer_screw(held: Held, found: tuple[float, float, float], bench: Bench) -> str:
    """The length that holds six diameters, where the second part is deep enough for it; else a thinner screw."""
    thick, wood, there = found
    step = 5.0 if bench.units == "mm" else 25.4 / 4.0
    length = np.ceil((wood + THREADS * thick) / step - 1e-9) * step
    if length - wood <= there:
        return f"a screw {say(float(length), bench.units)} long"
    fits = [gauge for gauge in GAUGES if screw_diameter(gauge) < thick and THREADS * screw_diameter(gauge) <= there]
    if fits:
        gauge = max(fits)
        return f"a screw no {gauge}, {at_least(wood + THREADS * screw_diameter(gauge), bench.units)} long"
    return f"draw {held.b.part.id} thicker by {at_least(THREADS * thick - there, bench.units)}, and a longer screw"


def _resized(held: Held, gauge: int | None, length: float | None, bench: Bench | None = None) -> tuple[Mend, ...]:
    """The screw of a statement with another number, or another length [mm], as it would be written."""
    text = "" if isinstance(held.statement.ask.size, Missing) else held.statement.ask.size
    thick, cross_mark, long = text.partition(" x ")
    if not cross_mark:
        return ()
    thick = f"no {gauge}" if gauge is not None else thick
    long = long if length is None or bench is None else at_least(length, bench.units)
    return asks(held.statement, ("size", f"{thick} x {long}"))


def _thinner_screw(held: Held, ends: float) -> tuple[Mend, ...]:
    fits = [gauge for gauge in GAUGES if END_DIAMETERS * screw_diameter(gauge) <= ends]
    return _resized(held, max(fits), None) if fits else ()


def _screw_that_holds(held: Held, found: tuple[float, float, float], bench: Bench) -> tuple[Mend, ...]:
    thick, wood, there = found
    step = _step(bench)
    length = float(np.ceil((wood + THREADS * thick) / step - 1e-9) * step)
    if length - wood <= there:
        return _resized(held, None, length, bench)
    fits = [gauge for gauge in GAUGES if screw_diameter(gauge) < thick and THREADS * screw_diameter(gauge) <= there]
    return _resized(held, max(fits), wood + THREADS * screw_diameter(max(fits)), bench) if fits else ()


def _shorter_screw(held: Held, room: float, bench: Bench) -> tuple[Mend, ...]:
    """The longest screw, as they are sold, that stays in the wood."""
    length = float(np.floor(room / _step(bench) - 1e-9) * _step(bench))
    return _resized(held, None, length, bench) if length > 0.0 else ()


def _step(bench: Bench) -> float:
    """Screws are sold in steps of this [mm]."""
    return 5.0 if bench.units == "mm" else 25.4 / 4.0


def _back(way: Vec3) -> Vec3:
    return (-way[0], -way[1], -way[2])


BUTTON_END = 3.0 * 25.4
BUTTON_APART = 12.0 * 25.4
BUTTON_DOWN = 12.7
"""A button's slot lies so far below the top (common practice, no source) [mm]."""


def button_points(held: Held, span: tuple[float, float], middle: Vec3) -> tuple[tuple[FixingPoint, ...], Sized]:
    """Buttons along a rail between its shoulders: on its inner face, under the top; and how many."""
    low, high = span
    rail, grain = held.a, held.a.grain
    inset = min(BUTTON_END, (high - low) / 4.0)
    if isinstance(held.ask.count, Missing):
        number = max(2, 1 + int(np.ceil((high - low - 2.0 * inset) / BUTTON_APART - 1e-9)))
        count = rules.ruled(float(number), "JR38", "3 in from the shoulders, at most 12 in apart (common practice)")
    else:
        count = rules.asked(float(held.ask.count), "count")
    n = int(count.value)
    places = np.linspace(low + inset, high - inset, n) if n > 1 else np.array([(low + high) / 2.0])
    low_box, high_box = rail.solid.bounds
    centre = vec3((low_box + high_box) / 2.0)
    first, second = section_axes(rail, grain)
    side = min((first, second), key=lambda axis: abs(axis[2]))
    inwards = side if dot(side, middle) > dot(side, centre) else _back(side)
    up = second if side == first else first
    up = up if up[2] > 0.0 else _back(up)
    return tuple(_button(rail, (grain, inwards, up), float(p), centre) for p in places), count


def _button(rail: Standing, axes: tuple[Vec3, Vec3, Vec3], place: float, centre: Vec3) -> FixingPoint:
    grain, inwards, up = axes
    inside = plus(centre, grain, place - dot(centre, grain))
    rise = float(exits(rail.solid, np.array([inside]), up)[0]) - BUTTON_DOWN
    lifted = plus(inside, up, rise)
    out = float(exits(rail.solid, np.array([lifted]), inwards)[0])
    return FixingPoint(point=plus(lifted, inwards, out), direction=_back(inwards))
