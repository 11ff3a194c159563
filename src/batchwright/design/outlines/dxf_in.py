"""DXF read into strokes: lines, arcs, circles, ellipses, polylines with bulges, splines, blocks. ezdxf reads here."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from typing import Any

from batchwright.design.outlines.strokes import (
    MOST_STROKES,
    NEAR,
    Held,
    Stroke,
    Unreadable,
    elliptical,
    followed_by_cubics,
    raised,
)
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Arc, Line, Path, Segment, apart

UNITS = {
    1: (25.4, "inches"), 2: (304.8, "feet"), 4: (1.0, "millimetres"), 5: (10.0, "centimetres"), 6: (1000.0, "metres"),
    9: (0.0254, "thousandths of an inch"), 10: (914.4, "yards"), 13: (0.001, "micrometres"), 14: (100.0, "decimetres"),
}  # fmt: skip
"""Drawing units by the number that $INSUNITS gives them: millimetres in one, and their name (DXF reference, header)."""
KINDS = {
    "LINE": "line", "ARC": "arc", "CIRCLE": "circle", "ELLIPSE": "ellipse", "LWPOLYLINE": "polyline",
    "POLYLINE": "polyline", "SPLINE": "spline", "3DFACE": "face", "SOLID": "solid face", "MTEXT": "text",
    "INSERT": "block", "HATCH": "hatching",
}  # fmt: skip
FLAT = 1e-6
"""A curve whose plane leans more than this (cosine from square) is not seen as drawn from above."""
DEEPEST = 4
"""Blocks within blocks are opened this far."""


def read_dxf(content: bytes) -> Held:
    """All strokes of a DXF's model space. Raises Unreadable."""
    if content[:4] == b"AC10" and b"SECTION" not in content[:200]:
        raise Unreadable("it is a DWG file, whatever its name says", "save it as DXF from the drawing program")
    try:
        from ezdxf import recover

        document, _ = recover.read(io.BytesIO(content))
        entities = list(document.modelspace())
        code = int(document.header.get("$INSUNITS", 0))
    except Exception as problem:  # a maker's file may be broken in any way, and the library's errors are of many sorts
        words = " ".join(str(problem).split())[:120] or type(problem).__name__
        raise Unreadable(f"it is no DXF that can be read ({words})", "save it anew as DXF, R2000 or later") from None
    strokes: list[Stroke] = []
    besides: list[tuple[str, str]] = []
    for entity, layer in _opened(entities, "", 0):
        kind = KINDS.get(entity.dxftype(), entity.dxftype().lower())
        path = _path_of(entity, f"edge {len(strokes) + 1}")
        if path is None:
            besides.append((layer, kind))
        elif path:
            strokes.append(Stroke(path=path, layers=(layer,), kind=kind))
        if len(strokes) > MOST_STROKES:
            raise Unreadable(f"it holds more than {MOST_STROKES} lines and curves", "save the outline alone")
    unit, said = UNITS.get(code, (None, "" if code == 0 else f"unit number {code}"))
    return Held(form="DXF", strokes=tuple(strokes), unit=unit, unit_said=said, besides=tuple(besides))


def _opened(entities: Any, layer: str, depth: int) -> Iterator[tuple[Any, str]]:
    """Every entity with its layer, blocks opened; what a block holds on layer 0 lies where the block lies."""
    for entity in entities:
        own = str(entity.dxf.get("layer", "0"))
        own = layer if own == "0" and layer else own
        if entity.dxftype() == "INSERT" and depth < DEEPEST:
            yield from _opened(entity.virtual_entities(), own, depth + 1)
        else:
            yield entity, own


def _path_of(entity: Any, name: str) -> Path | None:
    """An entity as a path; empty where it has no length, None where it is no line or curve drawn from above."""
    kind = entity.dxftype()
    try:
        if kind == "LINE":
            return _line(_flat(entity.dxf.start), _flat(entity.dxf.end), name)
        if kind in ("ARC", "CIRCLE"):
            return _arc(entity, name)
        if kind == "ELLIPSE":
            return _ellipse(entity, name)
        if kind == "SPLINE":
            return _spline(entity, name)
        if kind == "LWPOLYLINE" or (kind == "POLYLINE" and entity.get_mode() in ("AcDb2dPolyline", "AcDb3dPolyline")):
            return _polyline(entity, name)
    except (ValueError, TypeError, ZeroDivisionError, AttributeError, IndexError):
        return None
    return None


