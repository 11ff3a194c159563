"""Drawings as SVG and DXF: views, outlines, joints cut open, rods, boards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from batchwright.app.exporting.wanted import Form, Wanted
from batchwright.app.packet import file_names
from batchwright.sheets.render.dxf import DxfForm, render_dxf
from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.views.boards import board_scene
from batchwright.sheets.views.drawings import VIEWS, apart, pictorial, plain_view, whole
from batchwright.sheets.views.joint_section import joint_scene
from batchwright.sheets.views.joint_sheet import joint_titles, joints_apart
from batchwright.sheets.views.packet import pattern_scenes
from batchwright.sheets.views.rods import DIRECTIONS, rod_scene

ROOM = (180.0, 180.0)
"""How large a picture without a scale is drawn on paper [mm]."""


def drawing_files(wanted: Wanted, forms: Sequence[Form]) -> dict[str, bytes]:
    """Every drawing in every form asked for; views, rods and boards only where no part was named."""
    files: dict[str, bytes] = {}
    if Form.SVG not in forms and Form.DXF not in forms:
        return files
    form = DxfForm(inches=wanted.planned.inches)
    for name, scene in _scenes(wanted):
        if Form.SVG in forms:
            files[f"{name}.svg"] = render_svg(scene).encode()
        if Form.DXF in forms:
            files[f"{name}.dxf"] = render_dxf(scene, form).encode()
    return files


def _scenes(wanted: Wanted) -> Iterator[tuple[str, Scene]]:
    if wanted.whole:
        yield from _views(wanted)
        yield from _rods(wanted)
        yield from _boards(wanted)
    yield from _outlines(wanted)
    yield from _joints(wanted)


def _views(wanted: Wanted) -> Iterator[tuple[str, Scene]]:
    made, printing = wanted.contents.made, wanted.contents.printing
    parts = whole(made)
    for named in VIEWS:
        yield f"views/{named.name}", plain_view(made, parts, named, printing)
    yield "views/pictorial", pictorial(parts, ROOM)
    yield "views/apart", apart(made, ROOM)


def _outlines(wanted: Wanted) -> Iterator[tuple[str, Scene]]:
    """Under the names they have in the packet, whichever parts are asked for."""
    patterns = pattern_scenes(wanted.contents)
    kinds = {part.kind for part in wanted.piece.parts if wanted.has(part.id)}
    for name, (scene, part) in zip(file_names([scene.name for scene, _ in patterns]), patterns, strict=True):
        if part.kind in kinds:
            yield f"outlines/{name}", scene


def _joints(wanted: Wanted) -> Iterator[tuple[str, Scene]]:
    """Of joints cut with the same settings one: along the tenon, through its width and through its thickness."""
    made, printing = wanted.contents.made, wanted.contents.printing
    groups = joints_apart(made)
    for name, group in zip(file_names(joint_titles(groups, made)), groups, strict=True):
        joint = next((one for one in group if wanted.has(one.part) or wanted.has(one.into)), None)
        if joint is not None:
            yield f"joints/{name}-width", joint_scene(joint, made, False, printing)
            yield f"joints/{name}-thickness", joint_scene(joint, made, True, printing)


def _rods(wanted: Wanted) -> Iterator[tuple[str, Scene]]:
    made, printing = wanted.contents.made, wanted.contents.printing
    bounds = made.bare_bounds
    for direction in DIRECTIONS:
        yield f"rods/{direction.name}", rod_scene(made.piece, bounds, direction, printing)


def _boards(wanted: Wanted) -> Iterator[tuple[str, Scene]]:
    lumber = wanted.contents.lumber
    if lumber is None:
        return
    plans = {plan.board: plan for plan in lumber.plans}
    used = [board for board in lumber.boards if board.name in plans]
    for name, board in zip(file_names([board.name for board in used]), used, strict=True):
        yield f"boards/{name}", board_scene(board, plans[board.name], lumber, wanted.contents.printing)
