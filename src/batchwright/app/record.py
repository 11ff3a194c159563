"""plan.json: everything planned, as plain values. The schema is plan.schema.json beside this file."""

from __future__ import annotations

import json
import math
from importlib import resources

from batchwright import __version__
from batchwright.app.planned import Planned
from batchwright.base.trace import By, Sized
from batchwright.geometry.frame import Frame, Plane
from batchwright.model.draft import SizeKind, SizeValue
from batchwright.model.piece import Feature, Fixing, Joint, Measure, Mortise, Part, Peg, Piece, Tenon
from batchwright.model.stock import BoardPlan, LumberPlan
from batchwright.model.work import Block, CuttingList, CuttingRow, Family

FORMAT = 1
"""Raised when a key changes its meaning."""

Plain = dict[str, object]


def plan_as_json(planned: Planned) -> bytes:
    """The whole plan as UTF-8 JSON, keys in a fixed order, the same bytes for the same plan."""
    return (json.dumps(plan_as_plain(planned), indent=1, ensure_ascii=False) + "\n").encode()


def schema() -> Plain:
    """The JSON Schema of plan.json."""
    text = resources.files("batchwright.app").joinpath("plan.schema.json").read_text("utf-8")
    loaded: Plain = json.loads(text)
    return loaded


def plan_as_plain(planned: Planned) -> Plain:
    """The plan as dicts and lists; lengths in mm, angles in degrees."""
    piece = planned.piece
    return {
        "format": FORMAT,
        "program": f"batchwright {__version__}",
        "made": planned.made.isoformat(),
        "design_hash": planned.design_hash,
        "units": {"length": "mm", "angle": "deg", "volume": "mm3", "area": "mm2"},
        "piece": _piece(planned),
        "sizes": [_size(value) for value in piece.draft.sizes],
        "parts": [_part(part, piece) for part in piece.parts],
        "joints": [_joint(joint) for joint in piece.joints],
        "fixings": [_fixing(fixing) for fixing in piece.fixings],
        "cutting_list": _cutting(planned.cutting),
        "lumber": _lumber(planned.lumber),
        "findings": [finding.as_json() for finding in planned.findings],
    }


def _piece(planned: Planned) -> Plain:
    draft, job = planned.piece.draft, planned.job
    return {
        "name": draft.name,
        "file": draft.file,
        "job": job.name,
        "copies": job.copies,
        "wood": draft.wood,
        "outdoors": draft.outdoors,
        "hands": draft.hands.value,
        "drawn_in": draft.units,
        "where": job.where,
        "kinds": [
            {
                "id": kind.id,
                "name": kind.name,
                "hand": kind.hand.value,
                "label": kind.label,
                "parts": list(kind.parts),
                "mirror_of": kind.mirror_of,
            }
            for kind in planned.piece.kinds
        ],
    }


def _size(value: SizeValue) -> Plain:
    def shown(number: float | None) -> float | None:
        if number is None:
            return None
        return round(math.degrees(number), 6) if value.kind is SizeKind.ANGLE else round(number, 6)

    return {
        "name": value.name,
        "kind": value.kind.value,
        "value": shown(value.value),
        "from": shown(value.low),
        "to": shown(value.high),
        "step": shown(value.step),
        "free": value.free,
        "by": value.by.value,
        "note": value.note,
    }


def _part(part: Part, piece: Piece) -> Plain:
    return {
        "id": part.id,
        "name": part.draft.name,
        "kind": part.kind,
        "hand": part.hand.value,
        "wood": part.draft.wood,
        "length": _mm(part.length),
        "width": _mm(part.width),
        "thickness": _mm(part.thickness),
        "body_length": _mm(part.body_length),
        "shoulder_length": None if part.shoulder_length is None else _mm(part.shoulder_length),
        "volume": round(part.volume, 1),
        "curved": part.curved,
        "bench_frame": _frame(part.bench),
        "marks": dict(part.marks_note),
        "edge_bevels": [_deg(bevel) for bevel in part.edge_bevels],
        "tenons_over": [[_mm(over) for over in pair] for pair in part.tenons_over],
        "shoulder_lines": [
            {"name": line.name, "length": _mm(line.length), "from": _point(line.start), "to": _point(line.end)}
            for line in part.shoulder_lines
        ],
        "features": [_feature(feature) for feature in part.features],
    }


