"""What a part is drawn as: prisms and sticks, sawn again, cut, with eased edges; and the recipe of its joints.

Every shape lives in its part's drawing frame (u, v, w). For a prism u and v lie in the view it was drawn in and w is
the third coordinate; for a stick u runs along the stick from its first end.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from batchwright.geometry.frame import WORLD, Frame, Plane, Vec2, Vec3
from batchwright.geometry.outline import Outline


@dataclass(frozen=True, slots=True, kw_only=True)
class Prism:
    """An outline in (u, v), extruded along w from `low` to `high`. Boxes, outlines and strips are prisms."""

    outline: Outline
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """The section of a stick at distance `at` along it: a rectangle in (v, w), or the ellipse inside it."""

    at: float
    v: Vec2
    w: Vec2


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """A straight stick: stations in order along u; between two stations it changes straight."""

    stations: tuple[Station, ...]
    round: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawn:
    """A second outline sawn on the same blank: `edge` = outline in (u, w) through v; `end` = in (v, w) through u."""

    on: str
    outline: Outline


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneCut:
    """Everything on the side the plane's normal looks to is cut away."""

    plane: Plane


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionCut:
    """A closed region, in (x, y) of `frame`, cut away right through along the frame's z."""

    frame: Frame
    outline: Outline


class EdgeKind(Enum):
    """How an edge is eased."""

    ROUND = "round"
    CHAMFER = "chamfer"


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeCut:
    """Edges eased by `size` (radius, or leg of a 45 degree chamfer).

    `on` is one of: long edges, upper edges, lower edges, front edges, back edges, outer edges, inner edges, top end,
    bottom end, all. Which edges these are is judged by the directions their faces look to in the piece.
    """

    kind: EdgeKind
    size: float
    on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The shaped part before joints: body, sawn again, cut, edges eased, in that order."""

    body: Prism | Stick
    sawn: tuple[Sawn, ...] = ()
    cuts: tuple[PlaneCut | RegionCut, ...] = ()
    edges: tuple[EdgeCut, ...] = ()


class Section(Enum):
    """The section of a joint tool, square to its own z."""

    SQUARE = "square"
    ROUND_ENDED = "round-ended"
    ROUND = "round"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A bar of wood added (a tenon) or cut away (a mortise, a hole), in its own frame.

    The section is `width` along the frame's x by `thickness` along y, centred; it runs from z = start to z = end; each
    plane then cuts away what lies on the side its normal looks to (mitred tips, slopes of a mouth). Planes are in the
    tool's own frame.
    """

    frame: Frame
    width: float
    thickness: float
    start: float
    end: float
    section: Section = Section.SQUARE
    planes: tuple[Plane, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoulderCut:
    """The end that lies beyond `plane` is cut off: only the body of wood reaching out to `end_point`."""

    plane: Plane
    end_point: Vec3


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyCut:
    """Another part's shaped body, cut out of this one (housings, scribed shoulders, notches)."""

    shape: Shape
    frame: Frame
    grow: float = 0.0
    tenons_too: bool = False
    """Whether it takes its wood off the part's tenons as well (a groove that runs on over them)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """All that makes one part's solid, in its drawing frame: the only input of a solid, so also its cache key.

    `frame` is the part's drawing frame in the world; a recipe's geometry does not depend on it except where edges are
    chosen by the way they look (`EdgeCut.on`).
    """

    shape: Shape
    frame: Frame = WORLD
    shoulders: tuple[ShoulderCut, ...] = ()
    adds: tuple[Tool, ...] = ()
    cuts: tuple[Tool, ...] = ()
    bodies: tuple[BodyCut, ...] = ()
