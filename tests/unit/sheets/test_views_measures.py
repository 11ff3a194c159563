"""What sheets work out by themselves: bevels, ordinates, tapers, breaks, names, scales, numbers as printed.

Closed forms: a plane tilted by a and b meets two square faces under the same angles; an arc of radius R over a chord c
rises R - sqrt(R^2 - c^2/4) (any geometry book); hulls are held against shapely.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from batchwright.base.length import INCH, Unit
from batchwright.geometry.frame import Plane, unit
from batchwright.geometry.outline import outline, polygon_outline
from batchwright.geometry.segment import Arc, Line
from batchwright.model.draft import Hands
from batchwright.model.piece import End
from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.primitives import BODY
from batchwright.sheets.views.bevels import bevel_of, bevels
from batchwright.sheets.views.breaks import Broken, broken
from batchwright.sheets.views.naming import clear_stretches, letter, lettered, shortened
from batchwright.sheets.views.ordinates import ordinate_at, ordinates, tapers
from batchwright.sheets.views.outlines import convex_hull
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.scales import REDUCTIONS, chosen_scale
from example_packets import contents

INCHES = Printing(unit=Unit.INCHES, hands=Hands.AS_SEATED, numbers={}, totals={})
METRIC = replace(INCHES, unit=Unit.MILLIMETRES)


@given(st.floats(-0.4, 0.4), st.floats(-0.4, 0.4))
def test_a_plane_leans_on_two_faces_as_it_was_tilted(side: float, edge: float) -> None:
    """x = y tan(side) + z tan(edge) + 500: the marks on the four arrises, and the two leans."""
    part = contents("splayed-stool").made.piece.parts[-1]
    part = replace(part, outline=None, edge_outline=None, width=40.0, thickness=30.0)
    normal = unit((1.0, -math.tan(side), -math.tan(edge)))
    bevel = bevel_of("far end", End.FAR, Plane((500.0, 0.0, 0.0), normal), part, False)
    assert bevel is not None
    assert (bevel.side_lean, bevel.edge_lean) == pytest.approx((side, edge), abs=1e-9)
    a, b = 40.0 * math.tan(side), 30.0 * math.tan(edge)
    assert bevel.marks == pytest.approx((500.0, 500.0 + a, 500.0 + b, 500.0 + a + b), abs=1e-9)


def test_a_splayed_leg_is_cut_level_at_its_splay_and_rake() -> None:
    """A leg leaning by 6 degrees one way and 4 the other, cut level, leans by these on its two faces.

    Closed form: a plane square to the upright, seen along a horizontal axis, makes with the leg's square end the angle
    the leg makes with the upright in that view.
    """
    held = contents("splayed-stool")
    sizes = {size.name: size.value for size in held.made.piece.draft.sizes}
    piece = held.made.piece
    kind = next(kind for kind in piece.kinds if kind.name == "leg")
    found = bevels(piece.part(kind.parts[0]), piece)
    assert [one.name for one in found] == ["reference end", "far end"]
    for one in found:
        told = sorted((abs(one.side_lean), abs(one.edge_lean)))
        assert told == pytest.approx(sorted((sizes["splay"], sizes["rake"])), abs=math.radians(0.1))


def test_ordinates_of_an_arc_are_its_rise() -> None:
    chord, rise = 600.0, 40.0
    radius = (chord**2 / 4.0 + rise**2) / (2.0 * rise)
    arc = Arc((0.0, 100.0), (300.0, 60.0), (600.0, 100.0))
    shape = outline(
        [arc, Line((600.0, 100.0), (600.0, 0.0)), Line((600.0, 0.0), (0.0, 0.0)), Line((0.0, 0.0), (0.0, 100.0))]
    )
    for one in ordinates(shape, Unit.MILLIMETRES, 600.0):
        depth = math.sqrt(radius**2 - (one.x - 300.0) ** 2) - (radius - rise)
        assert (one.near, one.far) == pytest.approx((0.0, 100.0 - depth), abs=0.02)


@pytest.mark.parametrize(("sheet", "step"), [(Unit.INCHES, INCH / 2.0), (Unit.MILLIMETRES, 10.0)])
def test_ordinates_stand_at_even_steps_and_at_both_ends(sheet: Unit, step: float) -> None:
    shape = polygon_outline([(0.0, 0.0), (500.0, 0.0), (500.0, 60.0), (250.0, 80.0), (0.0, 60.0)])
    found = ordinates(shape, sheet, 500.0)
    assert found[0].x == pytest.approx(0.0, abs=0.01) and found[-1].x == pytest.approx(500.0, abs=0.01)
    assert 8 <= len(found) <= 15
    for one in found[1:-1]:
        assert one.x / step == pytest.approx(round(one.x / step), abs=1e-9)
    assert ordinate_at(shape, 501.0) is None


def test_a_taper_is_told_at_its_ends_and_where_it_begins() -> None:
    leg = polygon_outline([(0.0, 5.0), (500.0, 0.0), (700.0, 0.0), (700.0, 40.0), (500.0, 40.0), (0.0, 35.0)])
    found = tapers(leg, None, (40.0, 40.0))
    assert [(round(one.x), round(one.width), one.thickness) for one in found] == [
        (0, 30, 40.0),
        (500, 40, 40.0),
        (700, 40, 40.0),
    ]
    assert tapers(polygon_outline([(0.0, 0.0), (700.0, 0.0), (700.0, 40.0), (0.0, 40.0)]), None, (40.0, 40.0)) == ()


@given(st.floats(300.0, 3000.0), st.lists(st.floats(0.0, 1.0), max_size=5), st.sampled_from(REDUCTIONS))
def test_a_broken_part_fits_and_leaves_no_mark_out(length: float, places: list[float], times: float) -> None:
    marks = [(place * (length - 30.0), place * (length - 30.0) + 30.0) for place in places]
    cut = broken(length, marks, 1.0 / times, 146.0)
    if cut is None:
        return
    assert cut(length) / times <= 146.0 + 1e-6
    for low, high in cut.left_out:
        assert all(high <= first or low >= last for first, last in marks)
        assert 0.0 < low < high < length
    shown = [cut(x) for x in np.linspace(0.0, length, 200)]
    assert all(a <= b + 1e-9 for a, b in zip(shown, shown[1:], strict=False))


def test_lines_are_cut_at_a_break_and_moved_together() -> None:
    cut = Broken(left_out=((100.0, 300.0),), gap=10.0)
    chains = cut.chains(np.array([[0.0, 0.0], [400.0, 40.0]]))
    assert [chain.tolist() for chain in chains] == [
        pytest.approx(np.array([[0.0, 0.0], [100.0, 10.0]])),
        pytest.approx(np.array([[110.0, 30.0], [210.0, 40.0]])),
    ]


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=4, max_size=12))
def test_the_shadow_of_points_is_their_hull(points: list[tuple[float, float]]) -> None:
    reference = shapely.MultiPoint(points).convex_hull
    if reference.geom_type != "Polygon" or reference.area < 1.0:
        return
    assert shapely.Polygon(convex_hull(points)).area == pytest.approx(reference.area, rel=1e-4, abs=1e-3)


@given(st.floats(1.0, 5000.0), st.floats(1.0, 5000.0))
def test_the_scale_chosen_fits_and_the_next_would_not(wide: float, tall: float) -> None:
    scale = chosen_scale((wide, tall), (150.0, 200.0))
    assert wide * scale <= 150.0 + 1e-9 and tall * scale <= 200.0 + 1e-9
    larger = [1.0 / times for times in REDUCTIONS if 1.0 / times > scale + 1e-12]
    assert all(wide * one > 150.0 or tall * one > 200.0 for one in larger)


def test_letters_leave_out_those_taken_for_figures() -> None:
    names = [letter(index) for index in range(60)]
    assert len(set(names)) == 60
    assert not any("I" in name or "O" in name for name in names)
    assert names[:3] == ["A", "B", "C"] and names[24] == "AA"


def test_joints_are_called_by_the_other_part() -> None:
    piece = contents("hall-table").made.piece
    for part in piece.parts:
        for one in lettered(part, piece):
            assert one.feature.joint not in one.words
            assert "left" not in one.words or sum(other.kind == part.kind for other in piece.parts) == 1
    leg = next(part for part in piece.parts if part.draft.name == "leg")
    words = {one.words for one in lettered(leg, piece)}
    assert {"mortise for long rail", "mortise for end rail", "haunch at long rail"} <= words


def test_what_belongs_to_one_joint_shares_a_letter() -> None:
    piece = contents("hall-table").made.piece
    leg = next(part for part in piece.parts if part.draft.name == "leg")
    letters: dict[str, set[str]] = {}
    for one in lettered(leg, piece):
        letters.setdefault(one.feature.joint, set()).add(one.letter)
    assert all(len(found) == 1 for found in letters.values())


def test_clear_stretches_keep_off_tenons() -> None:
    piece = contents("splayed-stool").made.piece
    rail = next(part for part in piece.parts if part.draft.name == "cross stretcher")
    (low, high), *_ = clear_stretches(rail, lettered(rail, piece))
    assert rail.shoulder_length is not None
    assert high - low == pytest.approx(rail.shoulder_length, abs=1.0)


def test_long_names_are_shortened_to_their_room() -> None:
    assert shortened("leg", 50.0) == "leg"
    cut = shortened("a name that goes on and on and on", 40.0)
    assert cut.endswith("…") and text_width(cut, BODY) <= 40.0


def test_numbers_as_printed() -> None:
    assert INCHES.pair(25.4, 50.8) == "1 to 2"
    assert INCHES.pair(25.4, 25.5) == "1"
    assert INCHES.fine(0.1) == "0.004 in"
    assert INCHES.fine(1.5875) == "1/16 in"
    assert METRIC.fine(0.14) == "0.1 mm"
    assert INCHES.bevel(math.radians(4.0)) == "+4.0° (86.0°)"
    assert INCHES.bevel(math.radians(-5.5)) == "−5.5° (84.5°)"
    assert INCHES.bevel(0.0) == "square"
    assert METRIC.block(600.0, 48.5, 20.0) == "600 ×\u00a048.5 ×\u00a020"
