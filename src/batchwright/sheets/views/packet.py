"""The packet: every sheet in the order of the work, each with a stable key so that one can be printed again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, partial

from batchwright.base.finding import Finding, Grade
from batchwright.model.draft import PartId
from batchwright.model.piece import Joint, JointId, Kind, Part
from batchwright.model.stock import BoardPlan, LaidBlank
from batchwright.model.work import Block as Size
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    A4,
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
from batchwright.sheets.views.contents import Contents, paper_of, sheet_of
from batchwright.sheets.views.cover import cover_blocks
from batchwright.sheets.views.drawings import VIEWS, Named, apart, plain_view, view_words, whole
from batchwright.sheets.views.drawings import lies_across as view_across
from batchwright.sheets.views.fixings import fixing_map
from batchwright.sheets.views.joint_numbers import called
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
from batchwright.sheets.views.rods import DIRECTIONS, rod_scene, rod_table
from batchwright.sheets.views.tile_plans import plan_blocks
from batchwright.solids.assembly import Assembly
from batchwright.solids.view import PICTORIAL, View, view

Patterns = tuple[tuple[Scene, Part], ...]
"""Full-size outlines, each with its part."""
ONE_PAGE = 24
"""Marks of all rods that stand on one page below each other."""
__all__ = [
    "Contents",
    "Entry",
    "Patterns",
    "make_packet",
    "packet_entries",
    "paper_of",
    "pattern_packet",
    "pattern_scenes",
    "roll_packet",
]
PATTERN_CARE = "saw outside the line; the machine's manual comes first"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A sheet that can be made: its key and title, the group of the packet it stands in, which parts and joints it
    names, and whether it tells what the boards are or what was found in laying them."""

    key: str
    title: str
    group: str
    make: Callable[[], Sheet]
    parts: tuple[PartId, ...] = ()
    joints: tuple[JointId, ...] = ()
    of_boards: bool = False


class _Seen:
    """The piece seen whole and from a corner: worked out once, when the first sheet asks for it."""

    def __init__(self, made: Made) -> None:
        self._made = made

    @cached_property
    def parts(self) -> Assembly:
        return whole(self._made)

    @cached_property
    def where(self) -> View:
        return view(self.parts, PICTORIAL, hidden=False)


def packet_title(contents: Contents) -> str:
    """What the packet is called."""
    return f"{contents.made.piece.draft.name}: {contents.job}"


def make_packet(contents: Contents, patterns: Patterns | None = None) -> Packet:
    """Every sheet of the packet; `patterns` where the full-size outlines are drawn already."""
    sheets = tuple(entry.make() for entry in packet_entries(contents, patterns))
    return Packet(title=packet_title(contents), sheets=sheets)


def packet_entries(contents: Contents, patterns: Patterns | None = None) -> tuple[Entry, ...]:
    """Every sheet in the order of the work, none of them made yet. The boards are packed onto theirs, and the outlines
    drawn where they are not handed in, since both decide how many sheets there are."""
    seen = _Seen(contents.made)
    first, last = _finding_sheets(contents)
    return (
        _cover(contents, seen),
        *first,
        *_drawing_sheets(contents, seen),
        *_rod_sheets(contents),
        _buying_sheet(contents),
        *_board_sheets(contents),
        *_list_sheets(contents),
        *_pattern_entries(contents, patterns),
        *_part_sheets(contents, seen),
        *_joint_sheets(contents),
        *_fixing_sheets(contents),
        *last,
    )


def _cover(contents: Contents, seen: _Seen) -> Entry:
    title = contents.made.piece.draft.name

    def make() -> Sheet:
        job = (contents.copies, contents.said)
        return sheet_of(
            contents, "cover", title, cover_blocks(contents.made, contents.printing, contents.findings, job, seen.where)
        )

    return Entry(key="cover", title=title, group="The piece", make=make)


def _finding_sheets(contents: Contents) -> tuple[list[Entry], list[Entry]]:
    """What fails or is near a limit, for page two; what is only worth knowing, for the end."""
    notes = tuple(one for one in contents.findings if one.grade is Grade.NOTE)
    grave = tuple(one for one in contents.findings if one.grade is not Grade.NOTE)
    first = [_findings(contents, ("findings", "What the checks found", "The piece"), grave)]
    last = [_findings(contents, ("notes", "Worth knowing", "Notes"), notes)] if notes else []
    return (first, last) if grave else ([], last or first)


def _findings(contents: Contents, called: tuple[str, str, str], findings: tuple[Finding, ...]) -> Entry:
    key, title, group = called
    parts, joints = _spoken_of(contents, findings)
    return Entry(
        key=key, title=title, group=group, parts=parts, joints=joints,
        make=lambda: sheet_of(contents, key, title, finding_blocks(findings)),
    )  # fmt: skip


