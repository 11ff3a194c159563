"""What things are called on sheets: joints as a maker says them, letters for the joints of one part."""

from __future__ import annotations

import string
from dataclasses import dataclass, replace

from batchwright.geometry.frame import Vec2
from batchwright.model.draft import PartId
from batchwright.model.piece import Feature, FeatureKind, JointId, Part, Piece
from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.primitives import BODY, Weight

_LETTERS = string.ascii_uppercase.replace("I", "").replace("O", "")
_LINKS = {FeatureKind.TENON: "into", FeatureKind.HAUNCH: "at", FeatureKind.HOLE: "to", FeatureKind.PEG_HOLE: "of",
          FeatureKind.KERF: "of tenon into", FeatureKind.TUSK_HOLE: "of tenon into", FeatureKind.NOTCH: "around",
          FeatureKind.LAP: "with"}  # fmt: skip


def face_words(face: str) -> str:
    """A face of a part as it is said on sheets: never `back`, which is a side of the piece too."""
    return "face opposite the face side" if face == "back" else face


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettered:
    """One thing cut on a part: the letter of its joint on this part's sheet, and what it is called."""

    letter: str
    words: str
    feature: Feature


def lettered(part: Part, piece: Piece) -> tuple[Lettered, ...]:
    """Every feature of a part but the kerfs that its tenons' rows tell, from the reference end on; what belongs to one
    joint shares its letter.

    The same letters stand on the drawing, in the tables and on the full-size outline.
    """
    features = [_faced(feature, part) for feature in part.features if feature.kind is not FeatureKind.KERF]
    starts = {one.joint: _joint_start(one, features) for one in features}
    ordered = sorted(
        features,
        key=lambda one: (round(starts[one.joint], 1), one.joint, one.kind is FeatureKind.HAUNCH, one.label),
    )
    names: dict[JointId, str] = {}
    for feature in ordered:
        names.setdefault(feature.joint, letter(len(names)))
    others = _others(piece)
    alone = sum(1 for other in piece.parts if other.kind == part.kind) == 1
    called = {other.id: str(other.id) if alone else other.draft.name for other in piece.parts}
    screws = {fixing.id: f", {fixing.kind.value} {fixing.size}" for fixing in piece.fixings if fixing.size}
    return tuple(
        Lettered(
            letter=names[one.joint],
            words=_words(one, part, others.get(one.joint), called) + screws.get(one.joint, ""),
            feature=one,
        )
        for one in ordered
    )


def letter(index: int) -> str:
    """A, B, ... without I and O, then AA, AB."""
    first, second = divmod(index, len(_LETTERS))
    return (_LETTERS[first - 1] if first else "") + _LETTERS[second]


def _joint_start(feature: Feature, features: list[Feature]) -> float:
    return min(one.box[0][0] for one in features if one.joint == feature.joint)


def _faced(feature: Feature, part: Part) -> Feature:
    """A haunch's seat lies in the face that its mortise is cut in."""
    if feature.kind is not FeatureKind.HAUNCH:
        return feature
    mates = (one for one in part.features if one.joint == feature.joint and one.kind is FeatureKind.MORTISE)
    mate = next(mates, None)
    return feature if mate is None else replace(feature, face=mate.face)


def _others(piece: Piece) -> dict[JointId, tuple[PartId, PartId]]:
    pairs = {joint.id: (joint.part, joint.into) for joint in piece.joints}
    return pairs | {fixing.id: (fixing.part, fixing.into) for fixing in piece.fixings}


def _words(feature: Feature, part: Part, pair: tuple[PartId, PartId] | None, called: dict[PartId, str]) -> str:
    """`mortise for front rail`, `tenon into left front leg`; the other part's full name where the part is one only."""
    if pair is None:
        return feature.label or feature.kind.value
    other = pair[1] if pair[0] == part.id else pair[0]
    return f"{feature.kind.value} {_LINKS.get(feature.kind, 'for')} {called[other]}"


def clear_stretches(part: Part, items: tuple[Lettered, ...]) -> tuple[Vec2, ...]:
    """The stretches along a part that nothing is cut in, tenons counted to their tips, the longest first [bench mm]."""
    spans = sorted(_span(one.feature, part) for one in items)
    free: list[Vec2] = []
    reached = 0.0
    for low, high in (*spans, (part.length, part.length)):
        if low - reached > 1.0:
            free.append((reached, low))
        reached = max(reached, high)
    return tuple(sorted(free or [(0.0, part.length)], key=lambda one: one[0] - one[1]))


def _span(feature: Feature, part: Part) -> Vec2:
    low, high = feature.box[0][0], feature.box[1][0]
    if feature.kind is not FeatureKind.TENON:
        return (low, high)
    return (low, part.length) if feature.face == "far end" else (0.0, high)


def shortened(text: str, room: float, weight: Weight = Weight.NORMAL) -> str:
    """A name that fits `room` on paper at body size [mm]: its end left out where it is longer."""
    if text_width(text, BODY, weight) <= room:
        return text
    kept = text
    while kept and text_width(f"{kept}…", BODY, weight) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def numbered_from(part: Part, piece: Piece, seated: bool) -> str:
    """The side that the numbers of a repeat count from: `left`, `front`, `bottom`; empty of a part without one."""
    mates = [one for one in piece.parts if one.draft.name == part.draft.name and _number(one) is not None]
    if len(mates) < 2 or _number(part) is None:
        return ""
    ordered = sorted(mates, key=lambda one: _number(one) or 0)
    first, last = ordered[0].bench, ordered[-1].bench
    run = [b - a for a, b in zip(first.origin, last.origin, strict=True)]
    axis = max(range(3), key=lambda index: abs(run[index]))
    low, high = (("right", "left") if seated else ("left", "right"), ("front", "back"), ("bottom", "top"))[axis]
    return low if run[axis] > 0.0 else high


def _number(part: Part) -> int | None:
    tail = str(part.id).rsplit(" ", 1)[-1]
    return int(tail) if tail.isdigit() else None
