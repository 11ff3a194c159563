"""What the page is told of a piece at once: parts where they stand, joints, sizes, list, findings, faults."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import numpy as np

from batchwright.app.live.at_bench import bench_as_plain
from batchwright.app.live.model import Model, Worked
from batchwright.app.live.sizes import sizes_as_plain
from batchwright.app.planned import issue_mark
from batchwright.base.length import Unit
from batchwright.geometry.frame import Frame
from batchwright.model.draft import PartId
from batchwright.model.piece import Fixing, Joint, KindId, Part
from batchwright.model.work import CuttingRow
from batchwright.sheets.views.joint_sheet import shown_size
from batchwright.sheets.views.lists import row_notes
from batchwright.sheets.views.printing import Printing
from batchwright.solids.build import recipe_solid
from batchwright.solids.display import DisplayMesh, display_mesh

Plain = dict[str, object]
Meshes = Mapping[PartId, DisplayMesh]


def meshes_of(worked: Worked | None) -> Meshes:
    """Every part's mesh in its drawing frame; parts that are alike share one."""
    if worked is None:
        return {}
    return {part.id: display_mesh(recipe_solid(part.recipe)) for part in worked.checked.piece.parts}


def wanted(meshes: Meshes, have: Collection[str]) -> list[DisplayMesh]:
    """The meshes that the page does not have yet, each once."""
    known = set(have)
    return list({mesh.key: mesh for mesh in meshes.values() if mesh.key not in known}.values())


def answer(model: Model, revision: int, meshes: Meshes) -> Plain:
    """The answer as plain values; `grey` where its piece is an older one."""
    worked = model.worked
    told: Plain = {
        "revision": revision,
        "tried": bool(model.tried),
        "stopped": model.stopped,
        "grey": model.stopped,
        "faults": [fault.as_json() for fault in model.faults],
        "findings": [] if worked is None else [finding.as_json() for finding in worked.findings],
        "took_ms": round(model.took * 1000.0, 1),
    }
    if worked is None:
        return told | _nothing(model)
    now: Plain = {"sizes": sizes_as_plain(model.sizes, model.units)} if model.stopped and model.sizes else {}
    return told | _piece(worked, meshes) | now


def _nothing(model: Model) -> Plain:
    empty: Plain = {name: [] for name in ("places", "parts", "joints", "fixings", "cutting")}
    sizes = sizes_as_plain(model.sizes, model.units)
    return {"piece": None, "job": None, "mark": None, "box": None, "units": model.units, "sizes": sizes, **empty}


def _piece(worked: Worked, meshes: Meshes) -> Plain:
    piece, loaded = worked.checked.piece, worked.checked.loaded
    draft = piece.draft
    printing = printing_of(worked)
    return {
        "piece": {
            "name": draft.name,
            "units": draft.units,
            "hands": draft.hands.value,
            "wood": printing.wood(draft.wood),
            "outdoors": draft.outdoors,
            "copies": loaded.job.copies,
        },
        "mark": issue_mark(loaded.design_hash),
        "job": {"name": loaded.job.name, "file": loaded.job.file, "own": loaded.job.file != loaded.job.piece_file},
        "sizes": sizes_as_plain(draft.sizes, draft.units),
        "places": list(worked.places),
        "parts": [_part(part, meshes[part.id], printing) for part in piece.parts],
        "joints": [_joint(joint, printing) for joint in piece.joints],
        "fixings": [_fixing(fixing, printing) for fixing in piece.fixings],
        "bench": bench_as_plain(loaded, piece, worked.findings),
        "cutting": [_row(row, printing) for row in worked.cutting.rows],
        "box": _box(worked, meshes),
    }


def printing_of(worked: Worked) -> Printing:
    """How numbers are told, as on the sheets."""
    loaded = worked.checked.loaded
    inches = (loaded.job.print_in or loaded.draft.units) == "in"
    rows = worked.cutting.rows
    return Printing(
        unit=Unit.INCHES if inches else Unit.MILLIMETRES,
        hands=worked.checked.piece.draft.hands,
        numbers={row.kind: number for number, row in enumerate(rows, start=1)},
        totals={row.kind: row.total for row in rows},
        currency=loaded.shop.currency,
    )


