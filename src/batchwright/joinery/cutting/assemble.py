"""Sized plans written out as joints, and parts with their marks, lengths and features."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from batchwright.geometry.frame import Plane, vec3
from batchwright.joinery.cutting.bored import Bores
from batchwright.joinery.cutting.cut import (
    Cuts,
    at_cheek,
    in_part,
    mortise_tools,
    on_mortised,
    on_tenoned,
    tenon_tools,
)
from batchwright.joinery.cutting.driven_cuts import kerf_tools, tusk_tool
from batchwright.joinery.cutting.fixed import Held
from batchwright.joinery.cutting.laps import notch_of
from batchwright.joinery.cutting.let_in import bar_of, let_in_points, notch_points, thin_way
from batchwright.joinery.cutting.plain import plain
from batchwright.joinery.marking.arrises import edge_bevels, sharp, shoulder_lines
from batchwright.joinery.marking.bench import (
    Laid,
    end_of,
    is_curved,
    lay,
    outlines_of,
    shoulder_angles,
    shoulder_length,
)
from batchwright.joinery.marking.features import Bored, LetIn, feature_of, housing_of, labelled
from batchwright.joinery.marking.marks import Marks, words_in_place
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.sizing.plan import Bench, Plan
from batchwright.joinery.words import Compass
from batchwright.model.draft import JointKind, PartId
from batchwright.model.piece import Closing, End, Feature, FeatureKind, Joint, JointId, KindId, Part
from batchwright.model.shape import Recipe, Tool
from batchwright.solids.build import Solid

LET_IN = {
    JointKind.HOUSING: FeatureKind.HOUSING,
    JointKind.GROOVE: FeatureKind.GROOVE,
    JointKind.HALVING: FeatureKind.LAP,
}


@dataclass(slots=True)
class PartCuts:
    """What all joints and fixings do to one part (world): filled while joints are written out."""

    cuts: list[Cuts] = field(default_factory=list)
    features: list[Bored] = field(default_factory=list)
    housings: list[LetIn] = field(default_factory=list)


def joint_of(plan: Plan, end: End) -> Joint:
    """The joint's record, before it is measured."""
    site, frame = plan.site, plan.frame
    contact = site.contact
    shoulder = site.ask.shoulder
    return Joint(
        id=plan.id,
        kind=site.statement.kind,
        part=site.a.part.id,
        end=end,
        into=site.b.part.id,
        frame=frame,
        shoulder=contact.plane,
        tenons=tuple(tenon for tenon, _ in plan.made),
        mortises=tuple(mortise for _, mortise in plan.made),
        sizes=plan.sizes,
        closing=Closing(direction=frame.z, travel=max((t.length for t, _ in plan.made), default=0.0)),
        end_form=plan.end_form,
        angle_in=plan.seat.angle_in,
        shoulder_form=shoulder if isinstance(shoulder, str) else "flat",
        out_of_square=plan.seat.out_of_square,
        twist=plan.seat.twist,
        hollow=contact.hollow if shoulder not in ("let in", "scribed") else 0.0,
        pegs=plan.pegs,
        tusk=plan.tusk,
        meets=plan.meets,
        statement=site.statement.number,
        place=site.statement.place,
    )


def cuts_of(plans: Sequence[Plan]) -> dict[PartId, PartCuts]:
    """What every joint does to its two parts, in order of the joints' names."""
    found: dict[PartId, PartCuts] = {}
    for plan in sorted(plans, key=lambda each: each.id):
        a = found.setdefault(plan.site.a.part.id, PartCuts())
        b = found.setdefault(plan.site.b.part.id, PartCuts())
        on_a, on_b = on_tenoned(plan), on_mortised(plan)
        a.cuts.append(on_a)
        b.cuts.append(on_b)
        shoulder = plan.site.contact.plane
        for tenon, mortise in plan.made:
            b.features += _bored(plan.id, FeatureKind.MORTISE, mortise_tools(plan, tenon, mortise))
            if plan.site.statement.kind is JointKind.TENON:
                a.features += _bored(plan.id, FeatureKind.TENON, tenon_tools(plan, tenon), shoulder)
        if plan.site.statement.kind is not JointKind.TENON:
            own = [Bored(kind=FeatureKind.MORTISE, tool=tool, joint=plan.id, on=shoulder) for tool in on_a.cuts]
            a.features += own
        else:
            a.features += [_cheek_hole(plan, tool) for tool in on_a.cuts[: len(plan.pegs)]]
            a.features += _driven(plan)
        pegs = on_b.cuts[len(on_b.cuts) - len(plan.pegs) :]
        b.features += [Bored(kind=FeatureKind.PEG_HOLE, tool=tool, joint=plan.id) for tool in pegs]
    return found


def _bored(joint: JointId, kind: FeatureKind, tools: Sequence[Tool], on: Plane | None = None) -> list[Bored]:
    """The bar of a tenon or mortise, and after it that of its haunch."""
    return [
        Bored(kind=FeatureKind.HAUNCH if number else kind, tool=tool, joint=joint, on=on)
        for number, tool in enumerate(tools)
    ]


