"""Outlines from DXF and SVG files: against closed forms, ezdxf's and our own writers, and files that say nothing."""

from __future__ import annotations

import io
import math
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point

from batchwright.app.load import load
from batchwright.base.fault import Fault, Level
from batchwright.design.draft import draft_piece, outline_files
from batchwright.design.shop import packaged_shop
from batchwright.design.text.read import read_tree
from batchwright.geometry.batten import batten
from batchwright.geometry.outline import Outline, area, bounds, map_outline, outline, to_polygon
from batchwright.geometry.segment import Arc, Cubic, Line, point_at
from batchwright.joinery.complete import complete_piece
from batchwright.model.shape import Prism
from batchwright.sheets.render.dxf import DxfForm, outline_dxf
from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.primitives import Curve
from batchwright.sheets.scene.scene import Scene
from batchwright.solids.build import Quality, shape_solid

HEAD = "piece: Trial\nunits: mm\nwood: white oak\nhands: as seated\n"
INCH = 25.4


def told(name: str, content: bytes | Fault | None, more: str = "") -> tuple[Outline | None, tuple[Fault, ...]]:
    """The outline of a part drawn from a file, and what there is to say of it."""
    text = f"{HEAD}parts:\n  leg: {{drawn in: side, outline: {{file: {name}{more}}}, thickness: 20}}\n"
    tree, faults = read_tree(text, "trial.piece.yaml")
    assert tree is not None and not faults
    piece, found = draft_piece(tree, "trial.piece.yaml", None, {} if content is None else {name: content})
    body = piece.parts[0].shape.body if piece is not None else None
    return (body.outline if isinstance(body, Prism) else None), found


def read(name: str, content: bytes, more: str = "") -> Outline:
    """The outline of a file that has nothing wrong."""
    shape, faults = told(name, content, more)
    assert shape is not None and not faults, [str(fault) for fault in faults]
    return shape


def fault(name: str, content: bytes | Fault | None, more: str = "") -> Fault:
    """The one fault of a file."""
    shape, faults = told(name, content, more)
    assert shape is None and len(faults) == 1, [str(each) for each in faults]
    assert faults[0].place.line == 6 and faults[0].place.column > 1
    return faults[0]


def dxf(draw: Callable[[Any], object], units: int = 4, version: str = "R2010") -> bytes:
    """A DXF as ezdxf writes it."""
    document = ezdxf.new(version, units=units)
    draw(document.modelspace())
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def svg(inner: str, size: str = 'width="100mm" height="100mm" viewBox="0 0 100 100"') -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{inner}</svg>'.encode()


def bent_leg() -> Outline:
    """Lines, an arc and two battens: all that an outline of ours is made of."""
    front = batten([(0.0, 0.0), (14.0, 180.0), (6.0, 420.0)], name="front")
    back = batten([(40.0, 420.0), (52.0, 200.0), (46.0, 0.0)], name="back")
    top = Arc((6.0, 420.0), (23.0, 429.0), (40.0, 420.0), "top")
    return outline([*front, top, *back, Line((46.0, 0.0), (0.0, 0.0), "foot")])


# --- what a DXF may hold, against closed forms


def test_a_polyline_with_a_bulge_keeps_its_arc() -> None:
    """A bulge of 1 is half a circle (DXF reference, LWPOLYLINE: tangent of a quarter of the angle)."""
    points = [(0, 0, 0), (100, 0, 1), (100, 50, 0), (0, 50, 0)]
    shape = read("a.dxf", dxf(lambda space: space.add_lwpolyline(points, format="xyb", close=True)))
    assert Counter(type(s).__name__ for s in shape.segments) == {"Line": 3, "Arc": 1}
    assert area(shape) == pytest.approx(100 * 50 + math.pi * 25**2 / 2, rel=1e-12)