def _part(part: Part, mesh: DisplayMesh, printing: Printing) -> Plain:
    return {
        "id": part.id,
        "name": part.draft.name,
        "drawn": part.draft.name,
        "kind": part.kind,
        "hand": part.hand.value,
        "mesh": mesh.key,
        "matrix": matrix_of(part.recipe.frame),
        "shown": f"{_block((part.thickness, part.width, part.length), printing)} {printing.unit.value}",
        "thick": printing.length(part.thickness),
        "wide": printing.length(part.width),
        "wood": part.draft.wood,
        "grain": list(part.draft.grain),
        "line": part.draft.place.line,
    }


def matrix_of(frame: Frame) -> list[float]:
    """Drawing frame to world, 4 x 4, column by column [mm]."""
    columns = ((*frame.x, 0.0), (*frame.y, 0.0), (*frame.z, 0.0), (*frame.origin, 1.0))
    return [round(value, 9) for column in columns for value in column]


def _joint(joint: Joint, printing: Printing) -> Plain:
    return {
        "id": joint.id,
        "part": joint.part,
        "into": joint.into,
        "kind": joint.kind.value,
        "form": joint.end_form,
        "point": list(joint.frame.origin),
        "closing": list(joint.closing.direction),
        "travel": round(joint.closing.travel, 3),
        "sizes": [
            {"name": name, "shown": shown_size(name, sized.value, printing), "by": sized.trace.by.value,
             "why": str(sized.trace)}
            for name, sized in joint.sizes
        ],
        "statement": joint.statement,
        "line": joint.place.line,
    }  # fmt: skip


def _fixing(fixing: Fixing, printing: Printing) -> Plain:
    return {
        "id": fixing.id,
        "part": fixing.part,
        "into": fixing.into,
        "kind": fixing.kind.value,
        "points": [list(one.point) for one in fixing.points],
        "size": fixing.size,
        "sizes": [
            {"name": name, "shown": shown_size(name, sized.value, printing), "by": sized.trace.by.value,
             "why": str(sized.trace)}
            for name, sized in fixing.sizes
        ],
        "statement": fixing.statement,
        "line": fixing.place.line,
    }  # fmt: skip


def _row(row: CuttingRow, printing: Printing) -> Plain:
    finished, rough = row.finished, row.rough
    return {
        "kind": row.kind,
        "number": printing.numbers[KindId(row.kind)],
        "name": row.label,
        "words": f"{row.pieces} boards glued up" if row.pieces > 1 else row.blank_form,
        "count": row.each,
        "copies": row.copies,
        "make": row.total - row.spares,
        "total": row.total,
        "spares": row.spares,
        "family": row.family,
        "finished": _block((finished.thickness, finished.width, finished.length), printing),
        "rough": _block((rough.thickness, rough.width, rough.length), printing),
        "shoulder": None if row.shoulder_length is None else printing.length(row.shoulder_length),
        "hand": row.hand.value,
        "notes": list(row.notes),
        "note": "; ".join(row_notes(row, printing)),
    }


def _block(sizes: tuple[float, float, float], printing: Printing) -> str:
    """Thickness, width, length, in this order, as everywhere."""
    return " x ".join(printing.length(size) for size in sizes)


def _box(worked: Worked, meshes: Meshes) -> list[list[float]] | None:
    lows, highs = [], []
    for part in worked.checked.piece.parts:
        points = part.recipe.frame.many_to_world(meshes[part.id].positions.astype(np.float64))
        lows.append(points.min(axis=0))
        highs.append(points.max(axis=0))
    if not lows:
        return None
    return [[round(float(v), 3) for v in np.min(lows, axis=0)], [round(float(v), 3) for v in np.max(highs, axis=0)]]
