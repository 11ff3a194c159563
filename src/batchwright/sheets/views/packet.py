"""The packet: every sheet in the order of the work, each with a stable key so that one can be printed again."""

from __future__ import annotations

from dataclasses import dataclass, replace

from batchwright.base.finding import Finding, Grade
from batchwright.model.piece import Kind, Part
from batchwright.model.stock import LumberPlan
from batchwright.model.work import Block as Size
from batchwright.model.work import CuttingList
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    A4,
    LETTER,
    PAPERS,
    Beside,
    Block,
    Column,
    Drawing,
    FullSize,
    Orientation,
    Packet,
    Paper,
    Paragraph,
    Sheet,
    Table,
    room,
)
from batchwright.sheets.scene.tiling import best_orientation
from batchwright.sheets.views.boards import packed_boards
from batchwright.sheets.views.cover import Said, cover_blocks
from batchwright.sheets.views.drawings import VIEWS, apart, plain_view, view_words, whole
from batchwright.sheets.views.drawings import lies_across as view_across
from batchwright.sheets.views.fixings import fixing_map
from batchwright.sheets.views.joint_sheet import joint_blocks, joint_titles, joints_apart
from batchwright.sheets.views.lists import (
    buying_blocks,
    cutting_blocks,
    finding_blocks,
    machine_sheets,
)
from batchwright.sheets.views.made import Made
from batchwright.sheets.views.outlines import needs_outline, outline_scenes, whole_words
from batchwright.sheets.views.part_sheet import part_blocks
from batchwright.sheets.views.part_view import lies_across
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.rods import DIRECTIONS, rod_scene, rod_table
from batchwright.sheets.views.tile_plans import plan_blocks
from batchwright.solids.assembly import Assembly
from batchwright.solids.view import PICTORIAL, View, view

Patterns = tuple[tuple[Scene, Part], ...]
"""Full-size outlines, each with its part."""
ONE_PAGE = 24
"""Marks of all rods that stand on one page below each other."""
PATTERN_CARE = "saw outside the line; the machine's manual comes first"


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """All that the packet is made from."""

    made: Made
    cutting: CuttingList
    lumber: LumberPlan | None
    findings: tuple[Finding, ...]
    printing: Printing
    job: str
    copies: int
    revision: str
    date: str
    paper: str = "letter"
    units: str = ""
    said: Said = ()
    """What the job says of glue, finish, place, wood and date, as words and values."""


def paper_of(name: str) -> Paper:
    """The paper a job names; a roll falls back to Letter or A4 sheets for everything but the roll pages."""
    wanted = {paper.lower(): paper for paper in PAPERS}
    key = wanted.get(name.split()[0].lower()) if name else None
    return PAPERS[key] if key is not None else LETTER


def make_packet(contents: Contents, patterns: Patterns | None = None) -> Packet:
    """Every sheet of the packet; `patterns` where the full-size outlines are drawn already."""
    parts = whole(contents.made)
    where = view(parts, PICTORIAL, hidden=False)
    first, last = _finding_sheets(contents)
    sheets = [
        _cover(contents, where),
        *first,
        *_drawing_sheets(contents, parts),
        *_list_sheets(contents),
        *_board_sheets(contents),
        *_part_sheets(contents, where),
        *_joint_sheets(contents),
        *_fixing_sheets(contents),
        *_rod_sheets(contents),
        *pattern_sheets(contents, paper_of(contents.paper), patterns),
        *last,
    ]
    return Packet(title=f"{contents.made.piece.draft.name}: {contents.job}", sheets=tuple(sheets))


def _sheet(contents: Contents, key: str, title: str, blocks: tuple[Block, ...]) -> Sheet:
    return Sheet(
        key=key,
        title=title,
        blocks=blocks,
        paper=paper_of(contents.paper),
        job=contents.job,
        revision=contents.revision,
        date=contents.date,
        units=contents.printing.units_line(),
        hand=contents.printing.hand_line(),
    )