def _flat(point: Any) -> Vec2:
    return (float(point[0]), float(point[1]))


def _line(start: Vec2, end: Vec2, name: str) -> Path:
    return (Line(start, end, name),) if apart(start, end) > 1e-9 else ()


def _upright(entity: Any) -> bool:
    """Whether a curve's own plane is that of the drawing, from above or from below."""
    return abs(abs(float(entity.dxf.extrusion.normalize().z)) - 1.0) < FLAT


def _arc(entity: Any, name: str) -> Path | None:
    """An arc, or a circle as two."""
    if not _upright(entity):
        return None
    radius, centre = float(entity.dxf.radius), entity.dxf.center
    if radius <= 0.0:
        return ()
    if entity.dxftype() == "CIRCLE":
        first, sweep = 0.0, 2.0 * math.pi
    else:
        first = math.radians(entity.dxf.start_angle)
        sweep = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0) or 2.0 * math.pi
    ocs = entity.ocs()

    def at(angle: float) -> Vec2:
        x, y = centre.x + radius * math.cos(angle), centre.y + radius * math.sin(angle)
        return _flat(ocs.to_wcs((x, y, centre.z)))

    count = 2 if sweep > math.pi + 1e-9 else 1
    steps = [first + sweep * i / (2 * count) for i in range(2 * count + 1)]
    points = [at(angle) for angle in steps]
    if entity.dxftype() == "CIRCLE":
        points[-1] = points[0]
    return tuple(Arc(points[2 * i], points[2 * i + 1], points[2 * i + 2], name) for i in range(count))


def _ellipse(entity: Any, name: str) -> Path | None:
    if not _upright(entity):
        return None
    tool = entity.construction_tool()
    low = float(tool.start_param)
    turn = (float(tool.end_param) - low) % (2.0 * math.pi)
    high = low + (turn if turn > 1e-9 else 2.0 * math.pi)
    axes = (_flat(tool.major_axis), _flat(tool.minor_axis))
    return elliptical((_flat(tool.center), axes), (low, high), name)


def _tolerance(entity: Any) -> float:
    """How near a curve is followed, in the file's units: as if they were the smallest that it may mean."""
    code = int(entity.doc.header.get("$INSUNITS", 0)) if entity.doc is not None else 0
    return NEAR / UNITS.get(code, (304.8, ""))[0]


def _spline(entity: Any, name: str) -> Path:
    """Exactly where it is made of cubics or less without weights; else followed."""
    curve = entity.construction_tool()
    if curve.degree <= 3 and not curve.is_rational and curve.is_clamped:
        pieces = [tuple(_flat(p) for p in points) for points in curve.bezier_decomposition()]
        return tuple(raised(points, name) for points in pieces if any(apart(points[0], p) > 1e-9 for p in points))
    knots = sorted({round(float(knot), 12) for knot in curve.knots()})
    knots = [knot for knot in knots if 0.0 <= knot <= curve.max_t] or [0.0, curve.max_t]

    def where(t: float) -> Vec2:
        return _flat(curve.point(t))

    def way(t: float) -> Vec2:
        return _flat(curve.derivative(t, 1)[1])

    found: list[Segment] = []
    for span in zip(knots, knots[1:]):
        found += followed_by_cubics(where, way, span, _tolerance(entity), name)
    return tuple(found)


def _polyline(entity: Any, name: str) -> Path | None:
    """The lines and arcs between its points, in order."""
    if entity.dxftype() == "LWPOLYLINE" and not _upright(entity):
        return None
    found: list[Segment] = []
    for number, piece in enumerate(entity.virtual_entities(), start=1):
        path = _path_of(piece, f"{name} {number}") or ()
        if found and path and apart(found[-1].end, path[0].start) > apart(found[-1].end, path[-1].end):
            path = tuple(_turned(segment) for segment in reversed(path))
        elif len(found) == 1 and path and apart(found[0].start, path[0].start) < apart(found[0].end, path[0].start):
            found = [_turned(found[0])]
        found += path
    return tuple(found)


def _turned(segment: Segment) -> Segment:
    if isinstance(segment, Arc):
        return Arc(segment.end, segment.middle, segment.start, segment.name)
    assert isinstance(segment, Line)
    return Line(segment.end, segment.start, segment.name)
