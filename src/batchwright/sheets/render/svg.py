"""Scene to SVG: presentation attributes only, lengths in millimetres, identical text for identical scenes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from xml.sax.saxutils import escape

from batchwright.geometry.curve import Arc, Cubic, Line, Path
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import arc_sweep, circle_of, point_at
from batchwright.sheets.scene.extent import Box, scene_bounds
from batchwright.sheets.scene.metrics import printable
from batchwright.sheets.scene.plain import plain_items
from batchwright.sheets.scene.primitives import Curve, Group, Item, Plain, Polygon, Side, Straight, Text, Weight
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import PENS, TINTS, Fill, Stroke

FONT = "DejaVu Sans, Verdana, sans-serif"
ARC_PIECE = 2.1
"""The most that one arc of the file turns through [rad]."""
_ANCHORS = {Side.START: "start", Side.MIDDLE: "middle", Side.END: "end"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Map:
    """From true millimetres, y up, to paper millimetres, y down."""

    left: float
    top: float
    scale: float

    def at(self, point: Vec2) -> str:
        return f"{number((point[0] - self.left) * self.scale)} {number((self.top - point[1]) * self.scale)}"


def number(value: float) -> str:
    """A number to a ten-thousandth of a millimetre, shortest form."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def render_svg(scene: Scene, margin: float = 2.0, window: Box | None = None) -> str:
    """The scene as one SVG text, as wide and high as it prints.

    Without a `window` (left, bottom, right, top in true mm) the picture holds all of the scene and `margin` [mm on
    paper] around it; with one it holds exactly the window.
    """
    if window is None:
        pad = margin / scene.scale
        left, bottom, right, top = scene_bounds(scene)
        window = (left - pad, bottom - pad, right + pad, top + pad)
    left, bottom, right, top = window
    to_paper = _Map(left=left, top=top, scale=scene.scale)
    width, height = number((right - left) * scene.scale), number((top - bottom) * scene.scale)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" font-family="{FONT}" fill="none" stroke="none" '
        'stroke-linecap="round" stroke-linejoin="round">',
        f"<title>{_clean(scene.name)}</title>",
    ]
    if scene.about:
        lines.append(f"<desc>{_clean(scene.about)}</desc>")
    return "\n".join([*lines, *_items(scene.items, to_paper), "</svg>", ""])


def _clean(text: str) -> str:
    return escape(printable(text), {'"': "&quot;"})


def _items(items: tuple[Item, ...], to_paper: _Map) -> list[str]:
    lines: list[str] = []
    loose: list[Plain] = []
    for item in items:
        if not isinstance(item, Group):
            loose += plain_items(item, to_paper.scale)
            continue
        lines += _merged(loose, to_paper)
        loose = []
        lines += [f"<g><title>{_clean(item.name)}</title>", *_items(item.items, to_paper), "</g>"]
    return lines + _merged(loose, to_paper)


def _merged(items: list[Plain], to_paper: _Map) -> list[str]:
    """Neighbouring straight lines of one stroke become one path: a hatch is one element."""
    lines: list[str] = []
    run: list[Straight] = []
    for item in items:
        if isinstance(item, Straight):
            if run and run[0].stroke is not item.stroke:
                lines.append(_straights(run, to_paper))
                run = []
            run.append(item)
            continue
        if run:
            lines.append(_straights(run, to_paper))
            run = []
        lines.append(_one(item, to_paper))
    if run:
        lines.append(_straights(run, to_paper))
    return lines


def _one(item: Curve | Polygon | Text, to_paper: _Map) -> str:
    match item:
        case Curve():
            data = _path_data(item.path, to_paper) + ("Z" if item.closed else "")
            fill = item.fill if item.closed else Fill.NONE
            return f'<path d="{data}"{_fill(fill)}{_stroke(item.stroke)}/>'
        case Polygon():
            data = "".join("M" + "L".join(to_paper.at(point) for point in ring) + "Z" for ring in item.rings)
            edge = _stroke(item.stroke) if item.stroke is not None else ""
            return f'<path d="{data}"{_fill(item.fill)}{edge}/>'
        case Text():
            return _text(item, to_paper)


def _straights(run: list[Straight], to_paper: _Map) -> str:
    data = "".join(f"M{to_paper.at(line.start)}L{to_paper.at(line.end)}" for line in run)
    return f'<path d="{data}"{_stroke(run[0].stroke)}/>'


def _stroke(stroke: Stroke) -> str:
    pen = PENS[stroke]
    dashes = f' stroke-dasharray="{" ".join(number(dash) for dash in pen.dashes)}"' if pen.dashes else ""
    return f' stroke="{pen.grey}" stroke-width="{number(pen.width)}"{dashes}'


def _fill(fill: Fill) -> str:
    return "" if fill is Fill.NONE else f' fill="{TINTS[fill]}" fill-rule="evenodd"'


def _text(text: Text, to_paper: _Map) -> str:
    u, _, v = to_paper.at(text.at).partition(" ")
    turn = f' transform="rotate({number(-math.degrees(text.angle))} {u} {v})"' if abs(text.angle) > 1e-9 else ""
    bold = ' font-weight="bold"' if text.weight is Weight.BOLD else ""
    anchor = "" if text.side is Side.START else f' text-anchor="{_ANCHORS[text.side]}"'
    return (
        f'<text x="{u}" y="{v}" font-size="{number(text.size)}"{bold}{anchor}{turn} '
        f'fill="#000000">{_clean(text.text)}</text>'
    )


def _path_data(path: Path, to_paper: _Map) -> str:
    data: list[str] = []
    at: Vec2 | None = None
    for segment in path:
        if at is None or math.dist(at, segment.start) > 1e-6:
            data.append(f"M{to_paper.at(segment.start)}")
        match segment:
            case Line():
                data.append(f"L{to_paper.at(segment.end)}")
            case Arc():
                data.append(_arc_data(segment, to_paper))
            case Cubic():
                ends = (segment.first, segment.second, segment.end)
                data.append("C" + " ".join(to_paper.at(point) for point in ends))
        at = segment.end
    return "".join(data)


def _arc_data(arc: Arc, to_paper: _Map) -> str:
    """An arc in pieces of a third of a turn or less: near a half turn, rounded ends would leave its centre loose."""
    sweep = arc_sweep(arc)
    if abs(sweep) < 1e-9:
        return f"L{to_paper.at(arc.end)}"
    radius, turn = number(circle_of(arc).radius * to_paper.scale), int(sweep < 0.0)
    pieces = math.ceil(abs(sweep) / ARC_PIECE)
    points = [*(point_at(arc, index / pieces) for index in range(1, pieces)), arc.end]
    return "".join(f"A{radius} {radius} 0 0 {turn} {to_paper.at(point)}" for point in points)
