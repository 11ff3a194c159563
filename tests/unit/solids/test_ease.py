"""Eased edges: the right ones are chosen, what does not fit is told, what is taken off is what should be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import outline, polygon_outline, round_corner
from batchwright.geometry.segment import Arc, Cubic, Line
from batchwright.model.shape import EdgeCut, EdgeKind, Prism, Sawn, Shape, Station, Stick
from batchwright.solids.build import Quality, placed, shape_solid
from batchwright.solids.meet import pieces
from batchwright.solids.solid import Solid

LENGTH, WIDTH, THICK = 600.0, 60.0, 25.0
BAR = Shape(
    body=Prism(
        outline=polygon_outline([(0.0, 0.0), (LENGTH, 0.0), (LENGTH, WIDTH), (0.0, WIDTH)]),
        low=0.0,
        high=THICK,
    )
)
LEVEL = Frame((100.0, 0.0, 0.0))
UPRIGHT = Frame((100.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def chamfer(size: float, on: str) -> EdgeCut:
    return EdgeCut(kind=EdgeKind.CHAMFER, size=size, on=on)


def rounded(size: float, on: str) -> EdgeCut:
    return EdgeCut(kind=EdgeKind.ROUND, size=size, on=on)


def eased(
    shape: Shape, cut: EdgeCut, frame: Frame = LEVEL, quality: Quality = Quality.LIVE
) -> tuple[Solid, float]:
    """The solid, and how much was taken off."""
    solid = shape_solid(replace(shape, edges=(cut,)), frame, quality)
    return solid, shape_solid(shape, frame, quality).volume - solid.volume


def mitred_rim(a: float, b: float, size: float) -> float:
    """What a chamfer round one face of a box, a by b, takes off: the slab less the prismatoid that is left of it."""
    middle = (a - size) * (b - size)
    return a * b * size - size / 6.0 * (a * b + 4.0 * middle + (a - 2 * size) * (b - 2 * size))


def test_long_edges_are_the_four_along_the_bar() -> None:
    solid, off = eased(BAR, chamfer(4.0, "long edges"))
    assert off == pytest.approx(4 * LENGTH * 8.0)
    assert solid.notes == ()
    assert pieces(solid) == 1


def test_round_takes_off_the_corner_less_the_quarter_circle() -> None:
    solid, off = eased(BAR, rounded(4.0, "long edges"))
    assert off == pytest.approx(4 * LENGTH * 16.0 * (1.0 - math.pi / 4.0), rel=1e-6)
    assert len(solid.face_numbers("eased")) == 4


@pytest.mark.parametrize(
    ("on", "frame", "area"),
    [
        ("upper edges", LEVEL, (LENGTH, WIDTH)),
        ("lower edges", LEVEL, (LENGTH, WIDTH)),
        ("front edges", LEVEL, (LENGTH, THICK)),
        ("back edges", LEVEL, (LENGTH, THICK)),
        ("outer edges", LEVEL, (WIDTH, THICK)),
        ("inner edges", LEVEL, (WIDTH, THICK)),
        ("top end", UPRIGHT, (WIDTH, THICK)),
        ("bottom end", UPRIGHT, (WIDTH, THICK)),
        ("upper edges", UPRIGHT, (WIDTH, THICK)),
        ("outer edges", UPRIGHT, (LENGTH, THICK)),
    ],
)
def test_words_choose_the_rim_of_one_face(on: str, frame: Frame, area: tuple[float, float]) -> None:
    solid, off = eased(BAR, chamfer(3.0, on), frame)
    assert solid.notes == ()
    assert off == pytest.approx(mitred_rim(*area, 3.0))


def test_the_chosen_face_is_the_right_one_of_two() -> None:
    upper, _ = eased(BAR, chamfer(3.0, "upper edges"))
    shrunk = upper.vertices[upper.vertices[:, 2] > THICK - 1e-6]
    assert shrunk[:, 1].min() == pytest.approx(3.0)
    lower, _ = eased(BAR, chamfer(3.0, "lower edges"))
    assert lower.vertices[lower.vertices[:, 2] < 1e-6][:, 1].min() == pytest.approx(3.0)
    outer, _ = eased(BAR, chamfer(3.0, "outer edges"))
    assert outer.vertices[outer.vertices[:, 0] > LENGTH - 1e-6][:, 1].min() == pytest.approx(3.0)
    top, _ = eased(BAR, chamfer(3.0, "top end"), UPRIGHT)
    assert top.vertices[top.vertices[:, 0] > LENGTH - 1e-6][:, 1].min() == pytest.approx(3.0)
    front, _ = eased(BAR, chamfer(3.0, "front edges"))
    assert front.vertices[front.vertices[:, 1] < 1e-6][:, 2].max() == pytest.approx(THICK - 3.0)


def test_mirror_image_is_eased_as_the_mirror_image() -> None:
    shape = replace(BAR, edges=(chamfer(5.0, "outer edges"),))
    image = LEVEL.mirror_image(Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)))
    one, other = shape_solid(shape, LEVEL), shape_solid(shape, image)
    assert other is one
    assert placed(other, image).bounds[0][0] == pytest.approx(-700.0)


def test_all_edges_of_a_chamfered_bar_meet_in_points() -> None:
    """Twelve wedges between the corner cubes; of a corner cube of side s a quarter stays (x, y, z with every two of
    them adding up to s or more: the integral is s^3 / 4)."""
    _, off = eased(BAR, chamfer(3.0, "all"))
    corner = 27.0
    edges = 4.0 * (4.5 * (LENGTH - 6.0) + 4.5 * (WIDTH - 6.0) + 4.5 * (THICK - 6.0))
    assert off == pytest.approx(edges + 8.0 * corner * 3.0 / 4.0)


def test_round_on_a_ring_takes_off_what_pappus_says() -> None:
    disc = outline(
        [Arc((50.0, 0.0), (0.0, 50.0), (-50.0, 0.0)), Arc((-50.0, 0.0), (0.0, -50.0), (50.0, 0.0))]
    )
    shape = Shape(body=Prism(outline=disc, low=0.0, high=20.0))
    solid, off = eased(shape, rounded(4.0, "upper edges"), quality=Quality.FINE)
    area = 16.0 * (1.0 - math.pi / 4.0)
    from_rim = 4.0 * (10.0 - 3.0 * math.pi) / (12.0 - 3.0 * math.pi)
    assert off == pytest.approx(2.0 * math.pi * (50.0 - from_rim) * area, rel=2e-4)
    assert solid.notes == ()


def test_inside_corner_of_a_notch_is_mitred_and_nothing_beyond_is_nicked() -> None:
    notched = polygon_outline(
        [(0, 0), (300, 0), (300, 60), (200, 60), (200, 30), (100, 30), (100, 60), (0, 60)]
    )
    shape = Shape(body=Prism(outline=notched, low=0.0, high=20.0))
    solid, off = eased(shape, chamfer(4.0, "upper edges"))
    rim = 2 * 300.0 + 2 * 60.0 + 2 * 30.0
    # six outside corners lose s^3/3 to the mitre, two inside corners gain it
    assert off == pytest.approx(rim * 8.0 - 6.0 * 64.0 / 3.0 + 2.0 * 64.0 / 3.0)
    assert pieces(solid) == 1


def test_curved_arm_is_eased_all_round() -> None:
    arm = strip_outline(
        batten([(0.0, 0.0), (200.0, 20.0), (400.0, -10.0), (500.0, -20.0)]), [70.0, 82.0, 70.0, 45.0]
    )
    shape = Shape(body=Prism(outline=arm, low=-25.0, high=0.0))
    solid, off = eased(shape, rounded(3.0, "all"))
    assert solid.notes == ()
    assert pieces(solid) == 1
    assert off > 0.0
    assert len(solid.face_numbers("eased")) == 12


def test_part_sawn_twice_is_eased_along_its_bent_arrises() -> None:
    blank = outline(
        [
            Line((-300.0, 0.0), (300.0, 0.0)),
            Line((300.0, 0.0), (300.0, 60.0)),
            Arc((300.0, 60.0), (0.0, 100.0), (-300.0, 60.0)),
            Line((-300.0, 60.0), (-300.0, 0.0)),
        ]
    )
    bow = strip_outline(batten([(-310.0, 0.0), (0.0, 16.0), (310.0, 0.0)]), [25.0] * 3)
    crest = Shape(body=Prism(outline=blank, low=-50.0, high=50.0), sawn=(Sawn(on="edge", outline=bow),))
    solid, off = eased(crest, rounded(4.0, "all"))
    assert solid.notes == ()
    assert pieces(solid) == 1
    assert 4000.0 < off < 14000.0


def test_bug_easing_leaves_no_loose_specks() -> None:
    """Two nearly touching roundings left specks of 1e-6 mm^3, so that the rail counted as three pieces of wood."""
    top = [
        Cubic(part.start, part.first, part.second, part.end, "top")
        for part in batten([(300.0, 60.0), (4.25, 88.0), (-300.0, 60.0)])
        if isinstance(part, Cubic)
    ]
    ends = Line((300.0, 0.0), (300.0, 60.0)), Line((-300.0, 60.0), (-300.0, 0.0))
    blank = outline([Line((-300.0, 0.0), (300.0, 0.0)), ends[0], *top, ends[1]])
    bow = strip_outline(batten([(-310.0, 0.0), (0.0, 17.0), (310.0, 0.0)]), [25.0] * 3)
    crest = Shape(body=Prism(outline=blank, low=-50.0, high=50.0), sawn=(Sawn(on="edge", outline=bow),))
    solid, _ = eased(crest, rounded(3.0, "all"))
    assert pieces(solid) == 1


def test_round_stick_is_chamfered_at_its_ends() -> None:
    """Two chamfers on a cylinder of radius R: 2 pi s^2 (R - s/3), by Pappus on a right triangle."""
    station = Station(at=0.0, v=(-10.0, 10.0), w=(-10.0, 10.0))
    dowel = Shape(body=Stick(round=True, stations=(station, replace(station, at=100.0))))
    solid, off = eased(dowel, chamfer(2.0, "all"), quality=Quality.FINE)
    assert off == pytest.approx(2.0 * math.pi * 4.0 * (10.0 - 2.0 / 3.0), rel=5e-3)


@pytest.mark.parametrize("size", [1.0, 3.0, 6.0])
def test_rounded_corner_of_an_outline_may_be_tighter_than_the_round(size: float) -> None:
    plan = round_corner(polygon_outline([(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)]), 0, 3.0)
    solid, off = eased(Shape(body=Prism(outline=plan, low=0.0, high=20.0)), rounded(size, "upper edges"))
    assert solid.notes == ()
    assert pieces(solid) == 1
    assert off == pytest.approx(300.0 * size**2 * (1.0 - math.pi / 4.0), rel=0.05)


def test_easing_that_does_not_fit_is_told_and_left_out() -> None:
    solid, off = eased(BAR, rounded(26.0, "upper edges"))
    assert off == 0.0
    assert len(solid.notes) == 4
    assert "only 25.0 mm of wood" in solid.notes[0]
    assert "26.0 mm are needed" in solid.notes[0]


@pytest.mark.parametrize(
    ("cut", "frame", "words"),
    [
        (chamfer(3.0, "wet edges"), LEVEL, "no such edge"),
        (chamfer(3.0, "top end"), LEVEL, "lies level"),
        (chamfer(3.0, "outer edges"), Frame((-300.0, 0.0, 0.0)), "reaches over the middle"),
        (chamfer(0.0, "all"), LEVEL, "above zero"),
        (chamfer(-1.0, "all"), LEVEL, "above zero"),
    ],
)
def test_easing_without_an_edge_is_told(cut: EdgeCut, frame: Frame, words: str) -> None:
    solid, off = eased(BAR, cut, frame)
    assert off == 0.0
    assert words in solid.notes[0]


def test_eased_faces_run_into_their_neighbours_without_an_arris() -> None:
    solid, _ = eased(BAR, rounded(4.0, "long edges"))
    (first, *_) = solid.face_numbers("eased")
    assert any(first in pair for pair in solid.joins)
    sharp, _ = eased(BAR, chamfer(4.0, "long edges"))
    (first, *_) = sharp.face_numbers("eased")
    assert not any(first in pair for pair in sharp.joins)


def test_two_easings_follow_one_another() -> None:
    shape = replace(BAR, edges=(rounded(3.0, "long edges"), chamfer(6.0, "outer edges")))
    solid = shape_solid(shape, LEVEL)
    assert solid.notes == ()
    assert pieces(solid) == 1
    ends = solid.vertices[:, 0]
    assert ends.max() == pytest.approx(LENGTH)
    assert np.ptp(solid.vertices[ends > LENGTH - 1e-6][:, 1]) == pytest.approx(WIDTH - 12.0)