def _cheek_hole(plan: Plan, tool: Tool) -> Bored:
    """A peg's hole as it is set out on the tenon's near cheek."""
    hole = at_cheek(plan, tool)
    out = vec3([-value for value in hole.frame.z])
    return Bored(kind=FeatureKind.PEG_HOLE, tool=hole, joint=plan.id, on=Plane(hole.frame.origin, out))


def _driven(plan: Plan) -> list[Bored]:
    """Kerfs, set out on the tenon's end, and a tusk's hole, on the face it is driven in by."""
    kerfs = [tool for tenon, _ in plan.made for tool in kerf_tools(plan, tenon, 0.0)]
    tusk = [] if plan.tusk is None else [tusk_tool(plan.tusk, 0.0)]
    return [_opening(plan, FeatureKind.KERF, tool) for tool in kerfs] + [
        _opening(plan, FeatureKind.TUSK_HOLE, tool) for tool in tusk
    ]


def _opening(plan: Plan, kind: FeatureKind, tool: Tool) -> Bored:
    out = vec3([-value for value in tool.frame.z])
    return Bored(kind=kind, tool=tool, joint=plan.id, on=Plane(tool.frame.origin, out))


def add_cuts(found: dict[PartId, PartCuts], part: PartId, cuts: Cuts, held: Held, bench: Bench) -> None:
    """Enter what a fixing cuts on a part."""
    mine = found.setdefault(part, PartCuts())
    mine.cuts.append(cuts)
    kind = held.statement.kind
    if kind is JointKind.NOTCH:
        let_in = LetIn(points=notch_points(held, bench), opens=thin_way(held.a), joint=held.id, kind=FeatureKind.NOTCH)
        mine.housings.append(let_in)
        return
    for tool in cuts.cuts:
        points, opens = notch_of(held, tool) if kind is JointKind.HALVING else bar_of(tool)
        mine.housings.append(LetIn(points=points, opens=opens, joint=held.id, kind=LET_IN[kind]))
    if cuts.bodies and held.common is not None:
        low, high = held.a.solid.bounds
        points = let_in_points(held)
        middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
        opens = vec3((low + high) / 2.0 - middle)
        mine.housings.append(LetIn(points=points, opens=opens, joint=held.id, kind=LET_IN[kind]))


def add_bores(found: dict[PartId, PartCuts], bores: Bores) -> None:
    """Enter what a fixing bores and slots in its parts, and what of it is set out at the bench."""
    for part, tools in bores.cuts:
        found.setdefault(part, PartCuts()).cuts.append(Cuts(cuts=tools))
    for part, bored in bores.marked:
        found.setdefault(part, PartCuts()).features.append(bored)


def recipe_of(standing: Standing, cuts: PartCuts | None) -> Recipe:
    """All that makes a part, in its drawing frame."""
    part = standing.part
    local = [in_part(each, part) for each in (cuts.cuts if cuts else ())]
    return plain(
        Recipe(
            shape=part.shape,
            frame=part.frame,
            shoulders=tuple(each for cut in local for each in cut.shoulders),
            adds=tuple(each for cut in local for each in cut.adds),
            cuts=tuple(each for cut in local for each in cut.cuts),
            bodies=tuple(each for cut in local for each in cut.bodies),
        )
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Finished:
    """A part's recipe and its solid, in the drawing frame."""

    standing: Standing
    recipe: Recipe
    solid: Solid
    marks: Marks
    cuts: PartCuts | None = None


def part_of(finished: Finished, joints: Sequence[Joint], compass: Compass) -> tuple[Part, Laid]:
    """A part complete but for its kind. `joints` are those it bears tenons of."""
    standing, solid = finished.standing, finished.solid
    draft = standing.part
    laid = lay(standing, solid, finished.marks)
    flat, edge = outlines_of(draft, finished.marks, laid)
    curved = is_curved(draft)
    placed = [replace(joint, end=end_of(joint.frame.origin, laid)) for joint in joints]
    arrised = sharp(standing)
    return (
        Part(
            id=draft.id,
            draft=draft,
            kind=KindId(""),
            hand=draft.hand,
            bench=laid.frame,
            length=laid.length,
            width=laid.width,
            thickness=laid.thickness,
            shoulder_length=shoulder_length(placed, laid, curved),
            body_length=laid.body[1] - laid.body[0],
            outline=flat,
            edge_outline=edge,
            features=_features(finished, laid),
            recipe=finished.recipe,
            volume=solid.volume,
            curved=curved,
            marks_note=words_in_place(standing, finished.marks, compass),
            edge_bevels=edge_bevels(arrised, laid),
            shoulder_lines=shoulder_lines(arrised, placed, laid),
            tenons_over=laid.over,
        ),
        laid,
    )


def _features(finished: Finished, laid: Laid) -> tuple[Feature, ...]:
    cuts = finished.cuts
    if cuts is None:
        return ()
    found = [feature_of(bored, laid, finished.standing.solid) for bored in cuts.features]
    return labelled(found + [housing_of(let_in, laid) for let_in in cuts.housings])


def joint_on_bench(joint: Joint, laid: Laid) -> Joint:
    """The joint with its end and its shoulder's angles, as its part lies on the bench."""
    angles = shoulder_angles(joint.shoulder.normal, laid)
    return replace(joint, end=end_of(joint.frame.origin, laid), shoulder_angles=angles)
