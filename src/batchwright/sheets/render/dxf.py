"""Scene or outline to DXF R2010 text: true lengths, exact curves, one layer a stroke. ezdxf enters here only."""

from __future__ import annotations

import io
import math
import re
from dataclasses import dataclass

from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from batchwright.geometry.curve import flatten
from batchwright.geometry.frame import Vec2
from batchwright.geometry.outline import Outline
from batchwright.geometry.segment import Arc, Cubic, Line, Segment, arc_sweep, circle_of
from batchwright.sheets.scene.metrics import CAP_HEIGHT, printable
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Curve, Plain, Polygon, Side, Straight, Text, Weight
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import PENS, Fill, Stroke

INCH = 25.4
_ALIGN = {
    Side.START: TextEntityAlignment.LEFT,
    Side.MIDDLE: TextEntityAlignment.CENTER,
    Side.END: TextEntityAlignment.RIGHT,
}
_LINEWEIGHTS = (13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)
"""Line weights that the format knows [0.01 mm]."""
_DATES = re.compile(r"(\$TD(?:CREATE|UCREATE|UPDATE|UUPDATE)\n *40\n)[^\n]*")
_GUIDS = re.compile(r"(\$(?:FINGERPRINT|VERSION)GUID\n *2\n)[^\n]*")
_MARKER = re.compile(r"\d+\.\d+[^\n ]* @ \d{4}-[^\n]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class DxfForm:
    """How lengths are written: in inches or millimetres, curves exact or as chords.

    With `chords` closed curves become one polyline of straight pieces within that tolerance [mm], for a machine that
    reads no splines; None keeps them exact.
    """

    inches: bool = False
    chords: float | None = None

    @property
    def unit(self) -> float:
        """Millimetres in one drawing unit."""
        return INCH if self.inches else 1.0


def render_dxf(scene: Scene, form: DxfForm | None = None) -> str:
    """The scene as DXF text at true size; letters as high as they stand beside the wood on the printed sheet."""
    form = form or DxfForm()
    document = _document(form, scene.scale)
    space = document.modelspace()
    for item in draw_out(scene):
        _add(space, item, form, scene.scale)
    return _text_of(document)


def outline_dxf(outline: Outline, stroke: Stroke = Stroke.PATTERN, form: DxfForm | None = None) -> str:
    """One closed outline and nothing else, as DXF text."""
    curve = Curve(path=outline.segments, stroke=stroke, closed=True)
    return render_dxf(Scene(items=(curve,), name=stroke.value), form)


def _document(form: DxfForm, scale: float) -> Document:
    document = new("R2010", setup=False, units=1 if form.inches else 4)
    document.header["$MEASUREMENT"] = 0 if form.inches else 1
    document.header["$LUNITS"] = 2
    document.header["$LASTSAVEDBY"] = "Batchwright"
    document.styles.add("Batchwright", font="DejaVuSans.ttf")
    document.styles.add("Batchwright bold", font="DejaVuSans-Bold.ttf")
    paper = 1.0 / scale / form.unit
    for stroke in Stroke:
        pen = PENS[stroke]
        linetype = "CONTINUOUS"
        if pen.dashes:
            linetype = f"BATCHWRIGHT_{stroke.value.upper()}"
            signed = [dash * paper * (1.0, -1.0)[index % 2] for index, dash in enumerate(pen.dashes)]
            document.linetypes.add(linetype, [sum(map(abs, signed)), *signed], description=stroke.value)
        weight = min(_LINEWEIGHTS, key=lambda known, pen=pen: abs(known - pen.width * 100.0))  # type: ignore[misc]
        document.layers.add(stroke.value, color=7, linetype=linetype, lineweight=weight)
    document.layers.add("text", color=7, lineweight=18)
    return document


def _text_of(document: Document) -> str:
    """The document written out; what would differ from one run to the next (dates, marks, orders) made fixed."""
    for name in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(name)
    stream = io.StringIO()
    document.write(stream)
    text = _DATES.sub(r"\g<1>2451544.5", stream.getvalue())
    text = _GUIDS.sub(r"\g<1>{00000000-0000-0000-0000-000000000000}", text)
    return _MARKER.sub("Batchwright", text)


def _add(space: Modelspace, item: Plain, form: DxfForm, scale: float) -> None:
    match item:
        case Straight():
            space.add_line(_at(item.start, form), _at(item.end, form), dxfattribs={"layer": item.stroke.value})
        case Curve():
            _add_curve(space, item, form)
        case Polygon():
            _add_polygon(space, item, form)
        case Text():
            _add_text(space, item, form, scale)


def _at(point: Vec2, form: DxfForm) -> Vec2:
    return (point[0] / form.unit, point[1] / form.unit)


def _add_curve(space: Modelspace, curve: Curve, form: DxfForm) -> None:
    layer = {"layer": curve.stroke.value}
    if curve.closed and form.chords is not None and any(isinstance(s, Arc | Cubic) for s in curve.path):
        points = [_at((float(u), float(v)), form) for u, v in flatten(curve.path, form.chords)]
        if math.dist(points[0], points[-1]) < 1e-9:
            points.pop()
        space.add_lwpolyline(points, close=True, dxfattribs=layer)
    elif curve.closed and not any(isinstance(segment, Cubic) for segment in curve.path):
        corners = [(*_at(segment.start, form), _bulge(segment)) for segment in curve.path]
        last = curve.path[-1].end
        if math.dist(last, curve.path[0].start) > 1e-9:
            corners.append((*_at(last, form), 0.0))
        space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs=layer)
    else:
        _add_pieces(space, curve, form)


