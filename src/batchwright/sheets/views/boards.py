"""A chalk sketch for each board: where it is crosscut, ripped, and what each piece becomes. All marks from one end."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.geometry.frame import Vec2
from batchwright.model.stock import Board, BoardPlan, LaidBlank, LumberPlan, SectionCut, Strip
from batchwright.sheets.scene.dimensioning import running_along
from batchwright.sheets.scene.extent import paper_size
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
from batchwright.sheets.scene.sheet import Block, Caution, Column, Drawing, Heading, Paragraph, Table
from batchwright.sheets.scene.strokes import Fill, Stroke
from batchwright.sheets.views.heights import block_height
from batchwright.sheets.views.naming import letter
from batchwright.sheets.views.printing import NO_BREAK, Printing

CARE = "Crosscut first, then rip. Short stock: the least sizes in the machine's manual."
PAPER_LENGTH = 168.0
"""Longest a board is drawn on paper [mm]."""
WIDEST = 179.5
"""What a sketch and its words may take on paper, on A4 too [mm]."""
LEAST_SCALE = 0.005
WORTH_KEEPING = 300.0
WORTH_WIDTH = 38.0
"""A remainder this long and this wide is told [mm]; a house rule: about 12 in by 1 1/2 in."""
CHALK = (
    "Chalk marks, all from the marked end at the heavy arrow; the marked edge is below. Crosscut: sections and their "
    "length; rip: strips × width. Sizes of boards as measured; what is charged stands in brackets."
)
HEAD = 26.0
"""What the words at the head and the caution at the foot of a sheet of boards take [mm]."""


def board_scene(board: Board, plan: BoardPlan | None, lumber: LumberPlan, printing: Printing) -> Scene:
    """The board lying with its marked end to the left and its marked edge below, at a scale that fits the sheet."""
    scale = min(PAPER_LENGTH / max(board.length, 600.0), 60.0 / max(board.width, board.far_width))
    scene = _board_at(scale, board, plan, lumber, printing)
    while (wide := paper_size(scene)[0]) > WIDEST and scale > LEAST_SCALE:
        scale *= max(0.5, min(0.98, 1.0 - (wide - WIDEST) / PAPER_LENGTH))
        scene = _board_at(scale, board, plan, lumber, printing)
    return scene


def _board_at(scale: float, board: Board, plan: BoardPlan | None, lumber: LumberPlan, printing: Printing) -> Scene:
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
    kept = offcuts(board, plan)
    words = ", ".join(printing.block(one.width, one.length) for one in kept)
    left = [Paragraph(text=f"Left over, width × length: {words}.", small=True)] if kept else []
    return (
        Heading(text=f"Board {board.name}: {_sizes(board, printing)}"),
        Paragraph(text=_bought(board, printing)),
        Drawing(scene=scene, alt=scene.about),
        _cuts(plan, lumber, printing),
        *left,
    )


def _sizes(board: Board, printing: Printing) -> str:
    """`1 1/8 thick, 5 5/8 wide, 5 at the far end, 124 long`."""
    wide, far = printing.length(board.width), printing.length(board.far_width)
    tapers = f", {far} at the far end" if wide != far else ""
    return f"{printing.length(board.thickness)} thick, {wide} wide{tapers}, {printing.length(board.length)} long"


def _bought(board: Board, printing: Printing) -> str:
    """What was offered: wood, grade, price with the measure it is charged by, and the maker's own note."""
    sawn = f", {board.sawn} sawn" if board.sawn else ""
    grade = f", {board.grade}" if board.grade else ""
    cost = ""
    if board.price is not None:
        by = f" ({board.price_text})" if board.price_text else ""
        cost = f"; {printing.money(board.price)}{by}"
    note = f" Note: {board.note}." if board.note else ""
    return f"{printing.wood(board.species).capitalize()}{grade}{sawn}{cost}.{note}"


