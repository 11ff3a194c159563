"""By which face a joint's mortise is entered and by which its tenon comes out."""

from __future__ import annotations

from batchwright.model.piece import Feature, FeatureKind, Joint, Part, Piece

OPPOSITE = {
    "face side": "back",
    "back": "face side",
    "face edge": "far edge",
    "far edge": "face edge",
    "reference end": "far end",
    "far end": "reference end",
}
MORTISED = (FeatureKind.MORTISE, FeatureKind.HOUSING)


def mortise_of(joint: Joint, piece: Piece) -> Feature | None:
    """What is cut for a joint in the part that its tenon goes into."""
    features = piece.part(joint.into).features
    return next((one for one in features if one.joint == joint.id and one.kind in MORTISED), None)


def through_joint(feature: Feature, part: Part, piece: Piece) -> Joint | None:
    """The joint of a mortise whose tenon comes out on the other side of the finished part; None of any other."""
    if feature.kind is not FeatureKind.MORTISE:
        return None
    joints = (one for one in piece.joints if one.id == feature.joint and one.into == part.id)
    return next((one for one in joints if any(mortise.through for mortise in one.mortises)), None)
