"""Exact bodies: closed forms; the same parts as the mesh; what cannot be eased is told. Skipped without the extra."""

# ruff: noqa: E402 - what needs the extra is imported after it was looked for

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest

from batchwright.geometry.batten import batten
from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import Outline, area, outline, polygon_outline
from batchwright.geometry.segment import Arc, Cubic, Line
from batchwright.geometry.strip import strip_outline
from batchwright.model.shape import (
    BodyCut,
    EdgeCut,
    EdgeKind,
    PlaneCut,
    Prism,
    Recipe,
    RegionCut,
    Sawn,
    Section,
    Shape,
    ShoulderCut,
    Station,
    Stick,
    Tool,
)
from batchwright.solids.build import Quality, recipe_solid, shape_solid

WHY = "the extra `step` is not installed, or the system lacks libGL, libX11 or libexpat"
pytest.importorskip("OCP.gp", reason=WHY, exc_type=ImportError)

from batchwright.solids import brep_kernel as kernel
from batchwright.solids.brep import exact_part, exact_shape
from batchwright.solids.brep_curve import Spline, exact_curves

HERE = Frame((100.0, 0.0, 0.0))
RECTANGLE = polygon_outline([(0.0, 0.0), (600.0, 0.0), (600.0, 60.0), (0.0, 60.0)])
BAR = Shape(body=Prism(outline=RECTANGLE, low=0.0, high=25.0))
LEG = Stick(
    stations=(
        Station(at=0.0, v=(-20.0, 20.0), w=(-20.0, 20.0)),
        Station(at=100.0, v=(-20.0, 20.0), w=(-20.0, 20.0)),
        Station(at=600.0, v=(-10.0, 12.0), w=(-11.0, 9.0)),
    )
)
STRIP = strip_outline(batten(((0.0, 0.0), (200.0, 30.0), (400.0, -10.0), (700.0, 40.0))), [50.0] * 4)


def sound(body: object) -> bool:
    return kernel.is_sound(body) and len(kernel.pieces(body)) == 1


def eased(shape: Shape, kind: EdgeKind, size: float, on: str) -> Shape:
    return replace(shape, edges=(EdgeCut(kind=kind, size=size, on=on),))


def test_a_prism_holds_its_outline_times_its_thickness() -> None:
    """Volume and surface of a cylinder over any outline: A h, and 2 A + U h."""
    half = outline([Arc((50.0, 0.0), (0.0, 50.0), (-50.0, 0.0)), Line((-50.0, 0.0), (50.0, 0.0))])
    made = exact_shape(Shape(body=Prism(outline=half, low=3.0, high=23.0)))
    assert kernel.volume(made.body) == pytest.approx(math.pi * 50.0**2 / 2.0 * 20.0, rel=1e-9)
    assert kernel.area(made.body) == pytest.approx(math.pi * 50.0**2 + (math.pi * 50.0 + 100.0) * 20.0, rel=1e-6)
    assert sound(made.body)


@pytest.mark.parametrize("drawn", [STRIP, RECTANGLE], ids=["strip", "rectangle"])
def test_splines_are_kept_as_they_were_drawn(drawn: Outline) -> None:
    """The area of the outline by Green's theorem, which knows nothing of the kernel."""
    made = exact_shape(Shape(body=Prism(outline=drawn, low=0.0, high=28.0)))
    assert kernel.volume(made.body) == pytest.approx(area(drawn) * 28.0, rel=1e-6)


def test_a_fair_curve_is_one_spline_through_the_same_points() -> None:
    curves = list(exact_curves(STRIP.segments))
    splines = [one for one in curves if isinstance(one, Spline)]
    drawn = [one for one in STRIP.segments if isinstance(one, Cubic)]
    assert len(splines) < len(drawn)
    assert sum(len(one.poles) for one in splines) == 2 * len(drawn) + 2 * len(splines)
    for one in splines:
        assert one.knots[0] == 0.0 and one.knots[-1] == 1.0 and list(one.knots) == sorted(set(one.knots))


def test_a_corner_between_two_cubics_stays_a_corner() -> None:
    corner = (
        Cubic((0.0, 0.0), (1.0, 1.0), (2.0, 1.0), (3.0, 0.0), "a"),
        Cubic((3.0, 0.0), (4.0, 1.0), (5.0, 1.0), (6.0, 0.0), "a"),
    )
    assert len(list(exact_curves(corner))) == 2


def test_a_tapered_stick_is_a_prismatoid() -> None:
    """Box and prismoidal formula, h/6 (A + 4 M + B)."""
    made = exact_shape(Shape(body=LEG))
    middle = (40.0 + 22.0) / 2.0 * (40.0 + 20.0) / 2.0
    wanted = 40.0 * 40.0 * 100.0 + 500.0 / 6.0 * (1600.0 + 4.0 * middle + 440.0)
    assert kernel.volume(made.body) == pytest.approx(wanted, rel=1e-9)
    assert sound(made.body)


