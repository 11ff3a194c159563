"""plan.json: everything planned, as plain values. The schema is plan.schema.json beside this file."""

from __future__ import annotations

import json
import math
from importlib import resources

from batchwright import __version__
from batchwright.app.planned import Planned
from batchwright.app.record_joints import fixing_as_plain, joint_as_plain
from batchwright.app.record_values import Plain, deg, frame, mm, point
from batchwright.model.draft import SizeKind, SizeValue
from batchwright.model.piece import Feature, Part, Piece
from batchwright.model.stock import BoardPlan, LumberPlan
from batchwright.model.work import Block, CuttingList, CuttingRow, Family, Hardware

FORMAT = 1
"""Raised when a key changes its meaning."""


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
        "joints": [joint_as_plain(joint) for joint in piece.joints],
        "fixings": [fixing_as_plain(fixing) for fixing in piece.fixings],
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
        "length": mm(part.length),
        "width": mm(part.width),
        "thickness": mm(part.thickness),
        "body_length": mm(part.body_length),
        "shoulder_length": None if part.shoulder_length is None else mm(part.shoulder_length),
        "volume": round(part.volume, 1),
        "curved": part.curved,
        "bench_frame": frame(part.bench),
        "marks": dict(part.marks_note),
        "edge_bevels": [deg(bevel) for bevel in part.edge_bevels],
        "tenons_over": [[mm(over) for over in pair] for pair in part.tenons_over],
        "shoulder_lines": [
            {"name": line.name, "length": mm(line.length), "from": point(line.start), "to": point(line.end)}
            for line in part.shoulder_lines
        ],
        "features": [_feature(feature) for feature in part.features],
        "shaped": [
            {
                "kind": one.kind,
                "depth": mm(one.depth),
                "face": one.face,
                "from": point(one.low),
                "to": point(one.high),
                "area_added": round(one.area_added, 1),
            }
            for one in part.shaped
        ],
    }


def _feature(feature: Feature) -> Plain:
    low, high = feature.box
    return {
        "kind": feature.kind.value,
        "joint": feature.joint,
        "face": feature.face,
        "from": point(low),
        "to": point(high),
        "depth": mm(feature.depth),
        "angles": [deg(angle) for angle in feature.angles],
        "label": feature.label,
        "centre": point(feature.centre),
        "ends": [point(end) for end in feature.ends],
        "length": mm(feature.length),
        "width": mm(feature.width),
        "turn": deg(feature.turn),
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
        "hardware": [_hardware(one) for one in cutting.hardware],
    }


def _hardware(one: Hardware) -> Plain:
    return {
        "what": one.what,
        "diameter": mm(one.diameter),
        "sizes": [mm(size) for size in one.sizes],
        "count": one.count,
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
        "shoulder_length": None if row.shoulder_length is None else mm(row.shoulder_length),
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
        "finished": mm(family.finished),
        "quarters": family.quarters,
        "kinds": list(family.kinds),
        "net_volume": round(family.net_volume, 1),
        "rough_volume": round(family.rough_volume, 1),
        "buy_volume": round(family.buy_volume, 1),
        "waste": round(family.waste, 4),
        "waste_factor": round(family.buy_volume / family.net_volume, 4) if family.net_volume else None,
        "least_length": mm(family.least_length),
        "least_width": mm(family.least_width),
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
        "kerf": mm(lumber.kerf),
        "blanks": [
            {
                "kind": blank.kind,
                "label": blank.label,
                "stave": blank.stave,
                "length": mm(blank.length),
                "width": mm(blank.width),
                "thickness": mm(blank.thickness),
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
                "from": mm(section.x),
                "length": mm(section.length),
                "strips": [
                    {
                        "from": mm(strip.y),
                        "width": mm(strip.width),
                        "blanks": [
                            {
                                "blank": laid.blank,
                                "x": mm(laid.x),
                                "y": mm(laid.y),
                                "length": mm(laid.length),
                                "width": mm(laid.width),
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


def _block(block: Block) -> Plain:
    return {"length": mm(block.length), "width": mm(block.width), "thickness": mm(block.thickness)}
