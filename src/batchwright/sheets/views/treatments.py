"""What is done to a part besides its joints: eased edges, tapers, bevelled faces; and the steps, in order."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.geometry.frame import Vec3, dot
from batchwright.geometry.outline import Outline, bounds
from batchwright.model.piece import Feature, FeatureKind, Part
from batchwright.model.shape import EdgeCut, EdgeKind
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.mouths import SAME
from batchwright.sheets.views.naming import face_words
from batchwright.sheets.views.ordinates import sides_at, tapers
from batchwright.sheets.views.printing import Printing
from batchwright.solids.planes import planes_of

OUT: tuple[tuple[str, Vec3], ...] = (
    ("face side", (0.0, 0.0, -1.0)),
    ("back", (0.0, 0.0, 1.0)),
    ("face edge", (0.0, -1.0, 0.0)),
    ("far edge", (0.0, 1.0, 0.0)),
    ("reference end", (-1.0, 0.0, 0.0)),
    ("far end", (1.0, 0.0, 0.0)),
)
"""The way each bench face looks, in bench coordinates."""
WAYS: dict[str, Vec3] = {
    "upper edges": (0.0, 0.0, 1.0),
    "lower edges": (0.0, 0.0, -1.0),
    "front edges": (0.0, -1.0, 0.0),
    "back edges": (0.0, 1.0, 0.0),
    "top end": (0.0, 0.0, 1.0),
    "bottom end": (0.0, 0.0, -1.0),
}
"""Which way the face of an edge word looks in the piece; outer and inner depend on where the part stands."""
SLANT = 0.3
"""Ends lean by no more than this share of a tapered part's width."""
LEAST_BEVEL, MOST_BEVEL = math.radians(0.05), math.radians(45.0)
_DONE = {EdgeKind.ROUND: "rounded", EdgeKind.CHAMFER: "chamfered"}


def edge_words(part: Part, cut: EdgeCut, printing: Printing) -> str:
    """`long edges rounded 1/8`; `edges round the face side chamfered 3/8 at 45°`."""
    on = cut.on
    if on in WAYS:
        face = _face_towards(part, WAYS[on])
        on = f"edge round the {face_words(face)}" if face.endswith("end") else f"edges of the {face_words(face)}"
    elif on == "all":
        on = "all edges"
    elif on == "long edges":
        on = "all long edges"
    angle = " at 45°" if cut.kind is EdgeKind.CHAMFER else " radius"
    return f"{on} {_DONE[cut.kind]} {printing.length_unit(cut.size)}{angle}"


def _face_towards(part: Part, way: Vec3) -> str:
    local = part.bench.turn_back(way)
    return max(OUT, key=lambda named: round(dot(named[1], local), 6))[0]


def edge_notes(part: Part, printing: Printing) -> list[str]:
    """A sentence for each eased edge: which, how much, when, and where it stops."""
    shouldered = any(feature.kind is FeatureKind.TENON for feature in part.features)
    stops = "; not past the shoulders" if shouldered else ""
    when = ", after the joints" if part.features else ""
    found = (edge_words(part, cut, printing) for cut in part.recipe.shape.edges)
    return [f"{words[0].upper()}{words[1:]}{when}{stops}." for words in found]


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceBevel:
    """A long face that is not square to its neighbour: which, by how much [rad], and where its wood stands highest."""

    face: str
    lean: float
    high: str


def face_bevels(part: Part, made: Made) -> tuple[FaceBevel, ...]:
    """Long faces bevelled along the part by a plane cut; only those that bound the finished part."""
    points = part.bench.many_to_local(made.solids[part.id].vertices)
    found: list[FaceBevel] = []
    for named in planes_of(part.recipe.shape):
        plane = part.bench.plane_to_local(part.recipe.frame.plane_to_world(named.plane))
        n = plane.normal
        if abs(n[0]) > 0.2:
            continue
        axis = 1 if abs(n[1]) > abs(n[2]) else 2
        lean = math.atan2(abs(n[3 - axis]), abs(n[axis]))
        reach = float((points @ np.array(n)).max())
        if not LEAST_BEVEL < lean < MOST_BEVEL or abs(reach - dot(n, plane.point)) > 0.2:
            continue
        face = OUT[(2 if axis == 1 else 0) + (1 if n[axis] > 0.0 else 0)][0]
        falls = n[3 - axis] > 0.0
        low, high = ("face side", "back") if axis == 1 else ("face edge", "far edge")
        found.append(FaceBevel(face=face, lean=lean, high=low if falls else high))
    return tuple(dict.fromkeys(found))