def _spoken_of(contents: Contents, findings: tuple[Finding, ...]) -> tuple[tuple[PartId, ...], tuple[JointId, ...]]:
    about = {name for finding in findings for name in finding.about}
    piece = contents.made.piece
    parts = tuple(part.id for part in piece.parts if part.id in about)
    return parts, tuple(joint.id for joint in piece.joints if joint.id in about)


def _drawing_sheets(contents: Contents, seen: _Seen) -> list[Entry]:
    def view_sheet(named: Named) -> Sheet:
        scene = plain_view(contents.made, seen.parts, named, contents.printing)
        drawing = Drawing(scene=scene, caption=view_words(scene, named), alt=scene.about)
        sheet = sheet_of(contents, f"view-{named.name}", f"{named.name.capitalize()} view", (drawing,))
        return replace(sheet, orientation=Orientation.ACROSS) if view_across(seen.parts, named) else sheet

    def apart_sheet() -> Sheet:
        exploded = apart(contents.made, (170.0, 210.0))
        return sheet_of(contents, "view-apart", "The piece drawn apart", (Drawing(scene=exploded, alt=exploded.about),))

    views = [
        Entry(key=f"view-{named.name}", title=f"{named.name.capitalize()} view", group="Drawings",
              make=partial(view_sheet, named))
        for named in VIEWS
    ]  # fmt: skip
    return [*views, Entry(key="view-apart", title="The piece drawn apart", group="Drawings", make=apart_sheet)]


def _buying_sheet(contents: Contents) -> Entry:
    def make() -> Sheet:
        blocks = buying_blocks(contents.cutting, contents.lumber, contents.printing)
        return replace(sheet_of(contents, "buying-list", "Buying list", blocks), orientation=Orientation.ACROSS)

    return Entry(key="buying-list", title="Buying list", group="Boards", make=make, of_boards=True)


def _list_sheets(contents: Contents) -> list[Entry]:
    def cutting() -> Sheet:
        return sheet_of(contents, "cutting-list", "Cutting list", cutting_blocks(contents.cutting, contents.printing))

    machines = [
        sheet_of(contents, f"machine-{name.replace(' ', '-')}", f"{name.capitalize()}: the same parts", blocks)
        for name, blocks in machine_sheets(contents.cutting, contents.printing)
    ]
    machines = [replace(one, orientation=Orientation.ACROSS) if _in_columns(one) else one for one in machines]
    first = Entry(key="cutting-list", title="Cutting list", group="Lists", make=cutting)
    return [first, *(_ready(sheet, "Lists") for sheet in machines)]


def _ready(sheet: Sheet, group: str, parts: tuple[PartId, ...] = (), of_boards: bool = False) -> Entry:
    """The entry of a sheet that is made already."""
    return Entry(key=sheet.key, title=sheet.title, group=group, make=lambda: sheet, parts=parts, of_boards=of_boards)


def _in_columns(sheet: Sheet) -> bool:
    return any(isinstance(block, Beside) for block in sheet.blocks)


def _board_sheets(contents: Contents) -> list[Entry]:
    if contents.lumber is None:
        return []
    blank = sheet_of(contents, "", "", ())
    entries = []
    laid = {plan.board: plan for plan in contents.lumber.plans}
    for names, blocks in packed_boards(contents.lumber, contents.printing, room(blank)):
        title = f"Board{'s' if len(names) > 1 else ''} {', '.join(names)}"
        sheet = replace(blank, key=f"board-{', '.join(names)}", title=title, blocks=blocks)
        kinds = {contents.lumber.blanks[one.blank].kind for name in names for one in _all_laid(laid[name])}
        parts = tuple(part.id for part in contents.made.piece.parts if part.kind in kinds)
        entries.append(_ready(sheet, "Boards", parts, of_boards=True))
    return entries


def _all_laid(plan: BoardPlan) -> list[LaidBlank]:
    return [laid for section in plan.sections for strip in section.strips for laid in strip.laid]


def _kinds(contents: Contents) -> list[tuple[Kind, Part]]:
    piece = contents.made.piece
    return [(kind, piece.part(kind.parts[0])) for kind in piece.kinds]


