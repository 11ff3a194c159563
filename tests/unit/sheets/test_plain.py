"""How dimensions, marks and hatches are drawn out: what is measured, where the figures stand, what is inside."""

from __future__ import annotations

import math

import pytest
import shapely

from batchwright.geometry.curve import bounds
from batchwright.sheets.scene.extent import box_of, scene_bounds
from batchwright.sheets.scene.hatching import hatch_lines
from batchwright.sheets.scene.plain import dimension_line, dimension_text, draw_out, plain_items, station_text
from batchwright.sheets.scene.primitives import (
    Angle,
    CheckBar,
    Curve,
    Dimension,
    Group,
    Hatch,
    HatchKind,
    Mark,
    MarkKind,
    Note,
    Polygon,
    Radius,
    Running,
    Side,
    Station,
    Straight,
    Text,
)
from batchwright.sheets.scene.scene import Scene, each_item
from batchwright.sheets.scene.strokes import HEAVY, PENS, Fill, Stroke


def texts_of(item: object, scale: float = 1.0) -> list[str]:
    return [part.text for part in plain_items(item, scale) if isinstance(part, Text)]  # type: ignore[arg-type]


def test_every_stroke_has_a_pen_and_wood_is_drawn_heavier_than_measures() -> None:
    assert set(PENS) == set(Stroke)
    thinnest = min(PENS[stroke].width for stroke in HEAVY)
    assert thinnest > max(PENS[s].width for s in (Stroke.DIMENSION, Stroke.HATCH, Stroke.GRID, Stroke.CENTRE))


def test_a_slanted_measure_along_u_spans_just_its_u() -> None:
    item = Dimension(start=(10.0, 5.0), end=(210.0, 85.0), label="200", direction=(1.0, 0.0), offset=10.0)
    _, _, p, q = dimension_line(item, 0.5)
    assert q[0] - p[0] == pytest.approx(200.0)
    assert p[1] == q[1] == pytest.approx(85.0 + 20.0)


def test_the_label_stands_above_its_line_and_reads_from_below_or_the_right() -> None:
    for start, end, angle in (
        ((0, 0), (100, 0), 0.0),
        ((100, 0), (0, 0), 0.0),
        ((0, 0), (0, 100), math.pi / 2),
        ((0, 100), (0, 0), math.pi / 2),
        ((0, 0), (100, 100), math.pi / 4),
        ((0, 0), (-100, 100), -math.pi / 4),
    ):
        item = Dimension(start=start, end=end, label="100", offset=10.0)
        assert dimension_text(item, 1.0).angle == pytest.approx(angle)


def test_a_label_too_long_for_its_gap_stands_outside() -> None:
    item = Dimension(start=(0.0, 0.0), end=(5.0, 0.0), label="3/16", offset=8.0)
    left, _, _, _ = box_of(dimension_text(item, 1.0), 1.0)
    assert left > 5.0


def test_extension_lines_begin_clear_of_the_wood_whatever_the_scale() -> None:
    for scale in (1.0, 0.1):
        item = Dimension(start=(0.0, 0.0), end=(1000.0, 0.0), label="1000", offset=10.0)
        lines = [part for part in plain_items(item, scale) if isinstance(part, Straight)]
        assert lines[0].start[1] * scale == pytest.approx(1.5)
        assert lines[0].end[1] * scale == pytest.approx(11.5)


def test_running_marks_stand_at_their_stations_and_labels_read_outwards() -> None:
    stations = (Station(at=(0.0, 40.0), label="40"), Station(at=(3.0, 90.0), label="90"))
    item = Running(datum=(0.0, 0.0), direction=(0.0, 1.0), stations=stations, offset=-10.0)
    assert texts_of(item) == ["40", "90", "0"]
    tips = [part.rings[0][0] for part in plain_items(item, 1.0) if isinstance(part, Polygon)]
    assert [tip[1] for tip in tips] == pytest.approx([40.0, 90.0])
    assert [tip[0] for tip in tips] == pytest.approx([13.0, 13.0])
    text = station_text(item, stations[0], 1.0)
    assert text.side is Side.START and text.angle == pytest.approx(0.0) and text.at[0] > 13.0
    other_side = station_text(Running(datum=(0, 0), direction=(0, 1), stations=stations, offset=10.0), stations[0], 1.0)
    assert other_side.side is Side.END and other_side.at[0] < 0.0


def test_an_angle_is_drawn_on_the_side_asked_for() -> None:
    item = Angle(corner=(0.0, 0.0), first=(1.0, 0.0), second=(0.0, 1.0), label="90°", radius=10.0)
    arc = next(part for part in plain_items(item, 0.5) if isinstance(part, Curve))
    assert bounds(arc.path) == pytest.approx((0.0, 0.0, 20.0, 20.0), abs=1e-9)
    assert texts_of(item) == ["90°"]


def test_a_radius_touches_its_curve_and_a_note_its_tip() -> None:
    radius = plain_items(Radius(at=(5.0, 6.0), direction=(1.0, 1.0), label="R 5"), 1.0)
    assert isinstance(radius[1], Polygon) and radius[1].rings[0][0] == (5.0, 6.0)
    for dot in (True, False):
        note = plain_items(Note(tip=(5.0, 6.0), text="leave flat", dx=-9.0, dot=dot), 1.0)
        box = box_of(note[2], 1.0)
        assert box[0] <= 5.0 <= box[2] and box[1] <= 6.0 <= box[3]


