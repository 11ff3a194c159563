"""Pass (e), between parts: overlaps no joint explains, touches with no joint, loose parts, ends that meet nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.base.mend import Mend
from batchwright.geometry.frame import vec3
from batchwright.joinery.cutting.assemble import Finished
from batchwright.joinery.measuring.boxes import SpaceBox, apart_by
from batchwright.joinery.measuring.proposing import joints_that_fit
from batchwright.joinery.meeting.sites import ENDS, TOUCH
from batchwright.joinery.sizing.plan import Bench
from batchwright.joinery.words import say, say_area, say_volume
from batchwright.model.draft import DraftPiece, JointKind, PartId
from batchwright.model.piece import Fixing, Joint
from batchwright.solids.build import Solid, placed
from batchwright.solids.meet import NO_OVERLAP, Contact, contacts, overlap, piece_volumes

NOTHING = 0.1
"""An overlap of finished parts up to this depth is nothing [mm]."""
EXCUSED = 25.4 / 64
"""Up to this it is excused where a screw, rest, button, glue or a curved shoulder joins the two [mm]."""
EXCUSING = (JointKind.SCREW, JointKind.REST, JointKind.BUTTON, JointKind.GLUE)
TOUCHING = 25.0
"""Parts that touch over less than this are not told [mm^2]."""
MOST_OFFERS = 4
"""So many joints are proposed for parts that hang on nothing."""
FLOOR = 1.0
"""An end this near to the floor stands on it [mm]."""

Pair = tuple[PartId, PartId]
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """Two parts that claim the same wood: how deep [mm], how much of it [mm^3], and whether a joint joins them."""

    pair: Pair
    depth: float
    volume: float
    joined: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """Finished parts where they stand, and what joins them."""

    draft: DraftPiece
    solids: Mapping[PartId, Solid]
    boxes: Mapping[PartId, SpaceBox]
    joints: Sequence[Joint]
    fixings: Sequence[Fixing]

    def joined(self) -> dict[Pair, list[JointKind]]:
        """How each pair of parts is joined, the names in order."""
        found: dict[Pair, list[JointKind]] = {}
        every: list[Joint | Fixing] = [*self.joints, *self.fixings]
        for each in every:
            found.setdefault(_pair(each.part, each.into), []).append(each.kind)
        return found


def _pair(a: PartId, b: PartId) -> Pair:
    return (a, b) if a < b else (b, a)


def world_of(
    draft: DraftPiece, finished: Iterable[Finished], joints: Sequence[Joint], fixings: Sequence[Fixing]
) -> World:
    """The finished parts set in their places."""
    solids, boxes = {}, {}
    for each in finished:
        part = each.standing.part
        solids[part.id] = placed(each.solid, part.frame)
        low, high = each.solid.vertices.min(axis=0), each.solid.vertices.max(axis=0)
        half = vec3((high - low) / 2.0)
        boxes[part.id] = SpaceBox(frame=part.frame, middle=part.frame.to_world(vec3((low + high) / 2.0)), half=half)
    return World(draft=draft, solids=solids, boxes=boxes, joints=joints, fixings=fixings)


def near_pairs(world: World) -> list[tuple[Pair, float]]:
    """Pairs of parts whose boxes, along their own axes, come within half a millimetre, and how far they are apart;
    negative where they overlap [mm]."""
    names = sorted(world.solids)
    low = np.array([world.solids[name].bounds[0] for name in names]) - TOUCH / 2.0
    high = np.array([world.solids[name].bounds[1] for name in names]) + TOUCH / 2.0
    meet = ((low[:, None] <= high[None]) & (low[None] <= high[:, None])).all(axis=2)
    first, second = np.nonzero(np.triu(meet, 1))
    pairs = [(names[i], names[j]) for i, j in zip(first.tolist(), second.tolist())]
    found = [(pair, apart_by(world.boxes[pair[0]], world.boxes[pair[1]], TOUCH)) for pair in pairs]
    return [(pair, apart) for pair, apart in found if apart < TOUCH]


def measure_whole(world: World, bench: Bench) -> tuple[list[Fault], list[Finding]]:
    """Everything that is between parts, once all joints are cut."""
    joined = world.joined()
    curved = {_pair(j.part, j.into) for j in world.joints if j.hollow > 0.0}
    faults = _in_pieces(world, bench)
    findings: list[Finding] = []
    claims: list[Claim] = []
    for pair, apart in near_pairs(world):
        kinds = joined.get(pair, [])
        one, two = world.solids[pair[0]], world.solids[pair[1]]
        found = overlap(one, two) if apart < -NOTHING / 2.0 else NO_OVERLAP
        excused = pair in curved or any(kind in EXCUSING for kind in kinds)
        if found.depth > (EXCUSED if excused else NOTHING):
            claims.append(Claim(pair=pair, depth=found.depth, volume=found.volume, joined=bool(kinds)))
        elif not kinds and found.depth <= NOTHING:
            findings += _touching(world, pair)
    faults += [_overlaps(world, alike, bench) for alike in _told_once(world, claims)]
    findings += [_joining(finding, findings) for finding in _loose(world, joined)] + _free_ends(world, bench)
    return faults, findings


def _told_once(world: World, claims: Sequence[Claim]) -> list[list[Claim]]:
    """Claims on the same wood, those between copies of the same two parts together. Two parts that cross in the wood of
    a third, which is not joined to them either, are not told: the joints with the third come first."""
    names = {part.id: part.name for part in world.draft.parts}
    free = {claim.pair for claim in claims if not claim.joined}
    told: dict[tuple[object, ...], list[Claim]] = {}
    for claim in claims:
        first, second = claim.pair
        thirds = [name for name in world.solids if {_pair(first, name), _pair(second, name)} <= free]
        if claim.joined:
            told[claim.pair] = [claim]
        elif not any(_within(world, claim.pair, third) for third in thirds):
            told.setdefault((names[first], names[second], "free"), []).append(claim)
    return list(told.values())


def _within(world: World, pair: Pair, third: PartId) -> bool:
    """Whether what two parts share lies in a third one, by their boxes."""
    low, high = _shared(world, pair)
    around = world.solids[third].bounds
    return bool((low >= around[0] - TOUCH).all() and (high <= around[1] + TOUCH).all())


def _shared(world: World, pair: Pair) -> tuple[Array, Array]:
    """The box that the boxes of two parts share, its lowest and its highest corner [mm]."""
    one, two = (world.solids[name].bounds for name in pair)
    return np.maximum(one[0], two[0]), np.minimum(one[1], two[1])


def _overlaps(world: World, alike: Sequence[Claim], bench: Bench) -> Fault:
    """The fault of one claim, or of several between copies of the same parts."""
    claim = max(alike, key=lambda each: round(each.depth, 3))
    a, b = claim.pair
    parts = {part.id: part for part in world.draft.parts}
    why = (
        "the joint between them does not explain it"
        if claim.joined
        else "they are drawn into one another with no joint"
    )
    more = f", and {len(alike) - 1} more like it" if len(alike) > 1 else ""
    return Fault(
        code="parts-overlap",
        place=max(parts[a].place, parts[b].place),
        what=f"{a} and {b} overlap by {say(claim.depth, bench.units)} ({say_volume(claim.volume, bench.units)}){more}",
        why=f"{why}; finished parts may not claim the same wood",
        mend="join them with a statement in `joints`, or draw one of them shorter or further off",
        mends=() if claim.joined else _joints_that_fit(world, claim.pair, None, len(alike) > 1),
        about=tuple(dict.fromkeys(name for each in (claim, *alike) for name in each.pair)),
    )


def _joining(loose: Finding, findings: Sequence[Finding]) -> Finding:
    """The finding of parts that are joined to nothing, with the joints they could have where they touch the rest."""
    touching = (each for each in findings if each.code == "touch-with-no-joint")
    mine = [each for each in touching if len(set(each.about) & set(loose.about)) == 1]
    return replace(loose, mends=tuple(mend for each in mine for mend in each.mends)[:MOST_OFFERS])


def _joints_that_fit(world: World, pair: Pair, contact: Contact | None, every: bool = False) -> tuple[Mend, ...]:
    """The joints that two parts, or all their copies, could have where they touch, or where they overlap."""
    parts = {part.id: part for part in world.draft.parts}
    first, second = ((parts[name], world.solids[name]) for name in pair)
    if contact is not None:
        return joints_that_fit(first, second, contact.at, contact.normal)
    low, high = _shared(world, pair)
    return joints_that_fit(first, second, vec3((low + high) / 2.0), None, every)


def _touching(world: World, pair: Pair) -> list[Finding]:
    found = contacts(world.solids[pair[0]], world.solids[pair[1]])
    area = sum(contact.area for contact in found)
    if area < TOUCHING:
        return []
    largest = max(found, key=lambda contact: contact.area)
    return [
        Finding(
            code="touch-with-no-joint",
            grade=Grade.NOTE,
            what=f"{pair[0]} and {pair[1]} touch over {say_area(area, world.draft.units)}, and no joint says how",
            mend="name a `rest`, `glue` or another joint, if it is one",
            about=pair,
            mends=_joints_that_fit(world, pair, largest),
        )
    ]


def _in_pieces(world: World, bench: Bench) -> list[Fault]:
    faults = []
    places = {part.id: part.place for part in world.draft.parts}
    for name in sorted(world.solids):
        volumes = piece_volumes(world.solids[name])
        if len(volumes) > 1:
            faults.append(
                Fault(
                    code="part-in-pieces",
                    place=places[name],
                    what=f"{name} comes out in {len(volumes)} pieces after shaping and jointing; the smaller holds"
                    f" {say_volume(volumes[-1], bench.units)}",
                    why="its cuts or joints go right through it",
                    mend="look at the cuts and at the mortises that meet there; leave wood between them",
                )
            )
    return faults


def _loose(world: World, joined: Mapping[Pair, list[JointKind]]) -> list[Finding]:
    """Parts that do not hang together with the largest group."""
    group = {name: name for name in world.solids}

    def head(name: PartId) -> PartId:
        while group[name] != name:
            name = group[name]
        return name

    for a, b in sorted(joined):
        if a in group and b in group:
            one, two = sorted((head(a), head(b)))
            group[two] = one
    members: dict[PartId, list[PartId]] = {}
    for name in sorted(group):
        members.setdefault(head(name), []).append(name)
    largest = max(members.values(), key=len, default=[])
    return [_not_joined(names) for names in members.values() if names is not largest]


def _not_joined(names: list[PartId]) -> Finding:
    verb = "is" if len(names) == 1 else "are"
    return Finding(
        code="not-joined",
        grade=Grade.FAILS,
        what=f"{', '.join(names)} {verb} joined to nothing of the rest of the piece",
        mend="add the joint that holds it",
        about=tuple(names),
    )


def _free_ends(world: World, bench: Bench) -> list[Finding]:
    """Parts tenoned at one end whose other end meets nothing and does not stand on the floor."""
    findings = []
    for name in sorted({joint.part for joint in world.joints}):
        solid, box = world.solids.get(name), world.boxes.get(name)
        if solid is None or box is None:
            continue
        grain = vec3(box.frame.turn(next(p.grain for p in world.draft.parts if p.id == name)))
        low, high = solid.extent(grain)
        for sign, edge in ((-1, low), (1, high)):
            if not _meets(world, name, (grain, low, high), sign) and not _on_floor(solid, grain, edge):
                findings.append(_free(name, bench.compass.word_of(vec3(np.array(grain) * sign)), world))
    return findings


def _meets(world: World, name: PartId, line: tuple[tuple[float, float, float], float, float], sign: int) -> bool:
    grain, low, high = line
    for joint in world.joints:
        if name in (joint.part, joint.into) and _at_end(joint.frame.origin, grain, (low, high)) == sign:
            return True
    for fixing in world.fixings:
        if name in (fixing.part, fixing.into):
            ends = [_at_end(point.point, grain, (low, high)) for point in fixing.points]
            if not ends or sign in ends:
                return True
    return False


def _at_end(point: tuple[float, float, float], grain: tuple[float, float, float], reach: tuple[float, float]) -> int:
    along = float(np.dot(point, grain))
    share = (along - reach[0]) / max(reach[1] - reach[0], 1e-9)
    return -1 if share <= ENDS else (1 if share >= 1.0 - ENDS else 0)


def _on_floor(solid: Solid, grain: tuple[float, float, float], edge: float) -> bool:
    along = solid.vertices @ np.array(grain)
    return float(solid.vertices[np.abs(along - edge) < 1.0][:, 2].min()) < FLOOR


def _free(name: PartId, end: str, world: World) -> Finding:
    place = next(part.place for part in world.draft.parts if part.id == name)
    return Finding(
        code="end-meets-nothing",
        grade=Grade.NOTE,
        what=f"the {end} end of {name} meets nothing and does not stand on the floor",
        mend="if it should meet a part, draw it into it and name the joint",
        about=(name,),
        place=place,
    )