def _by_work(contents: Contents) -> list[tuple[Kind, Part]]:
    """Kinds as they are worked: by thickness family as on the cutting list, there by name in the order of their
    numbers, so that slats of one name follow one another even where their thicknesses differ."""
    family = {kind: place for place, one in enumerate(contents.cutting.families) for kind in one.kinds}
    first: dict[str, int] = {}
    for kind, _ in _kinds(contents):
        first[kind.name] = min(first.get(kind.name, len(family)), family.get(kind.id, len(family)))
    number = contents.printing.number_of
    lowest: dict[str, int] = {}
    for kind, _ in _kinds(contents):
        lowest[kind.name] = min(lowest.get(kind.name, number(kind.id)), number(kind.id))
    return sorted(_kinds(contents), key=lambda one: (first[one[0].name], lowest[one[0].name], number(one[0].id)))


def _part_sheets(contents: Contents, seen: _Seen) -> list[Entry]:
    def make(kind: Kind, part: Part, title: str) -> Sheet:
        blocks = part_blocks(part, kind, contents.made, contents.printing, seen.where)
        sheet = sheet_of(contents, f"part-{kind.id}", title, blocks)
        return replace(sheet, orientation=Orientation.ACROSS) if lies_across(part) else sheet

    entries = []
    for kind, part in _by_work(contents):
        title = f"{contents.printing.number_of(kind.id)}  {kind.label or kind.id}"
        joints = tuple(one.id for one in contents.made.piece.joints if kind.parts[0] in (one.part, one.into))
        entries.append(
            Entry(key=f"part-{kind.id}", title=title, group="Parts", make=partial(make, kind, part, title),
                  parts=kind.parts, joints=joints)
        )  # fmt: skip
    return entries


def _joint_sheets(contents: Contents) -> list[Entry]:
    def make(group: tuple[Joint, ...], title: str) -> Sheet:
        blocks = joint_blocks(group, contents.made, contents.printing)
        return sheet_of(contents, f"joint-{title}", f"{called(group[0])}: {title}", blocks)

    groups = joints_apart(contents.made)
    return [
        Entry(
            key=f"joint-{title}", title=f"{called(group[0])}: {title}", group="Joints",
            make=partial(make, group, title),
            parts=tuple(dict.fromkeys(name for one in group for name in (one.part, one.into))),
            joints=tuple(one.id for one in group),
        )
        for group, title in zip(groups, joint_titles(groups, contents.made), strict=True)
    ]  # fmt: skip


def _fixing_sheets(contents: Contents) -> list[Entry]:
    piece = contents.made.piece
    title = "Screws, buttons and other fixings"
    blocks = fixing_map(piece, contents.printing)
    parts = tuple(dict.fromkeys(name for one in piece.fixings for name in (one.part, one.into)))
    return [_ready(sheet_of(contents, "fixings", title, blocks), "Fixings", parts)] if blocks else []


def _rod_sheets(contents: Contents) -> list[Entry]:
    return [Entry(key="rods", title="Setting-out rods", group="Rods", make=lambda: _rods(contents))]


def _rods(contents: Contents) -> Sheet:
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
    return sheet_of(contents, "rods", "Setting-out rods", (*blocks, Paragraph(text=note)))


def _pattern_entries(contents: Contents, patterns: Patterns | None) -> list[Entry]:
    scenes = pattern_scenes(contents) if patterns is None else patterns
    kinds = {kind.id: kind.parts for kind in contents.made.piece.kinds}
    own = {f"outline-{scene.name}": kinds[part.kind] for scene, part in scenes}
    sheets = pattern_sheets(contents, paper_of(contents.paper), scenes)
    return [_ready(sheet, "Full size", own.get(sheet.key, ())) for sheet in sheets]


def pattern_sheets(contents: Contents, paper: Paper, patterns: Patterns | None = None) -> list[Sheet]:
    """Full-size outlines of curved parts, tiled on one paper; before them one sheet that shows how all tiles lie."""
    sheets = []
    for scene, _ in pattern_scenes(contents) if patterns is None else patterns:
        title = f"Full size: {scene.name}"
        note = f"{scene.name}; {contents.printing.hand_line()}; {PATTERN_CARE}"
        lies = best_orientation(scene, paper)
        page = (paper.width, paper.height) if lies is Orientation.UPRIGHT else (paper.height, paper.width)
        block = FullSize(scene=whole_words(scene, page), note=note, plan=False)
        sheet = replace(sheet_of(contents, f"outline-{scene.name}", title, (block,)), paper=paper, exact=True)
        sheets.append(replace(sheet, orientation=lies))
    plans = plan_blocks(sheets)
    if not plans:
        return sheets
    first = sheet_of(contents, "full-size-plan", "Full size: how the tiles lie", plans)
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
            sheet_of(contents, f"roll-{scene.name}", scene.name, (FullSize(scene=scene, roll=True),)),
            paper=A4,
            exact=True,
        )
        for scene in (*scenes, *rods)
    ]
    return Packet(title="full size, on a roll", sheets=tuple(sheets)) if sheets else None
