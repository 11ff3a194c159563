"""Tiles: they cover all that is drawn, the empty ones hold nothing, the crosses stand where sheets meet."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.geometry.curve import flatten
from batchwright.geometry.segment import Arc, Line
from batchwright.sheets.scene.extent import scene_bounds
from batchwright.sheets.scene.overlap import overlaps
from batchwright.sheets.scene.primitives import Curve, Straight, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import A3, A4, BOTTOM, LETTER, TABLOID, TOP, Orientation, Paper
from batchwright.sheets.scene.tile_page import frame_scene, key_plan
from batchwright.sheets.scene.tiling import best_orientation, lay_tiles, roll_page, window_size

PAGE = (A4.width, A4.height)


def arched(width: float, rise: float) -> Scene:
    """A wide arch: only its line is drawn, so that the middle of the lower edge is bare paper."""
    path = (Arc((0.0, 0.0), (width / 2.0, rise), (width, 0.0)),)
    return Scene(items=(Curve(path=path),), name="arch")


@given(st.floats(50.0, 1500.0), st.floats(20.0, 600.0), st.sampled_from([10.0, 15.0, 20.0]))
@settings(max_examples=25, deadline=None)
def test_printed_tiles_cover_the_line_and_empty_ones_hold_none(width: float, rise: float, overlap: float) -> None:
    """Reference: shapely."""
    scene = arched(width, rise)
    tiling = lay_tiles(scene, PAGE, overlap)
    line = shapely.LineString(flatten(scene.items[0].path, 0.05))  # type: ignore[union-attr]
    printed = shapely.union_all([shapely.box(*tile.window) for tile in tiling.printed])
    assert line.difference(printed.buffer(1e-6)).length == pytest.approx(0.0, abs=1e-6)
    for tile in tiling.tiles:
        inside = line.intersection(shapely.box(*tile.window).buffer(-0.2)).length
        if tile.empty:
            assert inside < 1e-6
        else:
            assert line.intersection(shapely.box(*tile.window).buffer(0.2)).length > 0.0


def test_neighbours_share_their_overlap_and_two_crosses_or_more() -> None:
    tiling = lay_tiles(arched(900.0, 400.0), PAGE, 15.0)
    at = {(tile.row, tile.column): tile.window for tile in tiling.tiles}
    assert tiling.rows > 1 and tiling.columns > 1 and len(at) == tiling.rows * tiling.columns
    for (row, column), window in at.items():
        for other in ((row + 1, column), (row, column + 1)):
            if other in at:
                shared = shapely.box(*window).intersection(shapely.box(*at[other]))
                width, height = shared.bounds[2] - shared.bounds[0], shared.bounds[3] - shared.bounds[1]
                assert min(width, height) == pytest.approx(15.0)
                assert sum(shared.contains(shapely.Point(cross)) for cross in tiling.crosses) >= 2


def test_names_run_like_a_map_letters_down_numbers_across() -> None:
    slope = Scene(items=(Straight(start=(0, 0), end=(300, 500)),), name="a")
    names = [tile.name for tile in lay_tiles(slope, PAGE).tiles]
    assert names[:2] == ["A1", "A2"] and names[-1] == "C2"
    far = lay_tiles(Scene(items=(Straight(start=(0, 0), end=(0, 6200)),), name="a"), PAGE)
    assert far.tiles[-1].name == "AC1"  # 29 rows of 230 mm that overlap by 15


def test_what_fits_one_page_takes_one_page_without_crosses() -> None:
    tiling = lay_tiles(arched(100.0, 60.0), PAGE)
    assert len(tiling.tiles) == 1 and tiling.crosses == ()


def test_the_paper_is_laid_the_way_that_takes_fewer_tiles() -> None:
    across = window_size((A4.height, A4.width))
    wide = Scene(items=(Straight(start=(0, 0), end=(across[0] - 12.0, 0)),), name="a")
    assert best_orientation(wide, A4) is Orientation.ACROSS
    assert best_orientation(arched(100.0, 50.0), LETTER) is Orientation.UPRIGHT


def test_a_narrow_leg_is_not_split_along_its_length_for_want_of_a_shift() -> None:
    """A narrow upright shape beside a far word: the grid is moved so that only one column holds the shape."""
    leg = (Line((0, 0), (40, 0)), Line((40, 0), (40, 400)), Line((40, 400), (0, 400)), Line((0, 400), (0, 0)))
    scene = Scene(items=(Curve(path=leg, closed=True), Text(at=(170.0, 10.0), text="leg")), name="a")
    assert len(lay_tiles(scene, PAGE).printed) <= 3


def test_wrong_asks_are_refused() -> None:
    scene = arched(900.0, 300.0)
    with pytest.raises(ValueError, match="overlap"):
        lay_tiles(scene, PAGE, 1.0)
    with pytest.raises(ValueError, match="overlap"):
        lay_tiles(scene, PAGE, 90.0)
    with pytest.raises(ValueError, match="full-size"):
        lay_tiles(Scene(items=scene.items, name="a", scale=0.5), PAGE)
    with pytest.raises(ValueError, match="5080 mm is the most"):
        roll_page(Scene(items=(Straight(start=(0, 0), end=(0, 5100)),), name="long"))


@pytest.mark.parametrize("paper", [A4, LETTER, A3, TABLOID])
def test_nothing_in_the_bands_lies_on_anything_else(paper: Paper) -> None:
    for page in ((paper.width, paper.height), (paper.height, paper.width)):
        tiling = lay_tiles(arched(1500.0, 900.0), page)
        for tile in tiling.tiles:
            frame = frame_scene(page, "finished outline, seen from the front", tile, tiling)
            assert overlaps(frame) == ()
            left, bottom, right, top = scene_bounds(frame)
            assert left > 6.0 and right < page[0] - 6.0 and bottom > BOTTOM and top < page[1] - TOP


def test_the_key_plan_fits_and_names_every_printed_tile() -> None:
    scene = arched(900.0, 400.0)
    tiling = lay_tiles(scene, PAGE)
    plan = key_plan(scene, tiling, (180.0, 150.0))
    left, bottom, right, top = scene_bounds(plan)
    assert (right - left) * plan.scale <= 180.01 and (top - bottom) * plan.scale <= 150.01
    assert [item.text for item in plan.items if isinstance(item, Text)] == [tile.name for tile in tiling.printed]
    assert len(tiling.printed) < len(tiling.tiles)
