"""Two drawings kept as they were looked at: a plain part, and a board with one section and a defect."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from batchwright.geometry.frame import WORLD
from batchwright.geometry.outline import polygon_outline
from batchwright.model.piece import Part
from batchwright.model.shape import Prism, Recipe, Shape
from batchwright.model.stock import Board, BoardPlan, Defect, LaidBlank, LumberPlan, SectionCut, Strip
from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.overlap import overlaps
from batchwright.sheets.scene.plain import draw_out
from batchwright.sheets.scene.primitives import Text
from batchwright.sheets.views.bench_view import Seen
from batchwright.sheets.views.boards import board_scene
from batchwright.sheets.views.made import make
from batchwright.sheets.views.part_view import look_at, part_scene
from example_packets import contents

Golden = Callable[[str, str], None]


def shelf() -> Part:
    """A plain board 1000 x 190 x 16 mm, its face side up."""
    pattern = next(part for part in contents("hall-table").made.piece.parts if part.draft.name == "shelf")
    rectangle = polygon_outline([(0.0, 0.0), (1000.0, 0.0), (1000.0, 190.0), (0.0, 190.0)])
    return replace(
        pattern,
        bench=WORLD,
        length=1000.0,
        body_length=1000.0,
        width=190.0,
        thickness=16.0,
        outline=rectangle,
        edge_outline=None,
        features=(),
        recipe=Recipe(shape=Shape(body=Prism(outline=rectangle, low=0.0, high=16.0))),
    )


def test_a_shelf_on_its_face_side(golden: Golden) -> None:
    held, part = contents("hall-table"), shelf()
    made = make(replace(held.made.piece, parts=(part,), joints=(), fixings=()))
    scene = part_scene(look_at(part, (), ()), made, Seen.FACE_SIDE, held.printing)
    texts = {item.text for item in draw_out(scene) if isinstance(item, Text)}
    assert {"39 3/8", "7 15/32"} <= texts  # 1000 and 190 mm to the nearest 1/32 in
    assert overlaps(scene) == ()
    golden("views/shelf-face-side.svg", render_svg(scene))


def board() -> tuple[Board, BoardPlan, LumberPlan]:
    """Ten feet of white ash with a knot: one section of two strips, the rest left."""
    held = contents("hall-table")
    blank = held.cutting.blanks[0]
    defect = Defect(start=1500.0, end=1560.0, low=150.0, high=185.0, kind="knot")
    plank = Board(
        name="B1", species=blank.species, length=3048.0, width=200.0, far_width=190.0, thickness=28.0, defects=(defect,)
    )
    laid = [LaidBlank(blank=0, x=25.0, y=y, length=700.0, width=80.0) for y in (5.0, 90.0)]
    strips = tuple(Strip(y=one.y, width=one.width, laid=(one,)) for one in laid)
    plan = BoardPlan(board="B1", sections=(SectionCut(x=25.0, length=700.0, strips=strips),))
    lumber = LumberPlan(
        blanks=(replace(blank, count=2),),
        boards=(plank,),
        plans=(plan,),
        short=(),
        kerf=3.2,
        cost=None,
        area_used=plank.area,
        area_bound=112000.0,
        gap=None,
        status="one section",
    )
    return plank, plan, lumber


def test_a_board_is_marked_from_its_marked_end(golden: Golden) -> None:
    plank, plan, lumber = board()
    scene = board_scene(plank, plan, lumber, contents("hall-table").printing)
    texts = {item.text for item in draw_out(scene) if isinstance(item, Text)}
    assert {"31/32", "28 17/32", "knot"} <= texts  # 25 mm and 725 mm to the nearest 1/32 in
    assert overlaps(scene) == ()
    golden("views/board.svg", render_svg(scene))
