"""A chalk sketch for each board: where it is crosscut, ripped, and what each piece becomes. All marks from one end."""

from __future__ import annotations

from batchwright.geometry.frame import Vec2
from batchwright.model.stock import Board, BoardPlan, LaidBlank, LumberPlan, SectionCut
from batchwright.sheets.scene.primitives import (
    BODY,
    SMALL,
    Hatch,
    HatchKind,
    Item,
    Level,
    Mark,
    MarkKind,
    Polygon,
    Running,
    Side,
    Station,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import Block, Column, Drawing, Table
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.views.printing import Printing

PAPER_LENGTH = 178.0
"""Longest a board is drawn on paper [mm]."""


def board_scene(board: Board, plan: BoardPlan | None, lumber: LumberPlan, printing: Printing) -> Scene:
    """The board lying with its marked end to the left and its marked edge below, at a scale that fits the sheet."""
    scale = PAPER_LENGTH / max(board.length, 600.0)
    items: list[Item] = [_body(board)]
    items += [_defect(board, index) for index in range(len(board.defects))]
    if plan is not None:
        stations = []
        for number, section in enumerate(plan.sections, start=1):
            items += _section(board, section, number, scale)
            stations += [section.x, section.x + section.length]
        items += _pieces(plan, lumber, printing, scale)
        items.append(_running(board, tuple(sorted({round(value, 3) for value in stations})), printing))
    items.append(Mark(kind=MarkKind.DATUM, at=(0.0, 0.0), size=4.0))
    return Scene(items=tuple(items), name=f"board {board.name}", scale=scale, about=_about(board, printing))


def _body(board: Board) -> Polygon:
    corners: tuple[Vec2, ...] = (
        (0.0, 0.0),
        (board.length, 0.0),
        (board.length, board.far_width),
        (0.0, board.width),
    )
    return Polygon(rings=(corners,), fill=Fill.NONE, stroke=Stroke.OUTLINE)


def _defect(board: Board, index: int) -> Hatch:
    defect = board.defects[index]
    ring: tuple[Vec2, ...] = (
        (defect.start, defect.low),
        (defect.end, defect.low),
        (defect.end, defect.high),
        (defect.start, defect.high),
    )
    return Hatch(rings=(ring,), kind=HatchKind.DEFECT)


def _section(board: Board, section: SectionCut, number: int, scale: float) -> list[Item]:
    items: list[Item] = []
    for x in (section.x, section.x + section.length):
        items.append(Straight(start=(x, 0.0), end=(x, board.width_at(x)), stroke=Stroke.CUT))
    for strip in section.strips:
        for y in (strip.y, strip.y + strip.width):
            items.append(Straight(start=(section.x, y), end=(section.x + section.length, y), stroke=Stroke.CHALK))
    middle = section.x + section.length / 2.0
    above = board.width_at(middle) + 3.0 / scale
    items.append(Text(at=(middle, above), text=f"section {number}", size=SMALL, side=Side.MIDDLE, level=Level.BASE))
    return items


def _pieces(plan: BoardPlan, lumber: LumberPlan, printing: Printing, scale: float) -> list[Item]:
    items: list[Item] = []
    for section in plan.sections:
        for strip in section.strips:
            for laid in strip.laid:
                items += _piece(laid, lumber, printing, scale)
    return items


def _piece(laid: LaidBlank, lumber: LumberPlan, printing: Printing, scale: float) -> list[Item]:
    blank = lumber.blanks[laid.blank]
    corners: tuple[Vec2, ...] = (
        (laid.x, laid.y),
        (laid.x + laid.length, laid.y),
        (laid.x + laid.length, laid.y + laid.width),
        (laid.x, laid.y + laid.width),
    )
    number = str(printing.number_of(blank.kind))
    size = min(BODY, 0.8 * laid.width * scale)
    middle = (laid.x + laid.length / 2.0, laid.y + laid.width / 2.0)
    return [
        Polygon(rings=(corners,), fill=Fill.TINT, stroke=Stroke.VISIBLE),
        Text(
            at=middle,
            text=number,
            size=size,
            side=Side.MIDDLE,
            level=Level.MIDDLE,
            weight=Weight.BOLD,
        ),
    ]


def _running(board: Board, stations: tuple[float, ...], printing: Printing) -> Running:
    return Running(
        datum=(0.0, 0.0),
        direction=(1.0, 0.0),
        stations=tuple(Station(at=(value, 0.0), label=printing.length(value)) for value in stations if value > 0.5),
        offset=-8.0,
    )


def _about(board: Board, printing: Printing) -> str:
    return (
        f"board {board.name}: {printing.length(board.length)} long, "
        f"{printing.length(board.width)} wide at the marked end, "
        f"{printing.length(board.far_width)} at the far end"
    )


def board_blocks(board: Board, plan: BoardPlan, lumber: LumberPlan, printing: Printing) -> tuple[Block, ...]:
    """The sketch of one board and the list of what comes out of it, in the order of cutting."""
    scene = board_scene(board, plan, lumber, printing)
    price = "" if board.price is None else f", {printing.money(board.price)}"
    caption = (
        f"{board.name}: {printing.wood(board.species)}, {printing.length(board.length)}"
        f" × {printing.length(board.width)}"
        f" to {printing.length(board.far_width)} × {printing.length(board.thickness)} thick"
        f"{', ' + board.grade if board.grade else ''}{price}. Marks from the marked end."
    )
    rows: list[tuple[str, ...]] = []
    for number, section in enumerate(plan.sections, start=1):
        start = printing.length(section.x)
        end = printing.length(section.x + section.length)
        first = True
        for strip in section.strips:
            for laid in strip.laid:
                blank = lumber.blanks[laid.blank]
                stave = f", board {blank.stave}" if blank.stave else ""
                rows.append(
                    (
                        f"{number}: {start} to {end}" if first else "",
                        str(printing.number_of(blank.kind)),
                        f"{blank.label}{stave}",
                        f"{printing.length(laid.length)} × {printing.length(laid.width)}",
                        "",
                    )
                )
                first = False
    columns = (
        Column(title="Crosscut", share=2.2, key=True),
        Column(title="No.", share=0.5, number=True, key=True),
        Column(title="Becomes", share=2.6),
        Column(title="Blank, length × width", share=2.0),
        Column(title="Cut", share=0.5, ticks=1),
    )
    return (
        Drawing(scene=scene, caption=caption, alt=scene.about),
        Table(columns=columns, rows=tuple(rows)),
    )
