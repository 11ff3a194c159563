"""What screws, buttons and slips cut in both their parts: holes, slots, lead holes, every size traced (world)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from batchwright.base.finding import Finding, Grade
from batchwright.base.trace import By, Missing, Sized, Trace
from batchwright.geometry.frame import Frame, Vec3, cross, dot, minus, plus, vec3
from batchwright.handbook.species import find_species
from batchwright.joinery.cutting.fixed import Held
from batchwright.joinery.cutting.screws import WOOD, Bed, read_size
from batchwright.joinery.marking.features import Bored
from batchwright.joinery.meeting.standing import Standing, section_axes, thick_across
from batchwright.joinery.offering import asks
from batchwright.joinery.sizing import rules
from batchwright.joinery.sizing.plan import Bench, place_of
from batchwright.joinery.sizing.swing import moves_along, swing
from batchwright.joinery.words import cite, say, written
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import FeatureKind, Fixing, FixingPoint
from batchwright.model.shape import Section, Tool
from batchwright.solids.bodies import across

PRACTICE = "common practice, no source"
BEYOND = 1.0
"""How far a tool runs out of the wood [mm]."""
ROOT = 2.0 / 3.0
"""Root of a wood screw over its shank, where the screw itself is not at hand (common practice, no source)."""
LEAD = {"hardwood": 0.9, "softwood": 0.7}
LEAST_SLOT = 2.0
"""A slotted hole is at least so much longer than its screw is thick [mm]."""
BORE = 2.25
"""A counterbore over the screw's diameter: room for the head and its driver."""
BUTTON_WIDE, BUTTON_HIGH, BUTTON_DEEP = 31.75, 9.525, 12.7
"""A button's slot: as long as a button is wide, as high as its tongue, so deep [mm]."""
MOST_DEEP = 2.0 / 3.0
SLIP_WIDE, SLIP_SHARE, SLIP_DEEP = 50.0, 0.6, 19.0
"""A slip is so wide along the edge, at most this share of its spacing, and goes so deep into each board [mm]."""
SLIP_THICK = 0.5
"""A slip takes at most this share of a board's thickness."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bores:
    """A fixing with its sizes, what is cut for it by part, and what there is to say."""

    fixing: Fixing
    cuts: tuple[tuple[PartId, tuple[Tool, ...]], ...] = ()
    marked: tuple[tuple[PartId, Bored], ...] = ()
    """What is set out at the bench; lead holes are told where the other part's screws land."""
    findings: tuple[Finding, ...] = ()


def bores_of(held: Held, fixing: Fixing, bed: Bed | None, bench: Bench) -> Bores:
    """What a fixing cuts; nothing where its size is not known."""
    if not fixing.points:
        return Bores(fixing=fixing)
    if fixing.kind is JointKind.SCREW:
        return _screwed(held, fixing, bench)
    if fixing.kind is JointKind.BUTTON:
        return _buttoned(held, fixing, bench)
    return Bores(fixing=fixing) if bed is None else _slipped(held, fixing, bed, bench)


def _by_default(value: float, why: str) -> Sized:
    return Sized(value, Trace(by=By.DEFAULT, why=why, source=PRACTICE))


def _with(fixing: Fixing, sizes: Sequence[tuple[str, Sized]]) -> Fixing:
    return replace(fixing, sizes=(*fixing.sizes, *sizes))


# --- screws