def test_an_old_polyline_is_read_too() -> None:
    def draw(space: Any) -> None:
        line = space.add_polyline2d([(0, 0), (80, 0), (80, 30)], close=True)
        line.vertices[0].dxf.bulge = 0.5

    shape = read("a.dxf", dxf(draw))
    angle = 4 * math.atan(0.5)
    radius = 40 / math.sin(angle / 2)
    assert area(shape) == pytest.approx(80 * 30 / 2 + radius**2 / 2 * (angle - math.sin(angle)), rel=1e-12)


def test_a_circle_is_two_arcs_and_one_edge() -> None:
    shape = read("a.dxf", dxf(lambda space: space.add_circle((10, 20), 7.5)))
    assert all(isinstance(s, Arc) for s in shape.segments) and len({s.name for s in shape.segments}) == 1
    assert area(shape) == pytest.approx(math.pi * 7.5**2, rel=1e-12)
    assert bounds(shape) == pytest.approx((2.5, 12.5, 17.5, 27.5))


def test_an_ellipse_is_followed_within_a_hundredth_of_a_millimetre() -> None:
    shape = read("a.dxf", dxf(lambda space: space.add_ellipse((0, 0), (300, 0), 0.4)))
    assert area(shape) == pytest.approx(math.pi * 300 * 120, rel=1e-6)
    for u, v in to_polygon(shape, 0.001):
        assert abs(math.hypot(u / 300, v / 120) - 1) * 120 < 0.01


def test_strokes_in_any_order_and_direction_make_one_loop() -> None:
    def draw(space: Any) -> None:
        space.add_line((0, 30), (0, 0))
        space.add_arc((40, 15), 15, 270, 90)
        space.add_line((40, 30), (0, 30))
        space.add_line((40, 0), (0, 0))

    shape = read("a.dxf", dxf(draw))
    assert area(shape) == pytest.approx(40 * 30 + math.pi * 15**2 / 2, rel=1e-12)


def test_an_arc_drawn_from_below_lies_where_it_is_seen() -> None:
    """An arc with its extrusion turned down is mirrored (DXF reference, object coordinate systems)."""

    def draw(space: Any) -> None:
        space.add_line((-40, 0), (0, 0))
        space.add_line((0, 30), (-40, 30))
        space.add_line((0, 30), (0, 0))
        space.add_arc((40, 15), 15, 270, 90, dxfattribs={"extrusion": (0, 0, -1)})

    shape = read("a.dxf", dxf(draw))
    assert bounds(shape) == pytest.approx((-55, 0, 0, 30))


def test_a_cubic_spline_is_kept_exactly_and_others_are_followed() -> None:
    control = [(0, 0), (20, 40), (60, 50), (90, 10), (100, 0)]
    weights = [1.0, 2.0, 1.0, 0.5, 1.0]

    def plain(space: Any) -> None:
        space.add_open_spline(control)
        space.add_line((100, 0), (0, 0))

    def weighted(space: Any) -> None:
        space.add_rational_spline(control, weights)
        space.add_line((100, 0), (0, 0))

    for draw in (plain, weighted):
        content = dxf(draw)
        shape = read("a.dxf", content)
        assert len({s.name for s in shape.segments if isinstance(s, Cubic)}) == 1
        spline = ezdxf.read(io.StringIO(content.decode())).modelspace().query("SPLINE").first
        ours = np.array(
            [point_at(s, t) for s in shape.segments if isinstance(s, Cubic) for t in np.linspace(0, 1, 200)]
        )
        theirs = np.array([(p.x, p.y) for p in spline.construction_tool().approximate(4000)])
        line = LineString(theirs)
        assert max(line.distance(Point(place)) for place in ours[::7]) < 0.005
        u, v = theirs.T
        assert area(shape) == pytest.approx(abs(float(np.trapezoid(v, u))), rel=1e-5)