def test_a_round_tapered_stick_is_a_frustum_of_a_cone() -> None:
    """pi h / 3 (R^2 + R r + r^2)."""
    ends = (Station(at=0.0, v=(-14.0, 14.0), w=(-14.0, 14.0)), Station(at=300.0, v=(-10.0, 10.0), w=(-10.0, 10.0)))
    made = exact_shape(Shape(body=Stick(round=True, stations=ends)))
    assert kernel.volume(made.body) == pytest.approx(math.pi * 100.0 * (14.0**2 + 140.0 + 100.0), rel=1e-6)
    assert sound(made.body)


def test_long_edges_rounded_leave_what_geometry_says() -> None:
    """Each edge loses (1 - pi/4) r^2 of its section."""
    made = exact_shape(eased(BAR, EdgeKind.ROUND, 4.0, "long edges"), HERE)
    wanted = 600.0 * (60.0 * 25.0 - 4.0 * (1.0 - math.pi / 4.0) * 16.0)
    assert kernel.volume(made.body) == pytest.approx(wanted, rel=1e-9)


def test_a_box_rounded_all_over_is_steiners_parallel_body() -> None:
    """Steiner: of the box less r all round, V + A r + (pi/4) r^2 of all its edges' lengths + the ball."""
    made = exact_shape(eased(BAR, EdgeKind.ROUND, 3.0, "all"), HERE)
    a, b, c, r = 594.0, 54.0, 19.0, 3.0
    wanted = a * b * c + 2.0 * (a * b + b * c + c * a) * r + math.pi * r**2 * (a + b + c) + 4.0 / 3.0 * math.pi * r**3
    assert kernel.volume(made.body) == pytest.approx(wanted, rel=1e-7)
    assert made.notes == () and sound(made.body)


@pytest.mark.parametrize("kind", list(EdgeKind))
@pytest.mark.parametrize("on", ["long edges", "all", "front edges"])
def test_edges_are_eased_over_the_kink_where_a_taper_begins(kind: EdgeKind, on: str) -> None:
    """The kernel's own rounds fail there; the cutter's result is held against the mesh."""
    shape = eased(Shape(body=LEG), kind, 3.0, on)
    made, mesh = exact_shape(shape, HERE), shape_solid(shape, HERE, Quality.FINE)
    assert made.notes == () and sound(made.body)
    assert kernel.volume(made.body) == pytest.approx(mesh.volume, rel=2e-4)
    assert kernel.area(made.body) == pytest.approx(mesh.area, rel=1e-3)


def test_edges_that_stay_sharp_are_told() -> None:
    shape = eased(Shape(body=LEG), EdgeKind.ROUND, 6.0, "all")
    made = exact_shape(shape, HERE)
    assert sound(made.body)
    assert any("left sharp" in note and "round of 6 mm on all" in note for note in made.notes)


def block(left: float, right: float, low: float, high: float) -> Outline:
    return polygon_outline([(left, low), (right, low), (right, high), (left, high)])


