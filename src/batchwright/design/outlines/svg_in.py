"""SVG read into strokes: paths and shapes with all their transforms, in real units. svgelements enters here only."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree

import numpy as np

from batchwright.design.outlines.strokes import (
    MOST_STROKES,
    Held,
    Stroke,
    Unreadable,
    elliptical,
    raised,
)
from batchwright.geometry.curve import map_path
from batchwright.geometry.frame import Vec2
from batchwright.geometry.segment import Arc, Line, Path, Segment, apart

REAL = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72.0, "pc": 25.4 / 6.0, "q": 0.25}
"""Units of a width that are lengths [mm]; a pixel is none (CSS values and units, absolute lengths)."""
WIDTH = re.compile(r"\s*([+-]?[\d.]+(?:e[+-]?\d+)?)\s*([a-zA-Z%]*)\s*")
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
LINK = "{http://www.w3.org/1999/xlink}href"
MOST_DRAWN = 50_000
"""Elements of a drawing, each counted as often as it is repeated (SVG 1.1, 5.6: `use`)."""
EVEN = 1e-7
"""An ellipse whose half axes agree to this share is a circle."""


def read_svg(content: bytes) -> Held:
    """All strokes of an SVG in millimetres, y upwards from the drawing's own origin. Raises Unreadable."""
    if b"<!entity" in content.lower():
        raise Unreadable("it defines entities, which are not read", "save it as plain SVG")
    if b"<svg" not in content[:100_000].lower():
        raise Unreadable("it holds no <svg> at its beginning", "save it anew as plain SVG")
    try:
        _check_repeats(content)
        from svgelements import SVG

        drawing = SVG.parse(io.BytesIO(content), reify=True)
        said = str(_own(drawing).get("width", "")).strip()
        unit = _millimetres(said, drawing)
        strokes, besides = _all_of(drawing, unit or 1.0)
    except Unreadable:
        raise
    except Exception as problem:  # a maker's file may be broken in any way, and the library's errors are of many sorts
        words = " ".join(str(problem).split())[:120] or type(problem).__name__
        raise Unreadable(f"it is no SVG that can be read ({words})", "save it anew as plain SVG") from None
    told = said if said else "no width"
    return Held(form="SVG", strokes=strokes, unit=1.0 if unit else None, unit_said=told, besides=besides)


def _check_repeats(content: bytes) -> None:
    """Refuse a drawing whose parts repeat parts that repeat others, until nobody could draw them all."""
    named: dict[str, ElementTree.Element] = {}
    root = ElementTree.fromstring(content)
    for element in root.iter():
        named.setdefault(element.get("id", ""), element)
    counts: dict[ElementTree.Element, int] = {}

    def count(element: ElementTree.Element, within: frozenset[ElementTree.Element]) -> int:
        if element in within:
            raise Unreadable("a part of it repeats itself", "save the outline alone")
        if element not in counts:
            deeper = within | {element}
            drawn = 1 + sum(count(child, deeper) for child in element)
            if element.tag.rpartition("}")[2] == "use":
                link = element.get(LINK) or element.get("href") or ""
                target = named.get(link.removeprefix("#"))
                drawn += 0 if target is None else count(target, deeper)
            counts[element] = drawn
        return counts[element]

    if count(root, frozenset()) > MOST_DRAWN:
        raise Unreadable(f"it repeats its parts more than {MOST_DRAWN} times", "save the outline alone")


def _millimetres(said: str, drawing: Any) -> float | None:
    """Millimetres in one pixel of the library's, from the width as it stands in the file; None where that is no length.

    The library's own lengths go by rounded factors; the width over its pixels is exact.
    """
    match = WIDTH.fullmatch(said)
    if match is None or match[2].lower() not in REAL:
        return None
    wide, pixels = float(match[1]) * REAL[match[2].lower()], float(drawing.width)
    return wide / pixels if wide > 0.0 and pixels > 0.0 else None


