"""Whether a jointed piece is sound, looked at from outside: its finished solids are measured anew, and what does not
hold must be told by a fault or a finding of the piece. Nothing of the joinery's own measuring is used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from batchwright.geometry.frame import Vec3, plus
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import Joint, Mortise, Part, Piece, Tenon
from batchwright.model.shape import Recipe
from batchwright.solids.build import Quality, Solid, placed, recipe_solid
from batchwright.solids.meet import boxes_overlap, overlap, pieces
from batchwright.solids.rays import contains, spans

DEEPEST = 0.1
"""An overlap up to this depth is nothing [mm]; language of the piece file, section 8."""
EXCUSED = 25.4 / 64
"""Up to this where a screw, rest, button, glue or a curved shoulder joins the two [mm]; the same."""
EXCUSING = {JointKind.SCREW, JointKind.REST, JointKind.BUTTON, JointKind.GLUE}
FLAT, ROUND = 0.01, 0.03
"""How near a measured clearance must come to the stated one: at flat faces, and at ends followed by chords [mm]."""
MESH = 0.2
"""How far an overall size told may be off: curves are followed by chords to 0.1 mm on either side [mm]."""
LEVELS = (0.35, 0.6, 0.85)
"""Where along a tenon its fit is measured, as shares of its length."""
PAST_SHOULDER = 3.0
"""From here on a tenon that comes out of the mortised part breaks out [mm]; language of the piece file, section 8."""


@dataclass(frozen=True, slots=True)
class Breach:
    """A law that does not hold: which, of what, and the numbers. `told`: the piece itself says so."""

    law: str
    names: tuple[str, ...]
    numbers: str
    told: bool = False

    def __str__(self) -> str:
        return f"{self.law}: {', '.join(self.names)}: {self.numbers}"


class Finished:
    """A jointed piece with its finished solids where they stand."""

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.parts: dict[PartId, Part] = {part.id: part for part in piece.parts}
        self.solids: dict[PartId, Solid] = {
            part.id: placed(recipe_solid(part.recipe, Quality.FINE), part.draft.frame) for part in piece.parts
        }
        self._shaped: dict[PartId, Solid] = {}

    def shaped(self, name: PartId) -> Solid:
        """A part's shape before any joint is cut, where it stands."""
        if name not in self._shaped:
            frame = self.parts[name].draft.frame
            solid = recipe_solid(Recipe(shape=self.parts[name].draft.shape, frame=frame), Quality.FINE)
            self._shaped[name] = placed(solid, frame)
        return self._shaped[name]

    @cached_property
    def _sayings(self) -> list[tuple[frozenset[str], str]]:
        faults = [(frozenset(fault.about), fault.what) for fault in self.piece.faults]
        return faults + [(frozenset(finding.about), finding.what) for finding in self.piece.findings]

    def tells(self, *names: str) -> bool:
        """Whether one fault or finding names all of these."""
        return any(all(name in about or name in what for name in names) for about, what in self._sayings)

    def tells_of_joint(self, joint: Joint) -> bool:
        """Whether a fault or finding names a joint, or both its parts."""
        return self.tells(joint.id) or self.tells(joint.part, joint.into)


def breaches(piece: Piece) -> list[Breach]:
    """Every law that does not hold, told or untold."""
    made = Finished(piece)
    return [*_whole(made), *_overlaps(made), *_measures(made), *_fits(made), *_breaks_out(made), *_mirrored(made)]


def untold(piece: Piece) -> list[Breach]:
    """The laws that do not hold and of which the piece says nothing."""
    return [breach for breach in breaches(piece) if not breach.told]


def _whole(made: Finished) -> Iterator[Breach]:
    for name, solid in made.solids.items():
        if (count := pieces(solid)) != 1:
            yield Breach("one part is one solid", (name,), f"{count} solids", made.tells(name))


def _overlaps(made: Finished) -> Iterator[Breach]:
    names = sorted(made.solids)
    easy = {frozenset((fixing.part, fixing.into)) for fixing in made.piece.fixings if fixing.kind in EXCUSING}
    easy |= {frozenset((j.part, j.into)) for j in made.piece.joints if j.hollow > 0.0 or j.shoulder_form != "flat"}
    for i, k in boxes_overlap([made.solids[name] for name in names]):
        one, two = names[i], names[k]
        found = overlap(made.solids[one], made.solids[two])
        if found.depth > (EXCUSED if frozenset((one, two)) in easy else DEEPEST):
            numbers = f"{found.depth:.2f} mm deep, {found.volume:.0f} mm3, at {_point(found.at)}"
            yield Breach("no wood is claimed twice", (one, two), numbers, made.tells(one, two))