def _screwed(held: Held, fixing: Fixing, bench: Bench) -> Bores:
    size = read_size(fixing.size, bench.units)
    wood = next((each.value for each in fixing.measures if each.name == WOOD), None)
    if size is None or wood is None:
        return Bores(fixing=fixing)
    thick, length = size
    sunk = 0.0 if isinstance(held.ask.counterbore, Missing) else held.ask.counterbore
    told = [("clearance hole", _by_default(thick, "as thick as the screw's shank"))]
    lead = _lead(held.b, thick)
    deep = max(length - wood, 0.0)
    told.append(("lead hole", lead))
    told.append(("lead hole depth", rules.drawn(deep, "the screw's length less the wood it goes through")))
    if sunk:
        told.append(("counterbore", rules.asked(sunk, "counterbore")))
        told.append(("counterbore diameter", _by_default(BORE * thick, "2 1/4 of the screw's thickness")))
    slots, sizes, along = _slots(held, fixing.points, (thick, fixing.points[0].direction), bench)
    own: list[Tool] = []
    other: list[Tool] = []
    marked: list[tuple[PartId, Bored]] = []
    for point, slot in zip(fixing.points, slots):
        frame = _frame(point, along)
        whole = wood + sunk
        form = Section.ROUND_ENDED if slot > thick else Section.ROUND
        hole = Tool(frame=frame, width=slot, thickness=thick, start=-BEYOND, end=whole + BEYOND, section=form)
        own.append(hole)
        kind = FeatureKind.SLOT if slot > thick else FeatureKind.HOLE
        marked.append((held.a.part.id, _marked(kind, replace(hole, start=0.0, end=whole), fixing)))
        if sunk:
            long = slot - thick + BORE * thick
            own.append(Tool(frame=frame, width=long, thickness=BORE * thick, start=-BEYOND, end=sunk, section=form))
        if deep > 0.0:
            other.append(_round(_moved(frame, whole), lead.value, (-BEYOND, deep)))
    cuts = ((held.a.part.id, tuple(own)), (held.b.part.id, tuple(other)))
    return Bores(fixing=_with(fixing, (*told, *sizes)), cuts=cuts, marked=tuple(marked))


def _marked(kind: FeatureKind, tool: Tool, fixing: Fixing) -> Bored:
    return Bored(kind=kind, tool=tool, joint=fixing.id)


def _lead(part: Standing, thick: float) -> Sized:
    """JR37: nine tenths of the root in hardwood, seven in softwood; the root itself is a guess without the screw."""
    species = find_species(part.part.wood)
    kind = "softwood" if species is not None and species.wood_type.startswith("soft") else "hardwood"
    share = LEAD[kind]
    why = f"{share:.0%} of the root in {kind}; the root taken as two thirds of the shank: measure the screw's own"
    return rules.ruled(thick * ROOT * share, "JR37", why)


def is_slotted(held: Held) -> bool:
    """Whether the holes of a pair are slotted, an exception heard."""
    return held.ask.slotted and held.ask.slot != 0.0


def _slots(
    held: Held, points: Sequence[FixingPoint], screw: tuple[float, Vec3], bench: Bench
) -> tuple[list[float], list[tuple[str, Sized]], Vec3]:
    """How long each hole is, the sizes to tell, and the way the slots run."""
    thick, way = screw
    plain = vec3(across(way)[0])
    asked = held.ask.slot
    if not is_slotted(held):
        return [thick] * len(points), [], plain
    mover = max((held.a, held.b), key=lambda part: _spread(part, way))
    along = moves_along(mover, way) or plain
    if not isinstance(asked, Missing):
        slots = [max(asked, thick)] * len(points)
        return slots, [("slot length", rules.asked(asked, "slotted"))], along
    middle = vec3((mover.solid.bounds[0] + mover.solid.bounds[1]) / 2.0)
    moves = [swing(mover, abs(dot(minus(point.point, middle), along)), bench.outdoors) for point in points]
    slots = [thick + max(LEAST_SLOT, 2.0 * move.value) for move in moves]
    longest = max(range(len(slots)), key=lambda i: slots[i])
    why = f"the screw, and twice the {moves[longest].trace.why} either way of {mover.part.id}'s middle"
    told = Sized(slots[longest], replace(moves[longest].trace, why=why))
    return [slots[longest]] * len(slots), [("slot length", told)], along