@pytest.mark.parametrize("angle", [0.0, 0.7, -math.pi / 4, math.pi / 2])
def test_hatch_lines_fill_the_area_and_stay_inside(angle: float) -> None:
    """Line length times spacing tends to the area (Cavalieri); a hole stays clear. Reference for inside: shapely."""
    outer = ((0.0, 0.0), (60.0, 5.0), (50.0, 45.0), (5.0, 40.0))
    hole = ((20.0, 15.0), (35.0, 15.0), (35.0, 30.0), (20.0, 30.0))
    shape = shapely.Polygon(outer, [hole])
    lines = hatch_lines((outer, hole), angle, 0.05)
    total = sum(math.dist(a, b) for a, b in lines)
    assert total * 0.05 == pytest.approx(shape.area, rel=2e-3)
    grown = shape.buffer(1e-6)
    assert all(grown.contains(shapely.LineString(line)) for line in lines[::40])
    assert hatch_lines((), 0.0, 1.0) == ()


def test_every_kind_of_hatch_and_mark_is_drawn() -> None:
    ring = ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))
    for hatch_kind in HatchKind:
        assert len(plain_items(Hatch(rings=(ring,), kind=hatch_kind), 1.0)) > 3
    for mark_kind in MarkKind:
        parts = plain_items(Mark(kind=mark_kind, at=(100.0, 50.0), size=8.0, text="6"), 0.5)
        left, bottom, right, top = scene_bounds(Scene(items=parts, name="m", scale=0.5))
        assert left <= 100.0 <= right and bottom <= 50.0 <= top, mark_kind
        assert (right - left) * 0.5 <= 8.0 * 2.1 and (top - bottom) * 0.5 <= 8.0 * 1.3


def test_a_lone_six_in_a_circle_is_barred() -> None:
    def bars(text: str) -> int:
        mark = Mark(kind=MarkKind.NUMBER, at=(0.0, 0.0), size=10.0, text=text)
        return sum(isinstance(part, Straight) for part in plain_items(mark, 1.0))

    assert (bars("6"), bars("9"), bars("66"), bars("7"), bars("26")) == (1, 1, 1, 0, 0)


@pytest.mark.parametrize("scale", [1.0, 0.2])
def test_the_check_bar_is_100_mm_and_4_in_whatever_the_scale(scale: float) -> None:
    parts = plain_items(CheckBar(at=(7.0, 9.0)), scale)
    boxes = [box_of(part, scale) for part in parts if isinstance(part, Polygon)]
    above = [box for box in boxes if box[3] > 9.0 + 1e-9]
    below = [box for box in boxes if box[1] < 9.0 - 1e-9]
    assert max(box[2] for box in above) - min(box[0] for box in above) == pytest.approx(100.0)
    assert max(box[2] for box in below) - min(box[0] for box in below) == pytest.approx(4 * 25.4)
    assert len(above) == 10 and len(below) == 4
    assert [part.text for part in parts if isinstance(part, Text)] == ["100 mm", "4 in"]


def test_a_halo_lies_under_its_text_and_groups_open_in_order() -> None:
    text = Text(at=(0.0, 0.0), text="seat", halo=True)
    scene = Scene(items=(Group(name="g", items=(text, Straight(start=(0, 0), end=(1, 0)))),), name="a")
    parts = draw_out(scene)
    assert isinstance(parts[0], Polygon) and parts[0].fill is Fill.PAPER
    assert [type(item) for item in each_item(scene.items)] == [Text, Straight]


def test_a_scene_without_scale_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        Scene(items=(), name="a", scale=0.0)


def test_a_lifted_label_is_led_back_to_its_line_and_a_shifted_one_has_its_line_drawn_out() -> None:
    base = Dimension(start=(0.0, 0.0), end=(20.0, 0.0), label="13/16", offset=10.0)

    def lines(item: Dimension) -> list[Straight]:
        return [p for p in plain_items(item, 1.0) if isinstance(p, Straight) and p.stroke is Stroke.DIMENSION]

    lifted = lines(Dimension(start=base.start, end=base.end, label=base.label, offset=10.0, shift=30.0, lift=8.0))
    assert len(lifted) == len(lines(base)) + 1
    assert any(line.start == pytest.approx((10.0, 10.0)) and line.end[1] > 15.0 for line in lifted)
    left = lines(Dimension(start=base.start, end=base.end, label=base.label, offset=10.0, shift=-30.0))
    assert min(line.start[0] for line in left) < -10.0


def test_no_extension_line_where_the_dimension_touches_the_wood() -> None:
    item = Dimension(start=(0.0, 0.0), end=(40.0, 0.0), label="40", offset=1.0)
    along = [p for p in plain_items(item, 1.0) if isinstance(p, Straight) and p.stroke is Stroke.DIMENSION]
    assert len(along) == 1


def test_upright_running_labels_stand_outside_the_line_on_either_side() -> None:
    stations = (Station(at=(50.0, 0.0), label="50"),)
    for offset in (10.0, -10.0):
        item = Running(datum=(0.0, 0.0), direction=(1.0, 0.0), stations=stations, offset=offset, upright=True)
        text = station_text(item, stations[0], 1.0)
        box = box_of(text, 1.0)
        assert text.angle == pytest.approx(0.0) and text.side is Side.MIDDLE
        assert box[1] > 10.0 if offset > 0.0 else box[3] < -10.0


def test_a_scene_of_nothing_has_a_size_all_the_same() -> None:
    assert scene_bounds(Scene(items=(), name="a")) == (0.0, 0.0, 0.0, 0.0)
