"""SVG: parsed back with an XML parser and with svgelements; one golden file."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable

import pytest
import svgelements

from batchwright.geometry.segment import Arc, Cubic, Line
from batchwright.sheets.render.svg import number, render_svg
from batchwright.sheets.scene.extent import paper_size
from batchwright.sheets.scene.primitives import Curve, Polygon, Straight, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import Fill, Stroke

from .drawn_leg import drawn_leg

SVG = "{http://www.w3.org/2000/svg}"


def parsed(scene: Scene, margin: float = 2.0) -> ElementTree.Element:
    return ElementTree.fromstring(render_svg(scene, margin))


def lengths(scene: Scene) -> list[float]:
    """Length of every path on paper [mm], as svgelements reads them."""
    return [svgelements.Path(element.get("d")).length(error=1e-7) for element in parsed(scene).iter(f"{SVG}path")]


def test_golden_leg(golden: Callable[[str, str | bytes], None]) -> None:
    golden("scenes/leg.svg", render_svg(drawn_leg()))


def test_size_is_that_of_the_paper_and_one_unit_is_one_millimetre() -> None:
    root = parsed(drawn_leg(), margin=3.0)
    width, height = paper_size(drawn_leg(), 3.0)
    assert float(root.get("width").removesuffix("mm")) == pytest.approx(width, abs=1e-3)
    assert float(root.get("height").removesuffix("mm")) == pytest.approx(height, abs=1e-3)
    assert [float(part) for part in root.get("viewBox").split()] == pytest.approx([0, 0, width, height], abs=1e-3)


def test_only_presentation_attributes_and_no_ids() -> None:
    names = (
        "xmlns width height viewBox role font-family fill stroke stroke-linecap stroke-linejoin d stroke-width "
        "stroke-dasharray fill-rule x y font-size font-weight text-anchor transform"
    )
    allowed = set(names.split())
    for element in parsed(drawn_leg()).iter():
        assert set(element.attrib) <= allowed, element.attrib
    assert {e.tag.removeprefix(SVG) for e in parsed(drawn_leg()).iter()} == {
        "svg",
        "title",
        "desc",
        "g",
        "path",
        "text",
    }


def test_words_are_escaped_and_told_to_those_who_cannot_see() -> None:
    root = parsed(drawn_leg())
    assert root.find(f"{SVG}title").text == "Leg & foot"
    assert root.find(f"{SVG}desc").text == 'A curved leg, seen from "outside"'
    assert root.find(f"{SVG}g/{SVG}title").text == "bench marks"
    assert 'inside <left> & "back"' in [element.text for element in root.iter(f"{SVG}text")]


def test_same_scene_same_text() -> None:
    assert render_svg(drawn_leg()) == render_svg(drawn_leg())
    assert render_svg(drawn_leg(0.5)) != render_svg(drawn_leg())


@pytest.mark.parametrize("sweep", [0.3, 1.5, math.pi, 4.0, 6.0, -0.3, -2.5, -5.0])
@pytest.mark.parametrize("scale", [1.0, 0.25])
def test_arcs_keep_their_length_and_side(sweep: float, scale: float) -> None:
    """Closed form: radius times angle; the middle of the arc is where it was."""

    def point(angle: float) -> tuple[float, float]:
        return (10.0 + 40.0 * math.cos(angle), 5.0 + 40.0 * math.sin(angle))

    arc = Arc(point(0.4), point(0.4 + sweep / 2), point(0.4 + sweep))
    root = parsed(Scene(items=(Curve(path=(arc,)),), name="a", scale=scale), margin=0.0)
    path = svgelements.Path(root.find(f"{SVG}path").get("d"))
    assert path.length(error=1e-6) == pytest.approx(40.0 * abs(sweep) * scale, rel=1e-4)
    start = path.point(0.0)
    middle = path.point(0.5)
    moved = (arc.middle[0] - arc.start[0], -(arc.middle[1] - arc.start[1]))
    assert (middle.x - start.x, middle.y - start.y) == pytest.approx(tuple(scale * d for d in moved), abs=2e-3)


def test_a_cubic_keeps_its_control_points_and_y_runs_down() -> None:
    cubic = Cubic((0.0, 0.0), (10.0, 30.0), (40.0, -20.0), (50.0, 10.0))
    scene = Scene(items=(Straight(start=(0, -20), end=(0, 40)), Curve(path=(cubic,))), name="a", scale=0.5)
    paths = [element.get("d") for element in parsed(scene, margin=0.0).iter(f"{SVG}path")]
    numbers = [float(text) for text in re.findall(r"-?[\d.]+", paths[1])]
    assert numbers == pytest.approx([0, 20, 5, 5, 20, 30, 25, 15], abs=1e-3)


def test_a_hatch_of_many_lines_is_one_path() -> None:
    lines = tuple(Straight(start=(0, y), end=(10, y), stroke=Stroke.HATCH) for y in range(50))
    assert lengths(Scene(items=lines, name="a")) == pytest.approx([500.0])


def test_a_pen_up_between_segments_that_do_not_meet() -> None:
    path = (Line((0, 0), (10, 0)), Line((20, 0), (30, 0)))
    assert lengths(Scene(items=(Curve(path=path),), name="a")) == pytest.approx([20.0])


def test_an_open_curve_is_never_filled_and_a_hole_stays_open() -> None:
    curve = Curve(path=(Line((0, 0), (10, 0)), Line((10, 0), (10, 9))), fill=Fill.SOLID)
    rings = (((0, 0), (9, 0), (9, 9), (0, 9)), ((3, 3), (6, 3), (6, 6), (3, 6)))
    root = parsed(Scene(items=(curve, Polygon(rings=rings, fill=Fill.SHADE, stroke=None)), name="a"))
    first, second = root.iter(f"{SVG}path")
    assert first.get("fill") is None
    assert second.get("fill-rule") == "evenodd" and second.get("stroke") is None


def test_a_window_shows_just_its_part() -> None:
    root = ElementTree.fromstring(render_svg(drawn_leg(1.0), window=(0.0, 100.0, 179.0, 340.0)))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("179mm", "240mm", "0 0 179 240")


def test_letters_that_cannot_be_printed_do_not_break_the_file() -> None:
    root = parsed(Scene(items=(Text(at=(0, 0), text="a\x00漢\u202e"),), name="n\x01"))
    assert root.find(f"{SVG}text").text == "a\ufffd\ufffd\ufffd"


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.00001, "0"), (1.5, "1.5"), (12.34567, "12.3457"), (-100.0, "-100")]
)
def test_numbers_are_short(value: float, text: str) -> None:
    assert number(value) == text


def test_an_arc_without_a_bend_is_a_line() -> None:
    assert lengths(Scene(items=(Curve(path=(Arc((0, 0), (5, 0), (10, 0)),)),), name="a")) == pytest.approx([10.0])