def _cover(contents: Contents, where: View) -> Sheet:
    job = (contents.copies, contents.said)
    blocks = cover_blocks(contents.made, contents.printing, contents.findings, job, where)
    return _sheet(contents, "cover", contents.made.piece.draft.name, blocks)


def _finding_sheets(contents: Contents) -> tuple[list[Sheet], list[Sheet]]:
    """What fails or is near a limit, for page two; what is only worth knowing, for the end."""
    notes = tuple(one for one in contents.findings if one.grade is Grade.NOTE)
    grave = tuple(one for one in contents.findings if one.grade is not Grade.NOTE)
    first = [_sheet(contents, "findings", "What the checks found", finding_blocks(grave))]
    last = [_sheet(contents, "notes", "Worth knowing", finding_blocks(notes))] if notes else []
    return (first, last) if grave else ([], last or first)


def _drawing_sheets(contents: Contents, parts: Assembly) -> list[Sheet]:
    sheets = []
    for named in VIEWS:
        scene = plain_view(contents.made, parts, named, contents.printing)
        drawing = Drawing(scene=scene, caption=view_words(scene, named), alt=scene.about)
        sheet = _sheet(contents, f"view-{named.name}", f"{named.name.capitalize()} view", (drawing,))
        sheets.append(replace(sheet, orientation=Orientation.ACROSS) if view_across(parts, named) else sheet)
    exploded = apart(contents.made, (170.0, 210.0))
    drawn = Drawing(scene=exploded, alt=exploded.about)
    sheets.append(_sheet(contents, "view-apart", "The piece drawn apart", (drawn,)))
    return sheets


def _list_sheets(contents: Contents) -> list[Sheet]:
    cutting = _sheet(contents, "cutting-list", "Cutting list", cutting_blocks(contents.cutting, contents.printing))
    buying = buying_blocks(contents.cutting, contents.lumber, contents.printing)
    machines = [
        _sheet(contents, f"machine-{name.replace(' ', '-')}", f"{name.capitalize()}: the same parts", blocks)
        for name, blocks in machine_sheets(contents.cutting, contents.printing)
    ]
    return [
        replace(_sheet(contents, "buying-list", "Buying list", buying), orientation=Orientation.ACROSS),
        cutting,
        *(replace(one, orientation=Orientation.ACROSS) if _in_columns(one) else one for one in machines),
    ]


def _in_columns(sheet: Sheet) -> bool:
    return any(isinstance(block, Beside) for block in sheet.blocks)


def _board_sheets(contents: Contents) -> list[Sheet]:
    if contents.lumber is None:
        return []
    blank = _sheet(contents, "", "", ())
    sheets = []
    for names, blocks in packed_boards(contents.lumber, contents.printing, room(blank)):
        title = f"Board{'s' if len(names) > 1 else ''} {', '.join(names)}"
        sheets.append(replace(blank, key=f"board-{', '.join(names)}", title=title, blocks=blocks))
    return sheets


def _kinds(contents: Contents) -> list[tuple[Kind, Part]]:
    piece = contents.made.piece
    return [(kind, piece.part(kind.parts[0])) for kind in piece.kinds]


def _part_sheets(contents: Contents, where: View) -> list[Sheet]:
    sheets = []
    for kind, part in _kinds(contents):
        blocks = part_blocks(part, kind, contents.made, contents.printing, where)
        title = f"{contents.printing.number_of(kind.id)}  {kind.label or kind.id}"
        sheet = _sheet(contents, f"part-{kind.id}", title, blocks)
        sheets.append(replace(sheet, orientation=Orientation.ACROSS) if lies_across(part) else sheet)
    return sheets


def _joint_sheets(contents: Contents) -> list[Sheet]:
    groups = joints_apart(contents.made)
    sheets = []
    for group, title in zip(groups, joint_titles(groups, contents.made), strict=True):
        blocks = joint_blocks(group, contents.made, contents.printing)
        sheets.append(_sheet(contents, f"joint-{title}", f"Joint: {title}", blocks))
    return sheets