def _measures(made: Finished) -> Iterator[Breach]:
    """Overall sizes and volume, measured on the solid along the part's bench axes."""
    for name, part in made.parts.items():
        solid = made.solids[name]
        local = part.bench.many_to_local(solid.vertices)
        spread = local.max(axis=0) - local.min(axis=0)
        for word, found in zip(("length", "width", "thickness"), spread.tolist()):
            said = getattr(part, word)
            if abs(said - found) > MESH:
                yield Breach(f"the {word} told is that of the solid", (name,), f"told {said:.2f}, found {found:.2f} mm")
        if abs(float(local[:, 0].min())) > MESH and part.body_length == part.length:
            yield Breach("x counts from the reference end", (name,), f"it begins at {local[:, 0].min():.2f} mm")
        if abs(part.volume - solid.volume) > 2e-3 * solid.volume:
            yield Breach("the volume told is that of the solid", (name,), f"{part.volume:.0f}, {solid.volume:.0f} mm3")


def _fits(made: Finished) -> Iterator[Breach]:
    """Every tenon stands free in its mortise by the clearances stated, measured along sight lines from its middle."""
    for joint in made.piece.joints:
        if joint.kind is not JointKind.TENON:
            continue
        if len(joint.tenons) != len(joint.mortises):
            counts = f"{len(joint.tenons)} tenons, {len(joint.mortises)} mortises"
            yield Breach("every tenon has its mortise", (joint.id,), counts, made.tells_of_joint(joint))
        for tenon, mortise in zip(joint.tenons, joint.mortises):
            for law, numbers in _fit(made, joint, tenon, mortise):
                yield Breach(law, (joint.id,), numbers, made.tells_of_joint(joint))


def _fit(made: Finished, joint: Joint, tenon: Tenon, mortise: Mortise) -> Iterator[tuple[str, str]]:
    one, two = made.solids[joint.part], made.solids[joint.into]
    ends = FLAT if not mortise.round_ends else ROUND
    sides = [
        ("cheek", joint.frame.y, tenon.thickness, joint.size("cheek clearance"), FLAT),
        ("end", joint.frame.x, tenon.width, joint.size("end clearance"), ends),
    ]
    middles = [joint.frame.to_world((*tenon.centre, share * tenon.length)) for share in _levels(tenon, mortise)]
    middles = [middle for middle in middles if contains(one, middle)]
    if not middles:
        yield "a tenon is there", "no wood of it along its middle line"
        return
    if any(contains(two, middle) for middle in middles):
        yield "a tenon stands in its mortise", "its middle lies in wood of the mortised part"
    for word, axis, size, clearance, slack in sides:
        for way in (axis, _back(axis)):
            measured = [pair for middle in middles if (pair := _gap(one, two, middle, way))]
            yield from _side(word, (size, clearance, slack), measured)
    if not (mortise.through or tenon.tip_planes) and (found := _gap(one, two, middles[-1], joint.frame.z)):
        clearance = joint.size("depth clearance")
        if abs(found[1] - clearance) > FLAT:
            yield "a mortise is deeper by what is stated", f"{clearance:.3f}, found {found[1]:.3f} mm"
        reach = (found[0] + _along(joint, middles[-1])) - tenon.length
        if abs(reach) > FLAT:
            yield "a tenon has the length stated", f"{tenon.length:.2f}, found {tenon.length + reach:.2f} mm"


def _levels(tenon: Tenon, mortise: Mortise) -> list[float]:
    """Shares of the length that lie beyond the haunch, within the mortise, and before the flare of a wedged one."""
    beyond = (tenon.haunch_length + 0.5) / tenon.length if tenon.haunch_width else 0.0
    within = (mortise.flare_from or tenon.length - tenon.proud) / tenon.length
    return [share * within for share in LEVELS if share * within > beyond] or [0.95 * within]


def _side(word: str, said: Vec3, measured: list[tuple[float, float]]) -> Iterator[tuple[str, str]]:
    """One side of a tenon: `said` is its size, its clearance in all, and how near the measure must come."""
    size, clearance, slack = said
    if not measured:
        yield f"a mortise has a wall at each {word}", "there is none at one of them"
    halves = [half for half, _ in measured]
    if halves and all(abs(2.0 * half - size) > 2.0 * slack for half in halves):
        yield f"a tenon has the size stated across its {word}s", f"{size:.2f}, found {2.0 * halves[0]:.2f} mm"
    gaps = [gap for _, gap in measured]
    if gaps and (min(gaps) < clearance / 2.0 - slack or min(gaps) > clearance / 2.0 + slack):
        found = f"{clearance / 2.0:.3f} stated at one {word}, found {min(gaps):.3f} mm"
        yield f"a tenon is free at its {word}s by what is stated", found


