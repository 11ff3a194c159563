"""Recipes made into solids: faces named as drawn, shoulders, tenons, mortises, what is refused, what is remembered."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from batchwright.geometry.batten import batten, strip_outline
from batchwright.geometry.frame import Frame, Plane
from batchwright.geometry.outline import polygon_outline
from batchwright.model.shape import (
    BodyCut,
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
from batchwright.solids.build import Quality, clear_cache, placed, recipe_solid, shape_solid
from batchwright.solids.meet import piece_volumes, pieces
from batchwright.solids.solid import Solid


def box(length: float, width: float, thickness: float) -> Shape:
    outline = polygon_outline([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
    return Shape(body=Prism(outline=outline, low=0.0, high=thickness))


def faces_present(solid: Solid) -> set[str]:
    return {solid.names[number] for number in np.unique(solid.faces)}


MORTISE = Tool(
    frame=Frame((20.0, 0.0, 500.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    width=60.0,
    thickness=10.0,
    start=-5.0,
    end=25.0,
    section=Section.ROUND_ENDED,
)
TENON = Tool(
    frame=Frame((480.0, 40.0, 10.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
    width=60.0,
    thickness=10.0,
    start=-3.0,
    end=24.0,
)


def test_box_has_its_six_faces_by_name() -> None:
    solid = shape_solid(box(10.0, 20.0, 30.0))
    assert faces_present(solid) == {"side 1", "side 2", "side 3", "side 4", "low", "high"}
    assert solid.area_of_faces("high") == pytest.approx(200.0)
    assert solid.area_of_faces("side 2") == pytest.approx(600.0)


def test_named_edge_of_an_outline_is_one_face_over_many_curves() -> None:
    strip = strip_outline(batten([(0.0, 0.0), (200.0, 20.0), (400.0, -10.0), (500.0, -20.0)]), [40.0] * 4)
    solid = shape_solid(Shape(body=Prism(outline=strip, low=0.0, high=20.0)))
    assert faces_present(solid) == {"side left", "side right", "end start", "end end", "low", "high"}


def test_mortised_leg_is_one_solid_less_the_slot() -> None:
    leg = recipe_solid(Recipe(shape=box(40.0, 40.0, 600.0), cuts=(MORTISE,)), Quality.FINE)
    slot = 25.0 * (50.0 * 10.0 + math.pi * 25.0)
    assert pieces(leg) == 1
    assert leg.volume == pytest.approx(40.0 * 40.0 * 600.0 - slot, abs=25.0 * 0.7)
    assert "mortise 1 tip" in faces_present(leg)
    assert leg.area_of_faces("mortise 1 cheek low") == pytest.approx(50.0 * 25.0)


def test_tenoned_rail_has_its_shoulder_and_tenon() -> None:
    shoulder = ShoulderCut(plane=Plane((480.0, 0.0, 0.0), (1.0, 0.0, 0.0)), end_point=(500.0, 40.0, 10.0))
    rail = recipe_solid(Recipe(shape=box(500.0, 80.0, 20.0), shoulders=(shoulder,), adds=(TENON,)))
    assert rail.volume == pytest.approx(480.0 * 80.0 * 20.0 + 60.0 * 10.0 * 24.0)
    assert rail.area_of_faces("shoulder 1") == pytest.approx(80.0 * 20.0 - 600.0)
    assert rail.bounds[1][0] == pytest.approx(504.0)
    assert pieces(rail) == 1


def test_mitred_tip_takes_half_its_wedge() -> None:
    """A tip cut at 45 degrees through its middle line loses half of thickness x thickness per width."""
    slope = 1.0 / math.sqrt(2.0)
    mitre = Plane((0.0, 0.0, 24.0 - 5.0), (0.0, slope, slope))
    rail = recipe_solid(Recipe(shape=box(480.0, 80.0, 20.0), adds=(replace(TENON, planes=(mitre,)),)))
    assert rail.volume == pytest.approx(480.0 * 80.0 * 20.0 + 60.0 * (24.0 * 10.0 - 50.0))
    assert "tenon 1 mitre 1" in faces_present(rail)


def test_shoulder_cuts_only_the_limb_that_reaches_the_end() -> None:
    """A horseshoe: the plane crosses both limbs, the cut is asked for one."""
    horseshoe = polygon_outline(
        [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 90.0),
            (80.0, 90.0),
            (80.0, 20.0),
            (20.0, 20.0),
            (20.0, 90.0),
            (0.0, 90.0),
        ]
    )
    shape = Shape(body=Prism(outline=horseshoe, low=0.0, high=10.0))
    cut = ShoulderCut(plane=Plane((0.0, 60.0, 0.0), (0.0, 1.0, 0.0)), end_point=(90.0, 90.0, 5.0))
    solid = recipe_solid(Recipe(shape=shape, shoulders=(cut,)))
    assert solid.volume == pytest.approx(shape_solid(shape).volume - 30.0 * 20.0 * 10.0)
    left_limb = solid.vertices[solid.vertices[:, 0] < 50.0]
    right_limb = solid.vertices[solid.vertices[:, 0] > 50.0]
    assert left_limb[:, 1].max() == pytest.approx(90.0)
    assert right_limb[:, 1].max() == pytest.approx(60.0)
    assert pieces(solid) == 1


def test_sawn_again_leaves_what_both_outlines_leave() -> None:
    second = polygon_outline([(0.0, 0.0), (100.0, 0.0), (100.0, 30.0)])
    shape = replace(box(100.0, 40.0, 30.0), sawn=(Sawn(on="edge", outline=second),))
    solid = shape_solid(shape)
    assert solid.volume == pytest.approx(100.0 * 30.0 / 2.0 * 40.0)
    ended = polygon_outline([(0.0, 0.0), (40.0, 0.0), (40.0, 30.0)])
    shape = replace(box(100.0, 40.0, 30.0), sawn=(Sawn(on="end", outline=ended),))
    assert shape_solid(shape).volume == pytest.approx(40.0 * 30.0 / 2.0 * 100.0)


def test_plane_and_region_cuts_go_in_order() -> None:
    level = PlaneCut(plane=Plane((90.0, 0.0, 0.0), (1.0, 0.0, 0.0)))
    notch = RegionCut(
        frame=Frame(), outline=polygon_outline([(40.0, 30.0), (60.0, 30.0), (60.0, 50.0), (40.0, 50.0)])
    )
    solid = shape_solid(replace(box(100.0, 40.0, 30.0), cuts=(level, notch)))
    assert solid.volume == pytest.approx(90.0 * 40.0 * 30.0 - 20.0 * 10.0 * 30.0)
    assert {"cut 1", "cut 2 side 1"} <= faces_present(solid)


def test_housing_takes_the_other_part_with_its_clearance() -> None:
    shelf = box(200.0, 100.0, 20.0)
    cut = BodyCut(shape=shelf, frame=Frame((10.0, 40.0, 100.0)), grow=0.5)
    solid = recipe_solid(Recipe(shape=box(20.0, 300.0, 400.0), bodies=(cut,)))
    assert solid.volume == pytest.approx(20.0 * 300.0 * 400.0 - 10.5 * 101.0 * 21.0)
    assert "housing low" in faces_present(solid)


def test_tapered_stick_names_each_stretch() -> None:
    stations = (
        Station(at=0.0, v=(-20.0, 20.0), w=(-20.0, 20.0)),
        Station(at=100.0, v=(-20.0, 20.0), w=(-20.0, 20.0)),
        Station(at=600.0, v=(-10.0, 20.0), w=(-10.0, 20.0)),
    )
    solid = shape_solid(Shape(body=Stick(stations=stations)))
    assert {"v low", "v low 2", "w low 2", "end low", "end high"} <= faces_present(solid)
    expected = 100.0 * 1600.0 + 500.0 / 6.0 * (1600.0 + 4.0 * 35.0**2 + 900.0)
    assert solid.volume == pytest.approx(expected)


def test_mirrored_part_is_the_mirror_image() -> None:
    shape = replace(box(100.0, 40.0, 30.0), cuts=(PlaneCut(plane=Plane((90.0, 0.0, 0.0), (0.8, 0.6, 0.0))),))
    frame = Frame((50.0, 10.0, 5.0))
    one = placed(shape_solid(shape, frame), frame)
    image = frame.mirror_image(Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)))
    other = placed(shape_solid(shape, image), image)
    assert other.volume == pytest.approx(one.volume)
    assert other.bounds[0][0] == pytest.approx(-one.bounds[1][0])
    assert other.bounds[1][0] == pytest.approx(-one.bounds[0][0])
    outward = np.einsum("ij,ij->i", other.normals, other.corners.mean(axis=1) - other.centroid)
    assert (outward > 0.0).all()


def test_equal_recipes_are_built_once() -> None:
    clear_cache()
    shape = box(40.0, 40.0, 600.0)
    one = recipe_solid(Recipe(shape=shape, frame=Frame((1.0, 2.0, 3.0)), cuts=(MORTISE,)))
    nudged = replace(MORTISE, frame=replace(MORTISE.frame, origin=(20.0 + 1e-12, -1e-13, 500.0)))
    other = recipe_solid(Recipe(shape=shape, frame=Frame((9.0, 9.0, 9.0), (0.0, 1.0, 0.0)), cuts=(nudged,)))
    assert other is one
    assert recipe_solid(Recipe(shape=shape, cuts=(replace(MORTISE, end=26.0),))) is not one


def test_part_in_two_is_seen() -> None:
    groove = replace(MORTISE, width=2000.0, start=-100.0, end=100.0, section=Section.SQUARE)
    solid = recipe_solid(Recipe(shape=box(40.0, 40.0, 600.0), cuts=(groove,)))
    assert pieces(solid) == 2
    assert piece_volumes(solid) == pytest.approx((15.0 * 40.0 * 600.0, 15.0 * 40.0 * 600.0))


SQUARE = polygon_outline([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (Shape(body=Prism(outline=SQUARE, low=5.0, high=5.0)), "thickness above zero"),
        (Shape(body=Prism(outline=SQUARE, low=5.0, high=math.nan)), "thickness above zero"),
        (Shape(body=Stick(stations=(Station(at=0.0, v=(0.0, 1.0), w=(0.0, 1.0)),))), "at least two stations"),
        (
            Shape(
                body=Stick(
                    stations=(
                        Station(at=5.0, v=(0.0, 1.0), w=(0.0, 1.0)),
                        Station(at=5.0, v=(0.0, 1.0), w=(0.0, 1.0)),
                    )
                )
            ),
            "must follow one another",
        ),
        (
            Shape(
                body=Stick(
                    stations=(
                        Station(at=0.0, v=(1.0, 0.0), w=(0.0, 1.0)),
                        Station(at=5.0, v=(0.0, 1.0), w=(0.0, 1.0)),
                    )
                )
            ),
            "no width or no thickness",
        ),
        (
            Shape(
                body=Prism(outline=SQUARE, low=0.0, high=5.0),
                cuts=(PlaneCut(plane=Plane((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0))),),
            ),
            "leave nothing",
        ),
        (
            Shape(
                body=Prism(outline=SQUARE, low=0.0, high=5.0),
                sawn=(Sawn(on="edge", outline=polygon_outline([(50.0, 0.0), (60.0, 0.0), (60.0, 5.0)])),),
            ),
            "leaves nothing",
        ),
        (
            Shape(body=Prism(outline=SQUARE, low=0.0, high=5.0), sawn=(Sawn(on="face", outline=SQUARE),)),
            "not on `face`",
        ),
    ],
)
def test_shape_that_makes_no_sense_is_refused_in_words(shape: Shape, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        shape_solid(shape)


def test_bar_that_makes_no_sense_is_refused_in_words() -> None:
    leg = box(40.0, 40.0, 600.0)
    with pytest.raises(ValueError, match="mortise 1 has no length"):
        recipe_solid(Recipe(shape=leg, cuts=(replace(MORTISE, end=-5.0),)))
    with pytest.raises(ValueError, match="must be above zero"):
        recipe_solid(Recipe(shape=leg, adds=(replace(MORTISE, thickness=0.0),)))
    gone = Plane((0.0, 0.0, -9.0), (0.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="leave nothing of it"):
        recipe_solid(Recipe(shape=leg, adds=(replace(MORTISE, planes=(gone,)),)))
    with pytest.raises(ValueError, match="joints leave nothing"):
        recipe_solid(
            Recipe(shape=leg, cuts=(replace(MORTISE, width=2e3, thickness=2e3, start=-99.0, end=99.0),))
        )


def test_crossing_outline_is_refused_in_words() -> None:
    bow_tie = polygon_outline([(0.0, 0.0), (10.0, 10.0), (30.0, 0.0), (0.0, 12.0)])
    with pytest.raises(ValueError, match="crosses itself"):
        shape_solid(Shape(body=Prism(outline=bow_tie, low=0.0, high=5.0)))
