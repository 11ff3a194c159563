"""Parts that are cut already: their joints keep the sizes they were cut to, and what no longer agrees is told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from batchwright.base.finding import Finding, Grade
from batchwright.base.mend import Change, Mend
from batchwright.base.trace import By
from batchwright.joinery.words import say
from batchwright.model.draft import DraftPiece, JointAsk, JointStatement, Otherwise, PartId, SizeValue
from batchwright.model.milled import CutJoint, CutPart, Milled
from batchwright.model.piece import Feature, FeatureKind, Joint, JointId, Part, Piece

NEAR = 25.4 / 64.0
"""What a bench cannot tell apart: 1/64 in (common practice, no source) [mm]."""
TENON, MORTISE = "tenon", "mortise"
_KINDS = {TENON: FeatureKind.TENON, MORTISE: FeatureKind.MORTISE}
_UNDO = "or make the part again (`batchwright cut --undo`)"


def cut_part(part: Part, piece: Piece) -> CutPart:
    """The record of a part as it stands in the plan now: what is marked and cut at the bench."""
    joints = {joint.id: joint for joint in piece.joints}
    cuts: list[CutJoint] = []
    for feature in part.features:
        joint = joints.get(feature.joint)
        on = next((word for word, kind in _KINDS.items() if kind is feature.kind), "")
        if joint is not None and on and not any(each.joint == joint.id and each.on == on for each in cuts):
            cuts.append(_cut_joint(joint, on, feature))
    sizes = tuple((size.name, size.text) for size in piece.draft.sizes if size.free and size.text)
    return CutPart(
        part=part.id,
        length=part.length,
        width=part.width,
        thickness=part.thickness,
        joints=tuple(cuts),
        sizes=sizes,
    )


def _cut_joint(joint: Joint, on: str, feature: Feature) -> CutJoint:
    thickness, width, length = (joint.size(word) for word in ("thickness", "width", "length"))
    return CutJoint(joint=str(joint.id), on=on, thickness=thickness, width=width, length=length, at=feature.centre)


def milled_by_cut(cut: Iterable[CutPart]) -> tuple[Milled, ...]:
    """The sizes that cut parts really have: they stay so whatever the drawing says."""
    return tuple(
        Milled(
            name=str(part.part),
            parts=(part.part,),
            thickness=part.thickness,
            width=part.width,
            place=part.place,
            cut=True,
        )
        for part in cut
    )


def pinned(draft: DraftPiece, cut: Sequence[CutPart]) -> DraftPiece:
    """The piece with the joints of cut parts at the sizes they were cut to."""
    if not cut:
        return draft
    joints = {each.joint: each for part in cut for each in part.joints}
    return replace(draft, joints=tuple(_pinned(statement, joints.values()) for statement in draft.joints))


def _pinned(statement: JointStatement, cut: Iterable[CutJoint]) -> JointStatement:
    more = []
    for each in cut:
        of, into = _parts_of(JointId(each.joint))
        if of in statement.of and into in statement.into:
            ask = JointAsk(thickness=each.thickness, width=each.width, length=each.length)
            more.append(Otherwise(ask=ask, at=(into,), of=(of,), place=each.place))
    return replace(statement, exceptions=(*statement.exceptions, *more)) if more else statement


def _parts_of(joint: JointId) -> tuple[PartId, PartId]:
    """`front rail, left end, into left front leg`: the tenoned part, and the mortised one."""
    head, _, into = joint.rpartition(", into ")
    return PartId(head.split(", ")[0]), PartId(into)


@dataclass(slots=True)
class _Told:
    """Findings of one cut part, on the way."""

    part: CutPart
    piece: Piece
    findings: list[Finding]

    def differs(self, what: str, about: tuple[str, ...] = ()) -> None:
        """Something no longer agrees with what was cut."""
        self.say("cut-part-differs", Grade.FAILS, what, about)

    def say(self, code: str, grade: Grade, what: str, about: tuple[str, ...] = ()) -> None:
        """One finding, with what has changed since as its mend."""
        mends = _put_back(self.part, self.piece)
        words = [mend.say for mend in mends]
        self.findings.append(
            Finding(
                code=code,
                grade=grade,
                what=what,
                why="what is cut stays as it is",
                mend=", ".join([*words, _UNDO]) if words else _UNDO.removeprefix("or "),
                about=(str(self.part.part), *about),
                place=self.part.place,
                mends=mends if grade is Grade.FAILS else (),
            )
        )


def compare_cut(piece: Piece, cut: Sequence[CutPart]) -> tuple[Finding, ...]:
    """What of the cut parts no longer agrees with the plan."""
    found: list[Finding] = []
    for part in cut:
        told = _Told(part, piece, found)
        now = next((each for each in piece.parts if each.id == part.part), None)
        if now is None:
            told.say("cut-part-gone", Grade.FAILS, f"{part.part} is cut, but the piece has no such part.")
            continue
        _compare_sizes(told, now)
        _compare_joints(told, now)
    return tuple(found)


def _compare_sizes(told: _Told, now: Part) -> None:
    units = told.piece.draft.units
    pairs = (
        ("long", told.part.length, now.length),
        ("wide", told.part.width, now.width),
        ("thick", told.part.thickness, now.thickness),
    )
    for word, cut, drawn in pairs:
        if abs(cut - drawn) > NEAR:
            told.differs(
                f"{told.part.part} is cut {say(cut, units)} {word}; the drawing now makes it {say(drawn, units)}."
            )


def _compare_joints(told: _Told, now: Part) -> None:
    joints = {str(joint.id): joint for joint in told.piece.joints}
    for each in told.part.joints:
        joint = joints.get(each.joint)
        feature = next((f for f in now.features if f.joint == each.joint and f.kind is _KINDS[each.on]), None)
        if joint is None or feature is None:
            told.differs(f"{told.part.part} has the {each.on} of {each.joint}; the piece has no such joint now.")
            continue
        _compare_place(told, each, feature)
        _compare_joint(told, each, joint)
    _lacking(told, now)


def _compare_place(told: _Told, each: CutJoint, feature: Feature) -> None:
    units = told.piece.draft.units
    ways = ("from the reference end", "from the face edge", "from the face side")
    moved = [
        f"{say(cut, units)} {way}, now {say(drawn, units)}"
        for way, cut, drawn in zip(ways, each.at, feature.centre, strict=True)
        if abs(cut - drawn) > NEAR
    ]
    if moved:
        what = f"the {each.on} of {each.joint} is cut in {told.part.part} {', and '.join(moved)}."
        told.differs(what, (each.joint,))


def _compare_joint(told: _Told, each: CutJoint, joint: Joint) -> None:
    units = told.piece.draft.units
    for word, cut in (("thickness", each.thickness), ("width", each.width), ("length", each.length)):
        now = joint.size(word)
        if abs(cut - now) > NEAR:
            what = (
                f"the {each.on} of {each.joint} is cut for a {word} of {say(cut, units)}; now it is {say(now, units)}."
            )
            told.differs(what, (each.joint,))


def _lacking(told: _Told, now: Part) -> None:
    """Joints that came after the part was cut."""
    there = {(each.joint, each.on) for each in told.part.joints}
    for feature in now.features:
        on = next((word for word, kind in _KINDS.items() if kind is feature.kind), "")
        if on and (str(feature.joint), on) not in there:
            there.add((str(feature.joint), on))
            what = f"{told.part.part} is cut, but has no {on} of {feature.joint} yet."
            told.say("cut-part-lacks-joint", Grade.NEAR, what, (str(feature.joint),))


def _put_back(part: CutPart, piece: Piece) -> tuple[Mend, ...]:
    """Sizes that were otherwise when the part was cut, each with the change that puts it back."""
    now = {size.name: size for size in piece.draft.sizes}
    return tuple(
        Mend(say=f"put `{name}` back to {text}", changes=(_set_back(now[name], text),))
        for name, text in part.sizes
        if name in now and now[name].text != text
    )


def _set_back(size: SizeValue, text: str) -> Change:
    """The change of a size where it is set: in the job, if that has the last word."""
    return Change(do="size", name=size.name, text=text, file=size.place.file if size.by is By.JOB else "")