def _spread(part: Standing, way: Vec3) -> float:
    along = moves_along(part, way)
    return 0.0 if along is None else thick_across(part, along)


def _frame(point: FixingPoint, along: Vec3) -> Frame:
    """z: the way in; x: the way a slot runs."""
    return Frame(point.point, along, cross(point.direction, along), point.direction)


def _moved(frame: Frame, by: float) -> Frame:
    return Frame(plus(frame.origin, frame.z, by), frame.x, frame.y, frame.z)


def _round(frame: Frame, diameter: float, span: tuple[float, float]) -> Tool:
    return Tool(frame=frame, width=diameter, thickness=diameter, start=span[0], end=span[1], section=Section.ROUND)


# --- buttons


def _buttoned(held: Held, fixing: Fixing, bench: Bench) -> Bores:
    """A slot for each button: longer than it where the top moves along the rail, deeper where it moves across."""
    rail, top = held.a, held.b
    inwards = fixing.points[0].direction
    up = cross(inwards, rail.grain)
    moves = moves_along(top, up)
    middle = vec3((top.solid.bounds[0] + top.solid.bounds[1]) / 2.0)
    slide = max((_move(top, point, (moves, rail.grain, middle), bench) for point in fixing.points), default=0.0)
    reach = max((_move(top, point, (moves, inwards, middle), bench) for point in fixing.points), default=0.0)
    thick = thick_across(rail, inwards)
    deep = min(BUTTON_DEEP + reach, MOST_DEEP * thick)
    ruled = Trace(by=By.RULE, rule="JR38", why="", source=cite("JR38"))
    long = Sized(
        BUTTON_WIDE + 2.0 * slide, replace(ruled, why=f"a button 1 1/4 in wide, and {slide:.1f} mm either way")
    )
    depth = Sized(deep, replace(ruled, why=f"1/2 in, and {reach:.1f} mm that the top moves, at most 2/3 of the rail"))
    told = (
        ("slot length", long),
        ("slot height", _by_default(BUTTON_HIGH, "3/8 in, for the button's tongue")),
        ("slot depth", depth),
    )
    tools = tuple(
        Tool(
            frame=_frame(point, rail.grain),
            width=long.value,
            thickness=BUTTON_HIGH,
            start=-BEYOND,
            end=deep,
        )
        for point in fixing.points
    )
    findings = (_too_shallow(held, (deep, reach), bench),) if deep - reach < BUTTON_DEEP / 2.0 else ()
    marked = tuple((rail.part.id, _marked(FeatureKind.SLOT, replace(tool, start=0.0), fixing)) for tool in tools)
    return Bores(fixing=_with(fixing, told), cuts=((rail.part.id, tools),), marked=marked, findings=findings)


def _move(top: Standing, point: FixingPoint, ways: tuple[Vec3 | None, Vec3, Vec3], bench: Bench) -> float:
    """How far the top moves over a point along a direction, from its middle [mm]."""
    moves, along, middle = ways
    if moves is None:
        return 0.0
    reach = abs(dot(minus(point.point, middle), moves))
    return swing(top, reach, bench.outdoors).value * abs(dot(moves, along))


def _too_shallow(held: Held, found: tuple[float, float], bench: Bench) -> Finding:
    deep, reach = found
    return Finding(
        code="button-slot-shallow",
        grade=Grade.NEAR,
        what=f"the slots of {held.id} are {say(deep, bench.units)} deep; the top moves {say(reach, bench.units)} there",
        why="a button's tongue must stay in its slot in the driest month",
        mend="a thicker rail, or screws in slotted holes (`screw`, `slotted: yes`)",
        source=cite("JR38"),
        about=(held.id,),
        utilisation=BUTTON_DEEP / 2.0 / max(deep - reach, 0.01),
        place=place_of(held.statement, "button"),
    )


# --- slips