def bevel_notes(part: Part, made: Made, printing: Printing) -> list[str]:
    """`Face edge bevelled 4.0° (86.0°), high along the face side.`"""
    notes = []
    for one in face_bevels(part, made):
        face = face_words(one.face)
        words = f"{face[0].upper()}{face[1:]} bevelled {printing.bevel(one.lean).lstrip('+')}"
        notes.append(f"{words}, high along the {face_words(one.high)}; gauge from the edge before it is bevelled.")
    return notes


def tapered_faces(part: Part) -> tuple[tuple[str, float], ...]:
    """The faces that taper, each with how far it has come in where it is furthest in [mm]; none of an even part."""
    if part.curved or not tapers(part.outline, part.edge_outline, (part.width, part.thickness)):
        return ()
    found = [
        *_come_in(part.outline, ("face edge", "far edge"), part.width),
        *_come_in(part.edge_outline, ("face side", "back"), part.thickness),
    ]
    return tuple((face, by) for face, by in found if by > 0.4)


def _come_in(outline: Outline | None, faces: tuple[str, str], wide: float) -> list[tuple[str, float]]:
    if outline is None:
        return []
    left, _, right, _ = bounds(outline)
    found = [one for one in (sides_at(outline, x, SLANT * wide) for x in (left, right)) if one is not None]
    if not found:
        return []
    return [(faces[0], max(near for near, _ in found)), (faces[1], max(wide - far for _, far in found))]


def body_notes(part: Part, printing: Printing) -> list[str]:
    """What is sawn off last where tenons stand over the body's own edges."""
    (edge, far), (side, back) = part.tenons_over
    overs = (("face edge", edge), ("far edge", far), ("face side", side), ("back", back))
    return [
        f"A tenon stands {printing.length_unit(over)} over the {face_words(face)}: keep the blank's full size, and all "
        f"marks from its edges, until the joints are cut; then saw the {face_words(face)} back by "
        f"{printing.length_unit(over)} between the shoulders."
        for face, over in overs
        if over > SAME
    ]


def taper_note(part: Part, printing: Printing) -> str:
    """Which faces taper and by how much, and what is cut before it; empty of an even part."""
    faces = tapered_faces(part)
    if not faces:
        return ""
    each = ", ".join(f"{face_words(face)} {printing.length(by)}" for face, by in faces)
    first = " Cut the joints before tapering: all marks and depths are from the square blank." if part.features else ""
    return f"Tapered faces, and how far each comes in: {each}.{first}"


def steps(part: Part, made: Made, leaning: bool, printing: Printing) -> tuple[str, ...]:
    """What is done to every copy, in order."""
    drilled = any(part.id == fixing.part and fixing.points for fixing in made.piece.fixings)
    drilled = drilled or any(feature.kind is FeatureKind.HOLE for feature in part.features)
    edges = [f"{cut.kind.value} {printing.length(cut.size)}" for cut in part.recipe.shape.edges]
    return (
        "set out",
        *(["ends bevelled"] if leaning else []),
        *(["joints cut"] if any(one.kind is not FeatureKind.HOLE for one in part.features) else []),
        *(["bored"] if drilled else []),
        *(["tapered"] if tapered_faces(part) else []),
        *(["body sawn"] if any(over > SAME for pair in part.tenons_over for over in pair) else []),
        *(["shaped"] if part.curved else []),
        *([f"{part_face} bevelled" for part_face in _bevelled(part, made)]),
        *(["hand-shaped"] if part.shaped else []),
        *([f"edges: {', '.join(dict.fromkeys(edges))}"] if edges else []),
        "checked",
    )


def _bevelled(part: Part, made: Made) -> list[str]:
    return [face_words(one.face) for one in face_bevels(part, made)]


def wedged(feature: Feature, made: Made) -> tuple[int, float]:
    """How many wedges a tenon takes and how deep their kerfs are [mm]; 0 where it is not wedged."""
    joint = next((one for one in made.piece.joints if one.id == feature.joint), None)
    if joint is None or feature.kind is not FeatureKind.TENON:
        return 0, 0.0
    return max(((tenon.wedges, tenon.kerf_depth) for tenon in joint.tenons), default=(0, 0.0))