def _gap(one: Solid, two: Solid, middle: Vec3, way: Vec3) -> tuple[float, float] | None:
    """From the middle of a tenon: how far its wood reaches, and how much further the mortise's wall is."""
    wood = next((out for enter, out in spans(one, middle, way) if enter <= 1e-6 < out), None)
    wall = next((enter for enter, _ in spans(two, middle, way) if enter > 0.0), None)
    return None if wood is None or wall is None else (wood, wall - wood)


def _along(joint: Joint, point: Vec3) -> float:
    return joint.frame.to_local(point)[2]


def _breaks_out(made: Finished) -> Iterator[Breach]:
    """The corners of every blind tenon lie in the mortised part's shaped wood, from 3 mm past the shoulder on."""
    for joint in made.piece.joints:
        if joint.kind is not JointKind.TENON or any(mortise.through for mortise in joint.mortises):
            continue
        shaped = made.shaped(joint.into)
        points = [joint.frame.to_world(point) for tenon in joint.tenons for point in _corners(joint, tenon)]
        lost = sum(not contains(shaped, point) for point in points)
        if lost:
            numbers = f"{lost} points of its edges lie outside the part it goes into"
            yield Breach("a tenon does not break out", (joint.id,), numbers, made.tells_of_joint(joint))


def _corners(joint: Joint, tenon: Tenon) -> Iterator[Vec3]:
    """Points on the edges of a tenon, in the joint's frame, past the shoulder and before mitred tips."""
    normal = joint.frame.turn_back(joint.shoulder.normal)
    for a in (-0.49, 0.49):
        for b in (-0.49, 0.49):
            x, y = tenon.centre[0] + a * tenon.width, tenon.centre[1] + b * tenon.thickness
            start = PAST_SHOULDER - (normal[0] * x + normal[1] * y) / normal[2]
            for z in (start, (start + tenon.length) / 2.0, tenon.length - 0.05):
                if start <= z and all(plane.height((x, y, z)) <= 0.0 for plane in tenon.tip_planes):
                    yield (x, y, z)


def _mirrored(made: Finished) -> Iterator[Breach]:
    """Left and right: the same lengths, volumes and joint numbers."""
    for name, part in made.parts.items():
        other = made.parts.get(PartId(other_hand(name)))
        if not name.startswith("left ") or other is None:
            continue
        for word in ("length", "body_length", "width", "thickness", "shoulder_length"):
            one, two = getattr(part, word), getattr(other, word)
            if (one is None) != (two is None) or (one is not None and abs(one - two) > FLAT):
                yield Breach(f"left and right have one {word.replace('_', ' ')}", (name, other.id), f"{one}, {two}")
        volumes = made.solids[name].volume, made.solids[other.id].volume
        if abs(volumes[0] - volumes[1]) > 1e-6 * volumes[0] + 0.1:
            yield Breach("left and right have one volume", (name, other.id), f"{volumes[0]:.1f}, {volumes[1]:.1f} mm3")
        if part.bench.mirrored == other.bench.mirrored:
            yield Breach("left and right are mirror images", (name, other.id), "both marked out the same way round")
        yield from _joint_numbers(made, part, other)


def _joint_numbers(made: Finished, part: Part, other: Part) -> Iterator[Breach]:
    mine, theirs = (
        [_numbers(joint) for joint in made.piece.joints if each.id in (joint.part, joint.into)]
        for each in (part, other)
    )
    for numbers in mine:
        same = next((each for each in theirs if _alike(numbers, each)), None)
        if same is None:
            yield Breach("left and right have the same joints", (part.id, other.id), f"no other has {numbers}")
        else:
            theirs.remove(same)
    if theirs:
        yield Breach("left and right have the same joints", (other.id, part.id), f"no other has {theirs[0]}")


def _alike(one: tuple[float, ...], two: tuple[float, ...]) -> bool:
    return len(one) == len(two) and all(abs(a - b) <= FLAT for a, b in zip(one, two))


def _numbers(joint: Joint) -> tuple[float, ...]:
    found: list[float] = [len(joint.tenons), joint.out_of_square, joint.hollow]
    for tenon, mortise in zip(joint.tenons, joint.mortises):
        found += [tenon.width, tenon.thickness, tenon.length, abs(tenon.haunch_width), tenon.haunch_length]
        found += [mortise.length, mortise.width, mortise.depth]
    return tuple(found)


def other_hand(name: str) -> str:
    """The name of the copy across the middle."""
    swap = {"left": "right", "right": "left"}
    return " ".join(swap.get(word, word) for word in name.split(" "))


def _back(way: Vec3) -> Vec3:
    return (-way[0], -way[1], -way[2])


def _point(at: Vec3) -> str:
    return "({:.0f}, {:.0f}, {:.0f})".format(*plus(at, (0.0, 0.0, 0.0), 1.0))