def _feature(feature: Feature) -> Plain:
    low, high = feature.box
    return {
        "kind": feature.kind.value,
        "joint": feature.joint,
        "face": feature.face,
        "from": _point(low),
        "to": _point(high),
        "depth": _mm(feature.depth),
        "angles": [_deg(angle) for angle in feature.angles],
        "label": feature.label,
        "centre": _point(feature.centre),
        "ends": [_point(end) for end in feature.ends],
        "length": _mm(feature.length),
        "width": _mm(feature.width),
        "turn": _deg(feature.turn),
    }


def _joint(joint: Joint) -> Plain:
    return {
        "id": joint.id,
        "kind": joint.kind.value,
        "part": joint.part,
        "end": joint.end.value,
        "into": joint.into,
        "parts": [joint.part, joint.into],
        "form": joint.end_form,
        "angle_in": joint.angle_in,
        "shoulder_form": joint.shoulder_form,
        "frame": _frame(joint.frame),
        "shoulder": _plane(joint.shoulder),
        "sizes": {name: _sized(sized) for name, sized in joint.sizes},
        "tenons": [_tenon(tenon) for tenon in joint.tenons],
        "mortises": [_mortise(mortise) for mortise in joint.mortises],
        "angles": {
            "out_of_square": _deg(joint.out_of_square),
            "shoulder_on_face_side": _deg(joint.shoulder_angles[0]),
            "shoulder_on_face_edge": _deg(joint.shoulder_angles[1]),
            "twist": _deg(joint.twist),
        },
        "hollow": _mm(joint.hollow),
        "closing": {
            "direction": _point(joint.closing.direction, 6),
            "travel": _mm(joint.closing.travel),
            "free_within": _deg(joint.closing.half_angle),
        },
        "pegs": [_peg(peg) for peg in joint.pegs],
        "measures": [_measure(one) for one in joint.measures],
        "meets": list(joint.meets),
        "place": {"file": joint.place.file, "line": joint.place.line, "column": joint.place.column},
    }


def _mortise(mortise: Mortise) -> Plain:
    return {
        "centre": [_mm(value) for value in mortise.centre],
        "length": _mm(mortise.length),
        "width": _mm(mortise.width),
        "depth": _mm(mortise.depth),
        "round_ends": mortise.round_ends,
        "through": mortise.through,
    }


def _peg(peg: Peg) -> Plain:
    return {
        "point": _point(peg.point),
        "direction": _point(peg.direction, 6),
        "diameter": _mm(peg.diameter),
        "length": _mm(peg.length),
        "draw": _mm(peg.draw),
    }


def _measure(one: Measure) -> Plain:
    return {"name": one.name, "value": _mm(one.value), "limit": one.limit, "source": one.source}


def _tenon(tenon: Tenon) -> Plain:
    return {
        "centre": [_mm(value) for value in tenon.centre],
        "width": _mm(tenon.width),
        "thickness": _mm(tenon.thickness),
        "length": _mm(tenon.length),
        "tip_planes": [_plane(plane) for plane in tenon.tip_planes],
        "haunch_width": _mm(tenon.haunch_width),
        "haunch_length": _mm(tenon.haunch_length),
        "wedges": tenon.wedges,
        "proud": _mm(tenon.proud),
    }


def _fixing(fixing: Fixing) -> Plain:
    return {
        "id": fixing.id,
        "kind": fixing.kind.value,
        "part": fixing.part,
        "into": fixing.into,
        "contact": round(fixing.contact, 1),
        "points": [{"point": _point(one.point), "direction": _point(one.direction, 6)} for one in fixing.points],
        "size": fixing.size,
        "slotted": fixing.slotted,
        "sizes": {name: _sized(sized) for name, sized in fixing.sizes},
    }


def _cutting(cutting: CuttingList) -> Plain:
    return {
        "copies": cutting.copies,
        "rows": [_row(row) for row in cutting.rows],
        "families": [_family(family) for family in cutting.families],
        "machines": [
            {
                "machine": one.machine,
                "note": one.note,
                "groups": [{"setting": setting, "kinds": list(kinds)} for setting, kinds in one.groups],
            }
            for one in cutting.machines
        ],
        "hardware": [{"what": one.what, "diameter": _mm(one.diameter), "count": one.count} for one in cutting.hardware],
    }