def slip_points(held: Held, bed: Bed) -> tuple[FixingPoint, ...]:
    """Slips spread evenly along the edge, in the middle of the thinner board; each goes from the bed into A."""
    if held.ask.slips is None:
        return ()
    count = held.ask.slips[1]
    along = _along(held, bed)
    thin = cross(bed.way, along)
    axes = np.array([along, thin, bed.way])
    flat = bed.points @ axes.T
    low, high = flat.min(axis=0), flat.max(axis=0)
    back = (-bed.way[0], -bed.way[1], -bed.way[2])
    found = []
    for i in range(count):
        place = (low + high) / 2.0
        place[0] = low[0] + (i + 0.5) / count * (high[0] - low[0])
        found.append(FixingPoint(point=vec3(place @ axes), direction=back))
    return tuple(found)


def _along(held: Held, bed: Bed) -> Vec3:
    grain = held.a.grain
    return grain if abs(dot(bed.way, grain)) < 0.7 else section_axes(held.a, bed.way)[0]


def _slipped(held: Held, fixing: Fixing, bed: Bed, bench: Bench) -> Bores:
    assert held.ask.slips is not None
    thick, count = held.ask.slips
    along = _along(held, bed)
    spacing = float(np.ptp(bed.points @ np.array(along))) / count
    wide = min(SLIP_WIDE, SLIP_SHARE * spacing)
    deep = min(SLIP_DEEP, *(thick_across(part, bed.way) / 3.0 for part in (held.a, held.b)))
    fits = bench.shop.fits
    told = (
        ("slip width", _by_default(wide, "2 in along the edge, at most 3/5 of the spacing")),
        ("slip length", _by_default(2.0 * deep, "3/4 in into each board, at most a third of it")),
        ("slip slot depth", rules.drawn(deep + fits.depth.value, "half of the slip, and the clearance beyond it")),
        ("slip slot length", rules.ruled(wide + fits.loose_width.value, "JR24", "the slip's width and its play")),
        ("slip slot width", rules.ruled(thick + fits.cheeks.value, "JR22", "the slip's thickness and the fit")),
    )
    own: list[Tool] = []
    other: list[Tool] = []
    for point in fixing.points:
        for tools, way in ((own, point.direction), (other, bed.way)):
            frame = Frame(point.point, along, cross(way, along), way)
            tools.append(
                Tool(
                    frame=frame,
                    width=wide + fits.loose_width.value,
                    thickness=thick + fits.cheeks.value,
                    start=-BEYOND,
                    end=deep + fits.depth.value,
                    section=Section.ROUND_ENDED,
                )
            )
    cuts = ((held.a.part.id, tuple(own)), (held.b.part.id, tuple(other)))
    board = min(thick_across(part, cross(bed.way, along)) for part in (held.a, held.b))
    findings = (_too_thick(held, (thick, board), bench),) if thick > SLIP_THICK * board else ()
    marked = tuple(
        (part, _marked(FeatureKind.SLOT, replace(tool, start=0.0), fixing)) for part, tools in cuts for tool in tools
    )
    return Bores(fixing=_with(fixing, told), cuts=cuts, marked=marked, findings=findings)


def _too_thick(held: Held, found: tuple[float, float], bench: Bench) -> Finding:
    thick, board = found
    return Finding(
        code="slip-too-thick",
        grade=Grade.FAILS if thick >= board - 2.0 else Grade.NEAR,
        what=f"slips {say(thick, bench.units)} thick go into {held.a.part.id}, {say(board, bench.units)} thick",
        why="a slip is half as thick as its boards at most; thin walls beside it show",
        mend=f"make the slips {say(SLIP_THICK * board, bench.units)} thick or less",
        mends=asks(held.statement, ("slips/thickness", written(SLIP_THICK * board, bench.units, up=False))),
        source=PRACTICE,
        about=(held.id,),
        utilisation=thick / (SLIP_THICK * board),
        place=place_of(held.statement, "slips"),
    )