def _jointed() -> Recipe:
    """A bent rail: sawn again, cut at an angle, shouldered, tenoned, mortised, bored, housed."""
    body = strip_outline(batten(((0.0, 0.0), (250.0, 25.0), (500.0, 0.0))), [60.0] * 3)
    bow = strip_outline(batten(((-20.0, 20.0), (250.0, 32.0), (520.0, 20.0))), [22.0] * 3)
    shape = Shape(
        body=Prism(outline=body, low=0.0, high=50.0),
        sawn=(Sawn(on="edge", outline=bow),),
        cuts=(
            PlaneCut(plane=Plane((490.0, 0.0, 0.0), (math.cos(0.1), math.sin(0.1), 0.0))),
            RegionCut(frame=Frame((250.0, -10.0, 0.0)), outline=block(0.0, 30.0, -40.0, 5.0)),
        ),
    )
    tenon = Frame((20.0, 0.0, 22.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))
    down = Frame((150.0, 18.0, 31.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
    turned = Frame((350.0, 60.0, 31.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
    other = Shape(body=Prism(outline=block(420.0, 440.0, -60.0, 60.0), low=0.0, high=30.0))
    tip = Plane((0.0, 0.0, 24.0), (0.0, math.sin(0.5), math.cos(0.5)))
    return Recipe(
        shape=shape,
        shoulders=(ShoulderCut(plane=Plane((20.0, 0.0, 0.0), (-1.0, 0.0, 0.0)), end_point=(0.0, 0.0, 20.0)),),
        adds=(Tool(frame=tenon, width=30.0, thickness=10.0, start=-5.0, end=30.0, section=Section.ROUND_ENDED,
                   planes=(tip,)),),  # fmt: skip
        cuts=(
            Tool(frame=down, width=24.0, thickness=9.0, start=-40.0, end=12.0, section=Section.ROUND_ENDED),
            Tool(frame=turned, width=8.0, thickness=8.0, start=-40.0, end=80.0, section=Section.ROUND),
            Tool(frame=replace(down, origin=(210.0, 20.0, 31.0)), width=10.0, thickness=6.0, start=-40.0, end=10.0),
        ),
        bodies=(BodyCut(shape=other, frame=Frame()),),
    )


def test_a_jointed_part_is_the_part_of_the_mesh() -> None:
    recipe = _jointed()
    made, mesh = exact_part(recipe), recipe_solid(recipe, Quality.FINE)
    assert made.solids == 1 and sound(made.body) and made.notes == ()
    assert kernel.volume(made.body) == pytest.approx(mesh.volume, rel=3e-4)
    assert kernel.area(made.body) == pytest.approx(mesh.area, rel=1e-3)
    (low, high), (mesh_low, mesh_high) = kernel.box_of(made.body), mesh.bounds
    assert (low <= mesh_low + 0.02).all() and (high >= mesh_high - 0.02).all()
    assert (mesh_low - low < 1.0).all() and (high - mesh_high < 1.0).all()


def test_a_mirror_image_is_right_side_out() -> None:
    made = exact_part(_jointed()).body
    image = kernel.moved(made, np.diag([-1.0, 1.0, 1.0, 1.0])[:3])
    assert sound(image)
    assert kernel.volume(image) == pytest.approx(kernel.volume(made), rel=1e-9)


def test_a_cut_may_go_through_the_tenons_too() -> None:
    recipe = _jointed()
    slot = Shape(body=Prism(outline=block(-5.0, 15.0, -60.0, 60.0), low=15.0, high=20.0))
    for too in (False, True):
        cut = BodyCut(shape=slot, frame=Frame(), tenons_too=too)
        slotted = replace(recipe, bodies=(*recipe.bodies, cut))
        made, mesh = exact_part(slotted), recipe_solid(slotted, Quality.FINE)
        assert kernel.volume(made.body) == pytest.approx(mesh.volume, rel=3e-4)
    assert mesh.volume < recipe_solid(recipe, Quality.FINE).volume - 500.0


def test_no_word_of_a_recipe_is_left_out() -> None:
    """A new field of a shape must be thought of here too, or STEP would not be the part of the sheets."""
    known = {
        Recipe: "shape frame shoulders adds cuts bodies",
        Shape: "body sawn cuts edges",
        Prism: "outline low high",
        Stick: "stations round",
        Station: "at v w",
        Sawn: "on outline",
        PlaneCut: "plane",
        RegionCut: "frame outline",
        EdgeCut: "kind size on",
        Tool: "frame width thickness start end section planes",
        ShoulderCut: "plane end_point",
        BodyCut: "shape frame grow tenons_too",
    }
    assert {kind: " ".join(one.name for one in fields(kind)) for kind in known} == known
    assert {one.value for one in Section} == {"square", "round-ended", "round"}


def test_cuts_that_leave_nothing_are_told() -> None:
    cut = PlaneCut(plane=Plane((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0)))
    with pytest.raises(ValueError, match="leave nothing"):
        exact_shape(replace(BAR, cuts=(cut,)))


def test_a_file_comes_back_with_names_places_and_bodies() -> None:
    """Names beyond ASCII too: ISO 10303-21 writes them as \\X2\\...\\X0\\."""
    body = exact_shape(BAR).body
    names = (("left 'a' ½", 0.0), ("стул", 99.0))
    places = tuple((name, np.column_stack([np.eye(3), (0.0, 0.0, z)])) for name, z in names)
    content = kernel.written([kernel.Product(name="é", body=body, rgb=(0.8, 0.5, 0.2), places=places)], "chair 🪑")
    assert content.isascii() and b"AP242" in content[:1000]
    found = kernel.read(content)
    assert [name for name, _ in found] == ["left 'a' ½", "стул"]
    for (_, back), z in zip(found, (0.0, 99.0), strict=True):
        assert sound(back)
        assert kernel.volume(back) == pytest.approx(600.0 * 60.0 * 25.0, rel=1e-9)
        assert kernel.box_of(back)[0][2] == pytest.approx(z, abs=1e-5)


def test_a_strange_file_is_refused() -> None:
    with pytest.raises(ValueError, match="no STEP model"):
        kernel.read(b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n")
