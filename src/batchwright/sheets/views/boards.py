"""A chalk sketch for each board: where it is crosscut, ripped, and what each piece becomes. All marks from one end."""

from __future__ import annotations

from batchwright.geometry.frame import Vec2
from batchwright.model.stock import Board, BoardPlan, LaidBlank, LumberPlan, SectionCut, Strip
from batchwright.sheets.scene.dimensioning import running_along
from batchwright.sheets.scene.metrics import text_width
from batchwright.sheets.scene.primitives import (
    BODY,
    KEY,
    SMALL,
    Hatch,
    HatchKind,
    Item,
    Level,
    Mark,
    MarkKind,
    Note,
    Polygon,
    Running,
    Side,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.settle import settle
from batchwright.sheets.scene.sheet import Block, Caution, Column, Drawing, KeyNumber, KeyNumbers, Paragraph, Table
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.views.naming import letter
from batchwright.sheets.views.printing import Printing

CARE = "Crosscut first, then rip. Short and narrow stock: keep to the least sizes in each machine's own manual."
PAPER_LENGTH = 232.0
"""Longest a board is drawn on paper, the sheet lying across [mm]."""
WORTH_KEEPING = 300.0
"""A remainder this long is told [mm]."""


def board_scene(board: Board, plan: BoardPlan | None, lumber: LumberPlan, printing: Printing) -> Scene:
    """The board lying with its marked end to the left and its marked edge below, at a scale that fits the sheet."""
    scale = min(PAPER_LENGTH / max(board.length, 600.0), 60.0 / max(board.width, board.far_width))
    items: list[Item] = [_body(board)]
    items += [item for index in range(len(board.defects)) for item in _defect(board, index, scale)]
    if plan is not None:
        stations = []
        for index, section in enumerate(plan.sections):
            items += _section(board, section, letter(index), scale)
            stations += [section.x, section.x + section.length]
        items += _pieces(plan, lumber, printing, scale)
        items += _remainder(board, plan, printing, scale)
        items.append(_running(board, stations, printing, scale))
    items.append(Mark(kind=MarkKind.DATUM, at=(0.0, board.width / 2.0), size=7.0))
    about = _about(board, printing)
    return settle(Scene(items=tuple(items), name=f"board {board.name}", scale=scale, about=about))


def _remainder(board: Board, plan: BoardPlan, printing: Printing, scale: float) -> list[Item]:
    """What is left beyond the last crosscut, where it is worth keeping."""
    reached = max((section.x + section.length for section in plan.sections), default=0.0)
    left = board.length - reached
    if left < WORTH_KEEPING:
        return []
    middle = (reached + left / 2.0, board.width_at(reached + left / 2.0) / 2.0)
    words = f"left: {printing.length(left)}"
    fits = text_width(words, BODY) < left * scale - 2.0 and board.far_width * scale > BODY * 1.2
    return [Text(at=middle, text=words, side=Side.MIDDLE, level=Level.MIDDLE)] if fits else []


def _body(board: Board) -> Polygon:
    corners: tuple[Vec2, ...] = (
        (0.0, 0.0),
        (board.length, 0.0),
        (board.length, board.far_width),
        (0.0, board.width),
    )
    return Polygon(rings=(corners,), fill=Fill.NONE, stroke=Stroke.OUTLINE)


def _defect(board: Board, index: int, scale: float) -> list[Item]:
    defect = board.defects[index]
    ring: tuple[Vec2, ...] = (
        (defect.start, defect.low),
        (defect.end, defect.low),
        (defect.end, defect.high),
        (defect.start, defect.high),
    )
    items: list[Item] = [
        Hatch(rings=(ring,), kind=HatchKind.DEFECT),
        Polygon(rings=(ring,), fill=Fill.NONE, stroke=Stroke.WITNESS),
    ]
    if defect.kind:
        tip = ((defect.start + defect.end) / 2.0, defect.high)
        above = (board.width_at(tip[0]) - defect.high) * scale
        items.append(Note(tip=tip, text=defect.kind, size=SMALL, dx=3.0, dy=above + 11.0))
    return items


def _section(board: Board, section: SectionCut, name: str, scale: float) -> list[Item]:
    items: list[Item] = []
    for x in (section.x, section.x + section.length):
        items.append(Straight(start=(x, 0.0), end=(x, board.width_at(x)), stroke=Stroke.CUT))
    for strip in section.strips:
        for y in (strip.y, strip.y + strip.width):
            items.append(Straight(start=(section.x, y), end=(section.x + section.length, y), stroke=Stroke.CHALK))
    middle = section.x + section.length / 2.0
    above = board.width_at(middle) + 3.0 / scale
    items.append(Text(at=(middle, above), text=name, side=Side.MIDDLE, level=Level.BASE, weight=Weight.BOLD))
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
    size = min(KEY, 0.85 * laid.width * scale, 0.8 * laid.length * scale / max(len(number), 1))
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


def _running(board: Board, stations: list[float], printing: Printing, scale: float) -> Running:
    values = sorted({round(value, 3) for value in stations if value > 0.5})
    points = tuple(((value, 0.0), printing.length(value)) for value in values)
    return running_along(points, (0.0, 0.0), (1.0, 0.0), scale, -7.0)


def _about(board: Board, printing: Printing) -> str:
    return (
        f"board {board.name}: {printing.length(board.length)} long, "
        f"{printing.length(board.width)} wide at the marked end, "
        f"{printing.length(board.far_width)} at the far end"
    )


def board_blocks(board: Board, plan: BoardPlan, lumber: LumberPlan, printing: Printing) -> tuple[Block, ...]:
    """The sketch of one board and the list of what comes out of it, in the order of cutting."""
    scene = board_scene(board, plan, lumber, printing)
    numbers = [
        KeyNumber(label="long", value=printing.length(board.length), points=18.0),
        KeyNumber(label="wide, marked end", value=printing.length(board.width), points=18.0),
        KeyNumber(label="wide, far end", value=printing.length(board.far_width), points=18.0),
        KeyNumber(label="thick", value=printing.length(board.thickness), points=18.0),
    ]
    if board.price is not None:
        numbers.append(KeyNumber(label="price", value=printing.money(board.price), points=18.0))
    sawn = f", {board.sawn} sawn" if board.sawn else ""
    grade = f", {board.grade}" if board.grade else ""
    note = f" {board.note[:1].upper()}{board.note[1:]}." if board.note else ""
    words = f"{printing.wood(board.species).capitalize()}{grade}{sawn}.{note}"
    caption = "Chalk marks, all from the marked end at the heavy arrow; the marked edge is below. Letters: sections."
    return (
        KeyNumbers(numbers=tuple(numbers)),
        Paragraph(text=words),
        Drawing(scene=scene, caption=caption, alt=scene.about),
        _cuts(plan, lumber, printing),
        Caution(text=CARE),
    )


def _cuts(plan: BoardPlan, lumber: LumberPlan, printing: Printing) -> Table:
    """Crosscut, rip, crosscut again: what each piece becomes."""
    rows: list[tuple[str, ...]] = []
    groups: list[tuple[int, str]] = []
    for index, section in enumerate(plan.sections):
        start, end = printing.length(section.x), printing.length(section.x + section.length)
        groups.append(
            (len(rows), f"{letter(index)}  crosscut at {start} and {end}: {printing.length(section.length)} long")
        )
        for count, strip in _alike(section):
            for place, laid in enumerate(strip.laid):
                blank = lumber.blanks[laid.blank]
                stave = f", {blank.stave}" if blank.stave else ""
                rip = (
                    f"{count} {'strips' if count > 1 else 'strip'}, {printing.length(strip.width)}"
                    if place == 0
                    else ""
                )
                size = printing.block(laid.length, laid.width)
                number = str(printing.number_of(blank.kind))
                rows.append((rip, number, f"{blank.label}{stave}", str(count), size, ""))
    columns = (
        Column(title="Rip", share=1.2),
        Column(title="No.", share=0.5, number=True, key=True),
        Column(title="Becomes", share=2.6),
        Column(title="Pieces", share=0.5, number=True),
        Column(title="Blank, length × width", share=1.6),
        Column(title="Cut", share=0.4, ticks=1),
    )
    return Table(columns=columns, rows=tuple(rows), groups=tuple(groups))


def _alike(section: SectionCut) -> list[tuple[int, Strip]]:
    """The strips of a section, neighbours that are cut alike told once with their count."""
    out: list[tuple[int, Strip]] = []
    for strip in section.strips:
        cut = [(laid.blank, round(laid.length, 2)) for laid in strip.laid]
        if out and abs(out[-1][1].width - strip.width) < 0.1:
            count, last = out[-1]
            if [(laid.blank, round(laid.length, 2)) for laid in last.laid] == cut:
                out[-1] = (count + 1, last)
                continue
        out.append((1, strip))
    return out
