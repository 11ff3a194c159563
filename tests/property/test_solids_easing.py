"""Laws of eased edges on the shapes makers draw: strips, tapered sticks, rails sawn twice, plans with round corners."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.frame import WORLD, Plane
from batchwright.geometry.outline import outline, polygon_outline, round_corner
from batchwright.geometry.segment import Cubic, Line
from batchwright.model.shape import EdgeCut, EdgeKind, PlaneCut, Prism, Sawn, Shape, Station, Stick
from batchwright.solids.build import shape_solid
from batchwright.solids.choose import is_meant, long_way, looks_of, pairs_of
from batchwright.solids.easing import removed_area
from batchwright.solids.edges import arrises_of
from batchwright.solids.meet import pieces


@st.composite
def strips(draw: st.DrawFn) -> Shape:
    """A bent strip: an arm, a slat, a back leg."""
    count = draw(st.integers(3, 5))
    steps = draw(st.lists(st.floats(100.0, 220.0), min_size=count, max_size=count))
    rises = draw(st.lists(st.floats(-25.0, 25.0), min_size=count, max_size=count))
    widths = draw(st.lists(st.floats(30.0, 80.0), min_size=count, max_size=count))
    places = [(sum(steps[:i]), rise) for i, rise in enumerate(rises)]
    return Shape(
        body=Prism(outline=strip_outline(batten(places), widths), low=0.0, high=draw(st.floats(15.0, 50.0)))
    )


@st.composite
def tapered_sticks(draw: st.DrawFn) -> Shape:
    """A leg tapered on two faces from some way down, its ends sawn at a slope."""
    a, b, slope = draw(st.floats(15.0, 30.0)), draw(st.floats(6.0, 14.0)), draw(st.floats(-0.3, 0.3))
    stations = (
        Station(at=0.0, v=(-a, a), w=(-a, a)),
        Station(at=draw(st.floats(60.0, 150.0)), v=(-a, a), w=(-a, a)),
        Station(at=600.0, v=(-b, a), w=(-b, a)),
    )
    c, s = math.cos(slope), math.sin(slope)
    cuts = (
        PlaneCut(plane=Plane((580.0, 0.0, 0.0), (c, s, 0.0))),
        PlaneCut(plane=Plane((20.0, 0.0, 0.0), (-c, -s, 0.0))),
    )
    return Shape(body=Stick(stations=stations), cuts=cuts)


@st.composite
def crests(draw: st.DrawFn) -> Shape:
    """A rail with a bowed top, sawn again to a bow in plan."""
    top = [
        Cubic(part.start, part.first, part.second, part.end, "top")
        for part in batten(
            [(300.0, 60.0), (draw(st.floats(-90.0, 90.0)), draw(st.floats(66.0, 110.0))), (-300.0, 60.0)]
        )
        if isinstance(part, Cubic)
    ]
    blank = outline(
        [
            Line((-300.0, 0.0), (300.0, 0.0)),
            Line((300.0, 0.0), (300.0, 60.0)),
            *top,
            Line((-300.0, 60.0), (-300.0, 0.0)),
        ]
    )
    bow = strip_outline(
        batten([(-310.0, 0.0), (0.0, draw(st.floats(-20.0, 20.0))), (310.0, 0.0)]), [25.0] * 3
    )
    return Shape(body=Prism(outline=blank, low=-50.0, high=50.0), sawn=(Sawn(on="edge", outline=bow),))


@st.composite
def plans(draw: st.DrawFn) -> Shape:
    """A four-sided board out of square with one corner rounded."""
    lean = st.floats(-35.0, 35.0)
    corners = [
        (0.0, 0.0),
        (300.0 + draw(lean), draw(lean)),
        (300.0 + draw(lean), 200.0 + draw(lean)),
        (draw(lean), 170.0 + draw(lean)),
    ]
    rounded = round_corner(polygon_outline(corners), draw(st.integers(0, 3)), draw(st.floats(5.0, 40.0)))
    return Shape(body=Prism(outline=rounded, low=0.0, high=draw(st.floats(12.0, 30.0))))


def expected(shape: Shape, cut: EdgeCut) -> float:
    """What easing each chosen arris on its own would take off: corners where two meet are counted twice."""
    solid = shape_solid(shape)
    arrises = arrises_of(solid)
    looks = replace(looks_of(replace(shape, edges=(cut,)), WORLD), long=long_way(shape))
    chosen = [
        k
        for numbers in pairs_of(arrises)
        if is_meant(cut.on, arrises, numbers, (solid, looks))
        for k in numbers
    ]
    cosine = np.einsum("ij,ij->i", arrises.normal_a, arrises.normal_b)
    angles = math.pi - np.arccos(np.clip(cosine, -1.0, 1.0))
    return float(sum(arrises.length[k] * removed_area(cut, float(angles[k])) for k in chosen))


@settings(max_examples=60)
@given(
    st.one_of(strips(), tapered_sticks(), crests(), plans()),
    st.sampled_from(EdgeKind),
    st.floats(0.5, 5.5),
    st.sampled_from(["all", "long edges", "upper edges", "front edges"]),
)
def test_easing_leaves_one_sound_part_and_takes_off_what_it_should(
    shape: Shape, kind: EdgeKind, size: float, on: str
) -> None:
    cut = EdgeCut(kind=kind, size=size, on=on)
    solid = shape_solid(replace(shape, edges=(cut,)))
    off = shape_solid(shape).volume - solid.volume
    assert solid.notes == ()
    assert pieces(solid) == 1
    alone = expected(shape, cut)
    assert 0.85 * alone < off < 1.05 * alone
    low, high = solid.bounds
    whole_low, whole_high = shape_solid(shape).bounds
    assert (low >= whole_low - 1e-6).all()
    assert (high <= whole_high + 1e-6).all()


@settings(max_examples=20)
@given(strips(), st.floats(20.0, 40.0))
def test_easing_too_big_for_the_part_is_told(shape: Shape, size: float) -> None:
    assert isinstance(shape.body, Prism)
    body = replace(shape.body, high=size / 2.0)
    solid = shape_solid(
        replace(shape, body=body, edges=(EdgeCut(kind=EdgeKind.CHAMFER, size=size, on="upper edges"),))
    )
    assert solid.notes
    assert all("so it is left sharp" in note for note in solid.notes)
    assert solid.volume == pytest.approx(shape_solid(replace(shape, body=body)).volume)