def test_blocks_are_opened_and_what_lies_on_their_layer_nought_lies_where_they_do() -> None:
    def draw(space: Any) -> None:
        block = space.doc.blocks.new("leg")
        block.add_lwpolyline([(0, 0), (10, 0), (10, 20), (0, 20)], close=True)
        space.add_blockref("leg", (100, 0), dxfattribs={"layer": "outline", "xscale": 2, "yscale": 2})
        space.add_circle((0, 0), 3, dxfattribs={"layer": "holes"})

    assert bounds(read("a.dxf", dxf(draw), ", layer: outline")) == pytest.approx((100, 0, 120, 40))


@pytest.mark.parametrize(("code", "size"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_units_are_those_of_the_file(code: int, size: float) -> None:
    """$INSUNITS of the DXF reference: 1 inches, 2 feet, 4 millimetres, 5 centimetres, 6 metres."""
    shape = read("a.dxf", dxf(lambda space: space.add_circle((0, 0), 0.5), units=code))
    assert bounds(shape)[2] - bounds(shape)[0] == pytest.approx(size)


def test_at_turn_and_scale_lay_it_down() -> None:
    content = dxf(lambda space: space.add_lwpolyline([(0, 0), (10, 0), (10, 4), (0, 4)], close=True))
    shape = read("a.dxf", content, ", at: [100, 50], turn: 90 deg, scale: 2")
    assert bounds(shape) == pytest.approx((92, 50, 100, 70))


def test_gaps_within_five_hundredths_are_closed_and_told() -> None:
    def draw(space: Any) -> None:
        space.add_line((0, 0), (50, 0))
        space.add_line((50.03, 0.0), (50, 40))
        space.add_line((50, 40), (0, 0))
        space.add_line((0, 0), (50, 0))

    shape, faults = told("a.dxf", dxf(draw))
    assert shape is not None and area(shape) == pytest.approx(1000, abs=1)
    assert [(each.code, each.level) for each in faults] == [
        ("outline-drawn-twice", Level.WARNING),
        ("outline-gaps-closed", Level.WARNING),
    ]
    assert "0.030 mm" in faults[1].what


# --- what an SVG may hold


def test_transforms_and_the_view_box_make_real_millimetres() -> None:
    inner = '<g transform="translate(10 20) rotate(90)"><rect width="30" height="12"/></g>'
    shape = read("a.svg", svg(inner, 'width="50mm" height="50mm" viewBox="0 0 100 100"'))
    assert bounds(shape) == pytest.approx((-1, -25, 5, -10), abs=1e-4)


def test_a_rounded_rectangle_keeps_its_arcs() -> None:
    shape = read("a.svg", svg('<rect x="5" y="5" width="60" height="30" rx="6"/>'))
    assert Counter(type(s).__name__ for s in shape.segments) == {"Line": 4, "Arc": 4}
    assert area(shape) == pytest.approx(60 * 30 - (4 - math.pi) * 36, rel=1e-6)


def test_curves_of_every_sort() -> None:
    """A quadratic through (0, 0), control (50, 60), (100, 0): two thirds of its triangle, closed form of a parabola."""
    shape = read("a.svg", svg('<path d="M0 0 Q50 60 100 0 Z"/>'))
    assert area(shape) == pytest.approx(2 / 3 * 100 * 60 / 2, rel=1e-6)
    ellipse = read("a.svg", svg('<ellipse cx="50" cy="50" rx="40" ry="15" transform="rotate(30 50 50)"/>'))
    assert area(ellipse) == pytest.approx(math.pi * 40 * 15, rel=1e-5)
    arc = read("a.svg", svg('<path d="M10 50 A40 40 0 0 1 90 50 Z"/>'))
    assert area(arc) == pytest.approx(math.pi * 40**2 / 2, rel=1e-6)
    assert bounds(arc)[1] == pytest.approx(-50, abs=1e-3) and bounds(arc)[3] == pytest.approx(-10, abs=1e-3)


@pytest.mark.parametrize(
    ("size", "mm"),
    [('width="4in" height="4in" viewBox="0 0 4 4"', 25.4), ('width="20cm" height="20cm" viewBox="0 0 20 20"', 10.0),
     ('width="72pt" height="72pt" viewBox="0 0 72 72"', 25.4 / 72)],
)  # fmt: skip
def test_an_svg_in_inches_centimetres_and_points(size: str, mm: float) -> None:
    """CSS values and units: 1in is 2.54cm is 72pt."""
    shape = read("a.svg", svg('<circle cx="2" cy="2" r="1"/>', size))
    assert bounds(shape)[2] - bounds(shape)[0] == pytest.approx(2 * mm, rel=1e-5)


def test_a_group_or_an_element_is_a_layer() -> None:
    inner = '<g id="outline"><rect width="30" height="12"/></g><circle id="hole" cx="50" cy="50" r="3"/>'
    assert area(read("a.svg", svg(inner), ", layer: outline")) == pytest.approx(360, rel=1e-5)
    assert area(read("a.svg", svg(inner), ", layer: hole")) == pytest.approx(9 * math.pi, rel=1e-5)


# --- out and in again


@pytest.mark.parametrize("form", [DxfForm(), DxfForm(inches=True)])
def test_our_own_dxf_comes_back_as_it_was(form: DxfForm) -> None:
    shape = bent_leg()
    back = read("a.dxf", outline_dxf(shape, form=form).encode(), ", layer: pattern")
    assert area(back) == pytest.approx(area(shape), rel=1e-9)
    assert bounds(back) == pytest.approx(bounds(shape), abs=1e-6)
    kinds = Counter(type(s).__name__ for s in shape.segments)
    assert Counter(type(s).__name__ for s in back.segments) == kinds


def test_our_own_dxf_in_chords_comes_back_within_its_tolerance() -> None:
    back = read("a.dxf", outline_dxf(bent_leg(), form=DxfForm(chords=0.02)).encode(), ", layer: pattern")
    assert area(back) == pytest.approx(area(bent_leg()), rel=1e-3)
    assert bounds(back) == pytest.approx(bounds(bent_leg()), abs=0.021)


def test_our_own_svg_comes_back_as_it_was() -> None:
    shape = bent_leg()
    drawing = render_svg(Scene(items=(Curve(path=shape.segments, closed=True),), name="leg"))
    back = read("a.svg", drawing.encode())
    assert area(back) == pytest.approx(area(shape), rel=2e-5)
    u, v = bounds(shape)[2] - bounds(shape)[0], bounds(shape)[3] - bounds(shape)[1]
    assert bounds(back)[2] - bounds(back)[0] == pytest.approx(u, abs=0.01)
    assert bounds(back)[3] - bounds(back)[1] == pytest.approx(v, abs=0.01)


def test_the_solid_from_a_file_is_that_of_the_outline_drawn_here() -> None:
    shape = bent_leg()
    back = read("a.dxf", outline_dxf(shape).encode(), ", layer: pattern")
    from_here, from_file = (
        shape_solid(_prism(each), quality=Quality.FINE).volume for each in (shape, map_outline(back, np.eye(2)))
    )
    assert from_file == pytest.approx(from_here, rel=1e-6)
    assert from_file == pytest.approx(area(shape) * 20, rel=1e-4)


def _prism(shape: Outline) -> Any:
    from batchwright.model.shape import Shape

    return Shape(body=Prism(outline=shape, low=-10.0, high=10.0))


# --- what is wrong with a file, and what was found in it


def test_a_file_that_was_not_handed_in() -> None:
    assert fault("a.dxf", None).code == "outline-file-not-given"


def test_a_file_of_another_kind() -> None:
    found = fault("leg.dwg", b"AC1032")
    assert found.code == "outline-file-kind" and ".dxf" in found.why


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [("a.dxf", b"hello world", "hello world"), ("a.dxf", b"AC1032\0\0\0", "DWG"), ("a.svg", b"<html></html>", "<svg>"),
     ("a.svg", b"<svg><!ENTITY a 'b'></svg>", "entities"), ("a.svg", b"<svg width='3mm'><path", "SVG")],
)  # fmt: skip
def test_bytes_that_are_no_drawing(name: str, content: bytes, says: str) -> None:
    found = fault(name, content)
    assert found.code == "outline-file-unreadable" and says in found.what + found.why and "bytes" in found.why


def test_units_that_nobody_says() -> None:
    content = dxf(lambda space: space.add_circle((0, 0), 1), units=0)
    assert fault("a.dxf", content).code == "outline-units-not-said"
    assert bounds(read("a.dxf", content, ", units: in"))[2] == pytest.approx(INCH)
    found = fault("a.svg", svg("<circle r='5'/>", 'width="640px" height="480px"'))
    assert found.code == "outline-units-not-said" and "640px" in found.what
    found = fault("a.svg", svg("<circle r='5'/>", 'viewBox="0 0 10 10"'))
    assert found.code == "outline-units-not-said" and "no width" in found.what


def test_units_that_differ() -> None:
    found = fault("a.dxf", dxf(lambda space: space.add_circle((0, 0), 1)), ", units: in")
    assert found.code == "outline-units-differ" and "millimetres" in found.what
    assert fault("a.dxf", dxf(lambda space: space.add_circle((0, 0), 1)), ", units: ell").code == "unknown-choice"


def test_a_layer_that_is_not_there() -> None:
    content = dxf(lambda space: (space.add_circle((0, 0), 9, dxfattribs={"layer": "outline"}), space.add_text("a")))
    found = fault("a.dxf", content, ", layer: outlines")
    assert found.code == "no-such-layer" and "`outline`" in found.mend and "1 circle" in found.why


def test_a_layer_with_nothing_but_words() -> None:
    content = dxf(lambda space: space.add_text("leg", dxfattribs={"layer": "words"}))
    for more in ("", ", layer: words"):
        found = fault("a.dxf", content, more)
        assert found.code == "outline-file-empty" and "1 text" in found.what


def test_an_open_outline_says_where_its_ends_lie() -> None:
    def draw(space: Any) -> None:
        space.add_line((0, 0), (50, 0))
        space.add_line((50.3, 0), (50, 40))
        space.add_line((50, 40), (0, 0))

    found = fault("a.dxf", dxf(draw))
    assert found.code == "outline-not-closed" and "(50, 0)" in found.what and "(50.3, 0)" in found.what
    assert "0.30 mm apart" in found.what and "3 lines" in found.why


def test_an_outline_that_forks() -> None:
    def draw(space: Any) -> None:
        space.add_lwpolyline([(0, 0), (50, 0), (50, 40), (0, 40)])
        space.add_line((0, 40), (0, 0))
        space.add_line((0, 0), (20, 20))

    found = fault("a.dxf", dxf(draw))
    assert found.code == "outline-forks" and "(0, 0)" in found.what


def test_more_loops_than_one_are_told_with_their_sizes() -> None:
    found = fault("a.dxf", dxf(lambda space: (space.add_circle((0, 0), 50), space.add_circle((0, 0), 5))))
    assert found.code == "outline-of-several-loops"
    assert "100.0 x 100.0 mm" in found.what and "10.0 x 10.0 mm" in found.what and "2 circles" in found.why


def test_an_outline_that_crosses_itself_or_is_too_large() -> None:
    bow = dxf(lambda space: space.add_lwpolyline([(0, 0), (50, 40), (50, 0), (0, 40)], close=True))
    assert fault("a.dxf", bow).code == "outline-crosses-itself"
    assert fault("a.dxf", dxf(lambda space: space.add_circle((0, 0), 9)), ", scale: 0").code == "not-above-zero"


def test_a_half_is_not_read_from_a_file() -> None:
    text = f"{HEAD}parts:\n  leg: {{drawn in: side, outline: {{file: a.dxf}}, mirror: 0, thickness: 20}}\n"
    tree, _ = read_tree(text, "trial.piece.yaml")
    assert tree is not None
    _, faults = draft_piece(tree, "trial.piece.yaml", None, {"a.dxf": dxf(lambda space: space.add_circle((0, 0), 9))})
    assert [each.code for each in faults] == ["outline-file-mirrored"]


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 255), st.integers(0, 60))
def test_a_file_broken_anywhere_is_told_and_never_breaks_the_reader(at: int, byte: int, cut: int) -> None:
    good = GOOD[at % 2]
    at %= len(good[1])
    content = good[1][:at] + bytes([byte]) + good[1][at + 1 + cut :]
    shape, faults = told(good[0], content)
    assert (shape is None) == any(each.level is Level.ERROR for each in faults)
    assert all(each.what and each.mend for each in faults)