def _row(row: CuttingRow) -> Plain:
    return {
        "kind": row.kind,
        "label": row.label,
        "hand": row.hand.value,
        "wood": row.species,
        "each": row.each,
        "copies": row.copies,
        "spares": row.spares,
        "total": row.total,
        "finished": _block(row.finished),
        "rough": _block(row.rough),
        "shoulder_length": None if row.shoulder_length is None else _mm(row.shoulder_length),
        "family": row.family,
        "pieces": row.pieces,
        "blank": row.blank_form,
        "gang": row.gang,
        "curved": row.curved,
        "notes": list(row.notes),
        "traces": {name: str(trace) for name, trace in row.traces},
    }


def _family(family: Family) -> Plain:
    return {
        "name": family.name,
        "wood": family.species,
        "finished": _mm(family.finished),
        "quarters": family.quarters,
        "kinds": list(family.kinds),
        "net_volume": round(family.net_volume, 1),
        "rough_volume": round(family.rough_volume, 1),
        "buy_volume": round(family.buy_volume, 1),
        "waste": round(family.waste, 4),
        "waste_factor": round(family.buy_volume / family.net_volume, 4) if family.net_volume else None,
        "least_length": _mm(family.least_length),
        "least_width": _mm(family.least_width),
    }


def _lumber(lumber: LumberPlan | None) -> Plain | None:
    if lumber is None:
        return None
    return {
        "status": lumber.status,
        "verified": lumber.verified,
        "cost": None if lumber.cost is None else round(lumber.cost, 2),
        "cost_bound": None if lumber.cost_bound is None else round(lumber.cost_bound, 2),
        "area_used": round(lumber.area_used, 1),
        "area_bound": round(lumber.area_bound, 1),
        "gap": None if lumber.gap is None else round(lumber.gap, 5),
        "kerf": _mm(lumber.kerf),
        "blanks": [
            {
                "kind": blank.kind,
                "label": blank.label,
                "stave": blank.stave,
                "length": _mm(blank.length),
                "width": _mm(blank.width),
                "thickness": _mm(blank.thickness),
                "count": blank.count,
                "wood": blank.species,
            }
            for blank in lumber.blanks
        ],
        "boards": [_board_plan(plan) for plan in lumber.plans],
        "left": sorted({board.name for board in lumber.boards} - {plan.board for plan in lumber.plans}),
        "short": [{"blank": one.blank, "count": one.count, "why": one.why} for one in lumber.short],
        "notes": list(lumber.notes),
    }


def _board_plan(plan: BoardPlan) -> Plain:
    return {
        "board": plan.board,
        "sections": [
            {
                "from": _mm(section.x),
                "length": _mm(section.length),
                "strips": [
                    {
                        "from": _mm(strip.y),
                        "width": _mm(strip.width),
                        "blanks": [
                            {
                                "blank": laid.blank,
                                "x": _mm(laid.x),
                                "y": _mm(laid.y),
                                "length": _mm(laid.length),
                                "width": _mm(laid.width),
                            }
                            for laid in strip.laid
                        ],
                    }
                    for strip in section.strips
                ],
            }
            for section in plan.sections
        ],
    }


def _sized(sized: Sized) -> Plain:
    trace = sized.trace
    return {
        "value": _mm(sized.value),
        "by": trace.by.value,
        "rule": trace.rule,
        "why": trace.why,
        "source": trace.source,
        "default": trace.by is By.DEFAULT,
    }


def _block(block: Block) -> Plain:
    return {"length": _mm(block.length), "width": _mm(block.width), "thickness": _mm(block.thickness)}


def _frame(frame: Frame) -> Plain:
    return {
        "origin": _point(frame.origin),
        "x": _point(frame.x, 6),
        "y": _point(frame.y, 6),
        "z": _point(frame.z, 6),
    }


def _plane(plane: Plane) -> Plain:
    return {"point": _point(plane.point), "normal": _point(plane.normal, 6)}


def _point(point: tuple[float, float, float], digits: int = 3) -> list[float]:
    return [round(value, digits) + 0.0 for value in point]


def _mm(value: float) -> float:
    return round(value, 3) + 0.0


def _deg(value: float) -> float:
    return round(math.degrees(value), 4) + 0.0
