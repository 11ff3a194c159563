"""The complete piece: parts with bench frames, joints with every size filled and traced, kinds."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import NewType

from batchwright.base.fault import NOWHERE, Fault, Place
from batchwright.base.finding import Finding
from batchwright.base.trace import Sized
from batchwright.geometry.frame import Frame, Plane, Vec2, Vec3
from batchwright.geometry.outline import Outline
from batchwright.model.draft import DraftPart, DraftPiece, Hand, JointKind, PartId
from batchwright.model.shape import Recipe, Tool

JointId = NewType("JointId", str)
"""`front rail, left end, into left front leg`."""

KindId = NewType("KindId", str)
"""`side rail, left`; `back slat`; `back slat B` where the copies of one name differ."""


class End(Enum):
    """Which end of a part along its bench x."""

    REFERENCE = "reference end"
    FAR = "far end"


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """How the tenoned part moves, relative to the mortised one, to close the joint; world directions.

    `travel` is how far it must be drawn back to be clear [mm]; it is free along every direction within `half_angle`
    of -direction [rad] (0: only straight back).
    """

    direction: Vec3
    travel: float
    half_angle: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Peg:
    """A peg through the mortised part's wall and the tenon. World point on the entry face, world direction."""

    point: Vec3
    direction: Vec3
    diameter: float
    length: float
    draw: float
    """How far the hole in the tenon lies nearer the shoulder [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tenon:
    """One tenon, in its joint's frame: centre in (x, y), width along x, thickness along y, length along z."""

    centre: Vec2
    width: float
    thickness: float
    length: float
    tip_planes: tuple[Plane, ...] = ()
    """Cuts of the tip (mitre), in the joint's frame; the normal looks to the waste."""
    haunch_width: float = 0.0
    """Width left beside the tenon as a haunch, along +x or -x by sign [mm]."""
    haunch_length: float = 0.0
    wedges: int = 0
    proud: float = 0.0
    kerf: float = 0.0
    """Width of each wedge's saw kerf [mm]; 0 without wedges."""
    kerf_depth: float = 0.0
    """From the tenon's end inwards [mm]."""
    kerf_places: tuple[float, ...] = ()
    """Middles of the kerfs, from the tenon's own middle along the way they spread it [mm]."""
    wedged_across: bool = False
    """Whether the wedges spread it along its thickness (y), not along its width (x)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mortise:
    """One mortise of a joint, in the joint's frame, cut from the shoulder plane along z."""

    centre: Vec2
    length: float
    """Along x: fits the tenon's width."""
    width: float
    """Along y: the cutter."""
    depth: float
    round_ends: bool
    through: bool = False
    flare: float = 0.0
    """How much it opens for wedges at either end of the way they spread the tenon, on the far side [mm]."""
    flare_from: float = 0.0
    """How deep the flare begins [mm]."""
    wedged_across: bool = False
    """Whether it opens along y, not along x."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tusk:
    """A tusk through a tenon beyond the part it passes.

    frame (world): origin on the tenon's face where the tusk goes in, at the hole's inner side; z the way it is driven;
    x out along the tenon. `width` is that in the middle of the tenon, `taper` how much narrower it grows per length.
    """

    frame: Frame
    thickness: float
    width: float
    taper: float
    through: float
    """How much of the tenon it goes through [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Something measured after cutting: a wall, an end distance, a gap. `limit` is the least allowed."""

    name: str
    value: float
    limit: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A mortise and tenon (or loose tenon, or dowels) between two parts, complete.

    frame (world): origin at the middle of the tenoned part's section on the shoulder plane; z along the tenon into the
    mortised part; x along the tenon's width; y along its thickness.
    """

    id: JointId
    kind: JointKind
    part: PartId
    end: End
    into: PartId
    frame: Frame
    shoulder: Plane
    """World; the normal looks from the tenoned part into the mortised one."""
    tenons: tuple[Tenon, ...]
    mortises: tuple[Mortise, ...]
    sizes: tuple[tuple[str, Sized], ...]
    """thickness, width, length, depth, clearance, number, haunch, peg diameter ... each with its trace."""
    closing: Closing
    end_form: str = "blind"
    """blind, through or wedged."""
    angle_in: str = "tenon"
    shoulder_form: str = "flat"
    out_of_square: float = 0.0
    """Angle between the tenoned part's line and the shoulder's normal [rad]."""
    shoulder_angles: tuple[float, float] = (0.0, 0.0)
    """Angles the shoulder line makes with square across, seen on the face side and on the face edge [rad]."""
    twist: float = 0.0
    """Between the mortise's length and the mortised part's grain [rad]."""
    hollow: float = 0.0
    """Gap under a flat shoulder on a curved face [mm]."""
    pegs: tuple[Peg, ...] = ()
    tusk: Tusk | None = None
    measures: tuple[Measure, ...] = ()
    meets: tuple[JointId, ...] = ()
    """Joints whose tenons come near this one inside the mortised part."""
    statement: int = 0
    place: Place = NOWHERE

    def size(self, name: str) -> float:
        """A size by name [mm or as named]."""
        return dict(self.sizes)[name].value


@dataclass(frozen=True, slots=True, kw_only=True)
class FixingPoint:
    """One screw, button or slip: where it enters (world) and which way it goes."""

    point: Vec3
    direction: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixing:
    """Parts held without a tenon: housing, groove, halving, rest, screw, button, glue."""

    id: JointId
    kind: JointKind
    part: PartId
    into: PartId
    contact: float
    """Area of contact [mm^2]."""
    points: tuple[FixingPoint, ...] = ()
    size: str = ""
    slotted: bool = False
    sizes: tuple[tuple[str, Sized], ...] = ()
    measures: tuple[Measure, ...] = ()
    statement: int = 0
    place: Place = NOWHERE


class FeatureKind(Enum):
    """What is marked on a part at the bench."""

    TENON = "tenon"
    MORTISE = "mortise"
    HOLE = "hole"
    PEG_HOLE = "peg hole"
    HOUSING = "housing"
    HAUNCH = "haunch"
    KERF = "kerf"
    TUSK_HOLE = "tusk hole"
    NOTCH = "notch"
    GROOVE = "groove"
    LAP = "lap"
    SLOT = "slot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One thing cut on a part, as it is set out at the bench: bench coordinates of that part.

    `box` is the feature's extent (x from reference end, y from face edge, z from face side), low and high corners,
    measured where it meets the part's surface; `face` is the face it is cut in (face side, back, face edge, far edge,
    reference end, far end); `depth` is along its own direction.
    """

    kind: FeatureKind
    joint: JointId
    face: str
    box: tuple[Vec3, Vec3]
    frame: Frame
    """The joint's frame in the part's bench coordinates."""
    depth: float
    angles: tuple[float, float] = (0.0, 0.0)
    """Tilt of its direction from square to the face: along the part, and across it [rad]."""
    label: str = ""
    tool: Tool | None = None
    """The exact bar cut or left, in bench coordinates."""
    centre: Vec3 = (0.0, 0.0, 0.0)
    """Where its middle line meets the face it is cut in, a curved one too; of a tenon, the shoulder."""
    ends: tuple[Vec3, Vec3] = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    """Both ends of the mouth's centre line on that face, the one nearer the reference end first (on an end: nearer the
    face edge); a round hole's are its centre."""
    length: float = 0.0
    """Of the mouth on that face, along its centre line; a round hole's diameter [mm]."""
    width: float = 0.0
    """Of the mouth on that face, square to its centre line; a round hole's diameter [mm]."""
    turn: float = 0.0
    """Angle of the centre line, in the face, to x along the grain, or on an end to y square across, more than -pi/2 and
    up to pi/2 [rad]; positive when the second end lies further into the wood along the face's other axis."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoulderLine:
    """From shoulder to shoulder along a named line of a part: `middle`, or an arris as `face edge, face side` or `far
    edge, back`. Straight from where the one shoulder meets the line to where the other does, in bench coordinates."""

    name: str
    length: float
    start: Vec3
    end: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapedRegion:
    """A surface shaped by hand, in bench coordinates: its face, the box of the wood down to its depth, and about how
    much larger the surface becomes [mm^2]."""

    kind: str
    depth: float
    face: str
    low: Vec3
    high: Vec3
    area_added: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part complete, with its bench frame: x along the grain from the long point of the reference end, y into the
    wood from the face edge, z into the wood from the face side. A mirror image has a left-handed bench frame, so that
    its numbers are those of its pair."""

    id: PartId
    draft: DraftPart
    kind: KindId
    hand: Hand
    bench: Frame
    """World frame of the bench coordinates."""
    length: float
    width: float
    thickness: float
    """Overall, tenons included in the length [mm]."""
    shoulder_length: float | None
    """Between shoulders along the middle line; None where an end has no shoulder [mm]."""
    body_length: float
    """Overall without tenons [mm]."""
    outline: Outline | None
    """Exact outline in bench (x, y), as sawn before joints' ends; None where the part has no plane outline."""
    edge_outline: Outline | None
    """Exact outline in bench (x, z) where sawn so."""
    features: tuple[Feature, ...]
    recipe: Recipe
    volume: float
    """Finished, joints cut [mm^3]."""
    curved: bool
    marks_note: tuple[tuple[str, str], ...] = ()
    """(reference end | face side | face edge, where that is in the piece, in words)."""
    edge_bevels: Vec2 = (0.0, 0.0)
    """How far the face edge and the far edge are from square to the face side [rad]; positive: the corner at the face
    side is sharp, the wood's angle there 90 degrees less the bevel."""
    shoulder_lines: tuple[ShoulderLine, ...] = ()
    """Between shoulders along the middle and the arrises; empty where an end has no shoulder."""
    shaped: tuple[ShapedRegion, ...] = ()
    """What is shaped by hand: not cut in the solid."""
    tenons_over: tuple[Vec2, Vec2] = ((0.0, 0.0), (0.0, 0.0))
    """How far tenons stand over (face edge, far edge) and over (face side, back) [mm]. Width, thickness and the bench
    frame count from the blank's edges, which must hold the tenons: the body's own edge lies so much further in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """Parts that are the same, and of the same hand."""

    id: KindId
    name: str
    hand: Hand
    parts: tuple[PartId, ...]
    mirror_of: KindId | None = None
    label: str = ""
    """What to print: `side rail, left`, or `leg, front left = back right`."""

    @property
    def count(self) -> int:
        """Per piece."""
        return len(self.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """The jointed piece."""

    draft: DraftPiece
    parts: tuple[Part, ...]
    kinds: tuple[Kind, ...]
    joints: tuple[Joint, ...]
    fixings: tuple[Fixing, ...]
    findings: tuple[Finding, ...] = ()
    faults: tuple[Fault, ...] = ()

    def part(self, part_id: PartId) -> Part:
        """A part by its full name."""
        return next(part for part in self.parts if part.id == part_id)

    def kind_of(self, part_id: PartId) -> Kind:
        """The kind a part belongs to."""
        wanted = self.part(part_id).kind
        return next(kind for kind in self.kinds if kind.id == wanted)