GOOD = (
    ("a.dxf", outline_dxf(bent_leg()).encode()),
    ("a.svg", svg('<g id="a"><path d="M0 0 L40 0 A20 20 0 0 1 40 40 C 30 45 10 45 0 40 Z"/></g>')),
)


# --- from the project folder


def test_the_project_folder_hands_it_in_and_its_bytes_count(tmp_path: Path) -> None:
    text = f"{HEAD}parts:\n  leg: {{drawn in: side, outline: {{file: shapes/leg.dxf}}, thickness: 20}}\n"
    (tmp_path / "a.piece.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "shapes").mkdir()
    hashes = []
    for radius in (9, 10):
        drawing = dxf(lambda space, r=radius: space.add_circle((0, 0), r))  # type: ignore[misc]
        (tmp_path / "shapes" / "leg.dxf").write_bytes(drawing)
        done = load(tmp_path / "a.piece.yaml")
        assert done.thing is not None and not done.faults
        hashes.append(done.thing.design_hash)
    assert hashes[0] != hashes[1]


@pytest.mark.parametrize(("name", "code"), [("../leg.dxf", "file-outside-project"), ("leg.dxf", "file-missing")])
def test_nothing_outside_the_project_is_read(tmp_path: Path, name: str, code: str) -> None:
    (tmp_path / "leg.dxf").write_bytes(dxf(lambda space: space.add_circle((0, 0), 9)))
    job = tmp_path / "job"
    job.mkdir()
    text = f"{HEAD}parts:\n  leg: {{drawn in: side, outline: {{file: {name}}}, thickness: 20}}\n"
    (job / "a.piece.yaml").write_text(text, encoding="utf-8")
    done = load(job / "a.piece.yaml")
    assert [(each.code, each.place.line) for each in done.faults] == [(code, 6)]


def test_the_files_a_piece_names_are_known_before_it_is_drawn() -> None:
    text = (
        f"{HEAD}parts:\n  leg: {{drawn in: side, outline: {{file: a.dxf}}, thickness: 20}}\n"
        "  rail: {drawn in: front, outline: [[0, 0], [9, 0], [9, 9]], across: [0, 9],"
        " also sawn: {on: edge, outline: {file: b.svg}}}\n"
    )
    tree, _ = read_tree(text, "trial.piece.yaml")
    assert tree is not None
    assert [name for name, _ in outline_files(tree)] == ["a.dxf", "b.svg"]


def test_a_joint_that_leaves_a_part_from_a_file_says_that_sizes_do_not_move_it() -> None:
    text = HEAD + (
        "sizes: {reach: 300}\nparts:\n"
        "  leg: {drawn in: side, outline: {file: a.dxf}, across: [300, 340]}\n"
        "  rail: {box: {x: [0, reach + 20], y: [22, 42], z: [100, 180]}}\n"
        "joints:\n  - {tenon: rail, into: leg}\n"
    )
    tree, _ = read_tree(text, "trial.piece.yaml")
    assert tree is not None
    files = {"a.dxf": outline_dxf(bent_leg()).encode()}
    for reach, told in (("300", False), ("250", True)):
        draft, faults = draft_piece(tree, "trial.piece.yaml", {"reach": reach}, files)
        assert draft is not None and not faults
        piece = complete_piece(draft, packaged_shop())
        assert ("outline-stays" in {each.code for each in piece.findings}) is told
        assert bool(piece.faults) is told