def _fixing_sheets(contents: Contents) -> list[Sheet]:
    blocks = fixing_map(contents.made.piece, contents.printing)
    return [_sheet(contents, "fixings", "Screws, buttons and other fixings", blocks)] if blocks else []


def _rod_sheets(contents: Contents) -> list[Sheet]:
    piece, bounds = contents.made.piece, contents.made.bare_bounds
    tables: list[Table] = []
    for direction in DIRECTIONS:
        rows = rod_table(piece, bounds, direction, contents.printing)
        columns = (
            Column(title=f"Rod for {direction.name}", share=3.0),
            Column(title="From", share=1.0, number=True),
            Column(title="To", share=1.0, number=True),
            Column(title="", share=0.2, ticks=1),
        )
        tables.append(Table(columns=columns, rows=rows, caption=f"Marks from {direction.datum}."))
    many = sum(len(table.rows) for table in tables) > ONE_PAGE
    blocks: tuple[Block, ...] = (Beside(left=(tables[0],), right=(tables[1],)), tables[2]) if many else tuple(tables)
    note = "The full-size strips lie beside this packet in the folder rods: print them on a roll at actual size."
    return [_sheet(contents, "rods", "Setting-out rods", (*blocks, Paragraph(text=note)))]


def pattern_sheets(contents: Contents, paper: Paper, patterns: Patterns | None = None) -> list[Sheet]:
    """Full-size outlines of curved parts, tiled on one paper; before them one sheet that shows how all tiles lie."""
    sheets = []
    for scene, _ in pattern_scenes(contents) if patterns is None else patterns:
        title = f"Full size: {scene.name}"
        note = f"{scene.name}; {contents.printing.hand_line()}; {PATTERN_CARE}"
        lies = best_orientation(scene, paper)
        page = (paper.width, paper.height) if lies is Orientation.UPRIGHT else (paper.height, paper.width)
        block = FullSize(scene=whole_words(scene, page), note=note, plan=False)
        sheet = replace(_sheet(contents, f"outline-{scene.name}", title, (block,)), paper=paper, exact=True)
        sheets.append(replace(sheet, orientation=lies))
    plans = plan_blocks(sheets)
    if not plans:
        return sheets
    first = _sheet(contents, "full-size-plan", "Full size: how the tiles lie", plans)
    return [replace(first, paper=paper), *sheets]


def pattern_scenes(contents: Contents) -> Patterns:
    """Every full-size outline with its part."""
    return tuple(
        (scene, part)
        for kind, part in _kinds(contents)
        if needs_outline(part)
        for scene in outline_scenes(part, kind, contents.made.piece, contents.printing, _rough(contents, kind))
    )


def _rough(contents: Contents, kind: Kind) -> Size | None:
    """The blank of one part on the cutting list; None where it is glued up of several boards."""
    row = next((row for row in contents.cutting.rows if row.kind == kind.id), None)
    return row.rough if row is not None and row.pieces == 1 else None


def pattern_packet(contents: Contents, paper: Paper, patterns: Patterns | None = None) -> Packet | None:
    """The full-size outlines alone, on a paper of one's choice; None where no part is curved."""
    sheets = pattern_sheets(contents, paper, patterns)
    return Packet(title="full-size outlines", sheets=tuple(sheets)) if sheets else None


def roll_packet(contents: Contents, patterns: Patterns | None = None) -> Packet | None:
    """Each full-size outline and each rod as one page as long as it needs."""
    scenes = [scene for scene, _ in (pattern_scenes(contents) if patterns is None else patterns)]
    rods = [rod_scene(contents.made.piece, contents.made.bare_bounds, one, contents.printing) for one in DIRECTIONS]
    sheets = [
        replace(
            _sheet(contents, f"roll-{scene.name}", scene.name, (FullSize(scene=scene, roll=True),)),
            paper=A4,
            exact=True,
        )
        for scene in (*scenes, *rods)
    ]
    return Packet(title="full size, on a roll", sheets=tuple(sheets)) if sheets else None