def _cuts(plan: BoardPlan, lumber: LumberPlan, printing: Printing) -> Table:
    """Crosscut, rip, crosscut again: what each piece becomes. Neighbouring sections that are cut alike stand once."""
    rows: list[tuple[str, ...]] = []
    for names, section in _sections(plan):
        cut = f"{names}: {printing.length(section.length)}".replace(" ", NO_BREAK)
        for count, strip in _alike(section):
            rip = f"{count} × {printing.length(strip.width)}".replace(" ", NO_BREAK)
            for laid in strip.laid:
                blank = lumber.blanks[laid.blank]
                stave = f", {blank.stave}" if blank.stave else ""
                number = str(printing.number_of(blank.kind))
                size = printing.block(laid.width, laid.length)
                pieces = count * (names.count(",") + 1)
                rows.append((cut, rip, number, f"{blank.label}{stave}", str(pieces), size, ""))
                cut = rip = ""
    columns = (
        Column(title="Crosscut", share=1.3),
        Column(title="Rip", share=0.9),
        Column(title="No.", share=0.4, number=True),
        Column(title="Becomes", share=2.2),
        Column(title="Pieces", share=0.4, number=True),
        Column(title="Blank", share=1.5),
        Column(title="Cut", share=0.3, ticks=1),
    )
    return Table(columns=columns, rows=tuple(rows))


def _sections(plan: BoardPlan) -> list[tuple[str, SectionCut]]:
    """The letters of neighbouring sections that are cut alike, `A, B`, and the first of them."""
    out: list[tuple[str, SectionCut]] = []
    for index, section in enumerate(plan.sections):
        if out and _pattern(out[-1][1]) == _pattern(section):
            out[-1] = (f"{out[-1][0]}, {letter(index)}", out[-1][1])
        else:
            out.append((letter(index), section))
    return out


def _pattern(section: SectionCut) -> list[tuple[float, list[tuple[int, float]]]]:
    """What is cut from a section: its length, the strips and their blanks, to a tenth of a millimetre."""
    strips = [
        (round(one.width, 1), [(laid.blank, round(laid.length, 1)) for laid in one.laid]) for one in section.strips
    ]
    return [(round(section.length, 1), []), *strips]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """A piece of a board that nothing is made of: length along the board, width across it [mm]."""

    length: float
    width: float


def offcuts(board: Board, plan: BoardPlan) -> tuple[Offcut, ...]:
    """What is left of a board and is worth keeping, beyond the last crosscut and beside the strips; the largest first.

    Defects are left out: a piece that holds one is not counted as usable.
    """
    found: list[tuple[float, float, float, float]] = []
    reached = max((section.x + section.length for section in plan.sections), default=0.0)
    found.append((reached, board.length, 0.0, min(board.width_at(reached), board.far_width)))
    for section in plan.sections:
        end = section.x + section.length
        wide = min(board.width_at(section.x), board.width_at(end))
        edges = [0.0, *(y for strip in section.strips for y in (strip.y, strip.y + strip.width)), wide]
        found += [(section.x, end, low, high) for low, high in zip(edges[::2], edges[1::2], strict=True)]
        for strip in section.strips:
            used = max((laid.x + laid.length for laid in strip.laid), default=section.x)
            found.append((used, end, strip.y, strip.y + strip.width))
    kept = [
        Offcut(length=x1 - x0, width=y1 - y0)
        for x0, x1, y0, y1 in found
        if x1 - x0 >= WORTH_KEEPING and y1 - y0 >= WORTH_WIDTH and not _holds_defect(board, (x0, x1, y0, y1))
    ]
    return tuple(sorted(kept, key=lambda one: (-one.length * one.width, -one.length)))


def _holds_defect(board: Board, box: tuple[float, float, float, float]) -> bool:
    return any(
        one.start < box[1] and one.end > box[0] and one.low < box[3] and one.high > box[2] for one in board.defects
    )


def packed_boards(
    lumber: LumberPlan, printing: Printing, space: tuple[float, float]
) -> tuple[tuple[tuple[str, ...], tuple[Block, ...]], ...]:
    """Sheets of boards, their names and blocks: as many on a sheet as its height [mm] has room for, in order but for
    those that fill up a sheet."""
    boards = {board.name: board for board in lumber.boards}
    waiting = [
        (plan.board, board_blocks(boards[plan.board], plan, lumber, printing))
        for plan in sorted(lumber.plans, key=lambda one: printing.in_order(one.board))
    ]
    sheets: list[tuple[list[str], list[Block]]] = []
    while waiting:
        free = space[1] - HEAD
        names: list[str] = []
        held: list[Block] = []
        left: list[tuple[str, tuple[Block, ...]]] = []
        for name, blocks in waiting:
            tall = sum(block_height(block, space[0]) for block in blocks)
            if names and tall > free:
                left.append((name, blocks))
                continue
            names.append(name)
            held += blocks
            free -= tall
        sheets.append((names, held))
        waiting = left
    words = Paragraph(text=CHALK, small=True)
    return tuple((tuple(names), (words, *blocks, Caution(text=CARE))) for names, blocks in sheets)


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