def _bulge(segment: Segment) -> float:
    return math.tan(arc_sweep(segment) / 4.0) if isinstance(segment, Arc) else 0.0


def _add_pieces(space: Modelspace, curve: Curve, form: DxfForm) -> None:
    """Each segment as what it is; cubics that follow one another under one name become one spline."""
    layer = {"layer": curve.stroke.value}
    run: list[Cubic] = []
    for segment in curve.path:
        follows = run and isinstance(segment, Cubic) and segment.name == run[-1].name and segment.start == run[-1].end
        if run and not follows:
            _add_spline(space, run, form, layer)
            run = []
        match segment:
            case Cubic():
                run.append(segment)
            case Line():
                space.add_line(_at(segment.start, form), _at(segment.end, form), dxfattribs=layer)
            case Arc():
                _add_arc(space, segment, form, layer)
    if run:
        _add_spline(space, run, form, layer)
    if curve.closed and math.dist(curve.path[-1].end, curve.path[0].start) > 1e-9:
        space.add_line(_at(curve.path[-1].end, form), _at(curve.path[0].start, form), dxfattribs=layer)


def _add_arc(space: Modelspace, arc: Arc, form: DxfForm, layer: dict[str, str]) -> None:
    if abs(arc_sweep(arc)) < 1e-9:
        space.add_line(_at(arc.start, form), _at(arc.end, form), dxfattribs=layer)
        return
    circle = circle_of(arc)
    first = math.degrees(circle.start_angle)
    last = math.degrees(circle.start_angle + circle.sweep)
    if circle.sweep < 0.0:
        first, last = last, first
    space.add_arc(_at(circle.centre, form), circle.radius / form.unit, first, last, dxfattribs=layer)


def _add_spline(space: Modelspace, run: list[Cubic], form: DxfForm, layer: dict[str, str]) -> None:
    """Cubics end to start as one spline of degree 3 with triple knots: the same curve, not a fit."""
    controls = [_at(run[0].start, form)]
    for cubic in run:
        controls += [_at(cubic.first, form), _at(cubic.second, form), _at(cubic.end, form)]
    inner = [float(index) for index in range(1, len(run)) for _ in range(3)]
    knots = [0.0] * 4 + inner + [float(len(run))] * 4
    spline = space.add_spline(degree=3, dxfattribs=layer)
    spline.control_points = [(u, v, 0.0) for u, v in controls]
    spline.knots = knots


def _add_polygon(space: Modelspace, polygon: Polygon, form: DxfForm) -> None:
    if polygon.fill is Fill.SOLID:
        layer = (polygon.stroke or Stroke.DIMENSION).value
        hatch = space.add_hatch(color=7, dxfattribs={"layer": layer})
        for ring in polygon.rings:
            hatch.paths.add_polyline_path([_at(point, form) for point in ring], is_closed=True)
    if polygon.stroke is not None:
        for ring in polygon.rings:
            points = [_at(point, form) for point in ring]
            space.add_lwpolyline(points, close=True, dxfattribs={"layer": polygon.stroke.value})


def _add_text(space: Modelspace, text: Text, form: DxfForm, scale: float) -> None:
    if not text.text.strip():
        return
    style = "Batchwright bold" if text.weight is Weight.BOLD else "Batchwright"
    entity = space.add_text(
        _literal(printable(text.text)),
        height=text.size * CAP_HEIGHT / scale / form.unit,
        rotation=math.degrees(text.angle),
        dxfattribs={"layer": "text", "style": style},
    )
    entity.set_placement(_at(text.at, form), align=_ALIGN[text.side])


def _literal(text: str) -> str:
    """The text with the format's own signs (%%d, ^J) made plain letters again."""
    return text.replace("^", "^ ").replace("%%", "%%%%%%")