def _own(element: Any) -> dict[str, Any]:
    """The attributes that stand at an element itself."""
    found: dict[str, Any] = element.values.get("attributes", {})
    return found


def _all_of(drawing: Any, unit: float) -> tuple[tuple[Stroke, ...], tuple[tuple[str, str], ...]]:
    strokes: list[Stroke] = []
    besides: list[tuple[str, str]] = []
    for element, layers in _elements(drawing, ()):
        kind = type(element).__name__.lower()
        paths = _paths_of(element, len(strokes) + 1)
        if paths is None:
            besides.append((layers[-1] if layers else "", kind))
            continue
        size = np.eye(2) * unit
        strokes += [Stroke(path=map_path(path, size), layers=layers, kind=kind) for path in paths]
        if len(strokes) > MOST_STROKES:
            raise Unreadable(f"it holds more than {MOST_STROKES} lines and curves", "save the outline alone")
    return tuple(strokes), tuple(besides)


def _elements(group: Any, layers: tuple[str, ...]) -> Iterator[tuple[Any, tuple[str, ...]]]:
    """Every drawn element with the names of the groups round it and its own."""
    from svgelements import Group, SVGElement

    for element in group:
        if not isinstance(element, SVGElement):
            continue
        own = _own(element)
        if own.get("display") == "none" or own.get("visibility") == "hidden":
            continue
        names = [str(own[key]) for key in (LABEL, "inkscape:label", "id") if own.get(key)]
        if isinstance(element, Group):
            yield from _elements(element, (*layers, *reversed(names)))
        elif type(element).__name__ not in ("ClipPath", "Pattern", "Title", "Desc", "SVGDesc"):
            yield element, (*layers, *reversed(names))


def _paths_of(element: Any, number: int) -> list[Path] | None:
    """The paths of an element, one for each time its pen is lifted; None where it is no line or curve."""
    from svgelements import Path as SvgPath
    from svgelements import Shape

    if not isinstance(element, Shape):
        return None
    whole = abs(SvgPath(element))
    found: list[Path] = []
    run: list[Segment] = []
    for index, piece in enumerate(whole):
        if type(piece).__name__ == "Move":
            found += [tuple(run)] if run else []
            run = []
        else:
            run += _segments(piece, f"edge {number} {index}")
    return found + ([tuple(run)] if run else [])


def _segments(piece: Any, name: str) -> tuple[Segment, ...]:
    kind = type(piece).__name__
    start, end = _up(piece.start), _up(piece.end)
    if kind in ("Line", "Close"):
        return (Line(start, end, name),) if apart(start, end) > 1e-9 else ()
    if kind == "QuadraticBezier":
        return (raised((start, _up(piece.control), end), name),)
    if kind == "CubicBezier":
        return (raised((start, _up(piece.control1), _up(piece.control2), end), name),)
    return _arc(piece, name)


def _up(point: Any) -> Vec2:
    """A point of the drawing with y upwards."""
    return (float(point.x), -float(point.y))


def _arc(piece: Any, name: str) -> tuple[Segment, ...]:
    """An arc of a circle as one or two arcs; of another ellipse followed by cubics."""
    a, b, sweep = float(piece.rx), float(piece.ry), float(piece.sweep)
    start, end = _up(piece.start), _up(piece.end)
    if min(a, b) <= 1e-12 or abs(sweep) <= 1e-12:
        return (Line(start, end, name),) if apart(start, end) > 1e-9 else ()
    turn, first = float(piece.get_rotation()), float(piece.get_start_t())
    c, t = math.cos(turn), math.sin(turn)
    axes = ((a * c, -a * t), (-b * t, -b * c))
    path = elliptical((_up(piece.center), axes), (first, first + sweep), name)
    if abs(a - b) > EVEN * a:
        return path
    ends = (start, *(segment.end for segment in path[:-1]), end)
    return tuple(Arc(p, s.middle, q, name) for p, q, s in zip(ends, ends[1:], path) if isinstance(s, Arc))
