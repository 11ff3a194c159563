"""Every file that can be taken away, by name; each is made when it is asked for, and kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from batchwright.app.export import export_files
from batchwright.app.exporting.lists import list_files as exported_lists
from batchwright.app.exporting.wanted import Form, Wanted
from batchwright.app.packet import file_name, file_names, list_files, outline_files, rod_files
from batchwright.app.planned import Planned
from batchwright.app.record import plan_as_json
from batchwright.sheets.render.pdf import render_packet, render_sheet
from batchwright.sheets.views.drawings import VIEWS
from batchwright.sheets.views.joint_sheet import joint_titles, joints_apart
from batchwright.sheets.views.packet import Contents, Patterns, make_packet, packet_entries
from batchwright.sheets.views.rods import DIRECTIONS

Plain = dict[str, object]
Files = dict[str, bytes]
FORMS = ("svg", "dxf")
PRINTED = "every sheet in the order of the work, to be printed at actual size"
LISTS = {
    "cutting-list.csv": "every part with its finished and rough sizes",
    "buying-list.csv": "what to buy, by thickness and wood",
}
MORE_LISTS = {"xlsx": "every list in one workbook", "csv": "for spreadsheets and other programs"}
PLAN = "the whole plan, for other programs; all lengths in millimetres"


@dataclass(frozen=True, slots=True)
class Shelved:
    """A file that can be had: its name, the group it is shown in, what it is, and with which others it is made."""

    name: str
    group: str
    words: str
    made_with: str


class Shelf:
    """The files of one plan. What is made together is kept together."""

    def __init__(self, planned: Planned, contents: Contents, patterns: Patterns) -> None:
        self._planned = planned
        self._contents = contents
        self._patterns = patterns
        self._entries = packet_entries(contents, patterns)
        wanted = Wanted(planned=planned, contents=contents)
        self._together: dict[str, Files] = {"more lists": exported_lists(wanted, (Form.XLSX, Form.CSV))}
        self._files = {one.name: one for one in self._all()}

    def listing(self) -> list[Plain]:
        """Every file, in the order in which they are of use."""
        return [{"name": one.name, "group": one.group, "words": one.words} for one in self._files.values()]

    def content(self, name: str) -> bytes | None:
        """A file's bytes; None where there is none of that name."""
        found = self._files.get(name)
        if found is None:
            return None
        if found.made_with.startswith("sheet "):
            entry = self._entries[int(found.made_with.split()[1])]
            return render_sheet(entry.make(), self._planned.made).pdf
        if found.made_with not in self._together:
            self._together[found.made_with] = self._make(found.made_with)
        return self._together[found.made_with].get(name)

    def _make(self, what: str) -> Files:
        planned, contents, patterns = self._planned, self._contents, self._patterns
        makers: dict[str, Callable[[], Files]] = {
            "packet": lambda: {"packet.pdf": render_packet(make_packet(contents, patterns), planned.made).pdf},
            "lists": lambda: list_files(planned, contents),
            "plan": lambda: {"plan.json": plan_as_json(planned)},
            "outlines": lambda: outline_files(planned, contents, patterns),
            "rods": lambda: rod_files(planned, contents, patterns),
        }
        return makers[what]() if what in makers else export_files(planned, (what,))

    def _all(self) -> list[Shelved]:
        return [
            Shelved("packet.pdf", "Packet", PRINTED, "packet"),
            *(Shelved(name, "Lists", words, "lists") for name, words in LISTS.items()),
            *self._more_lists(),
            Shelved("plan.json", "Lists", PLAN, "plan"),
            *self._sheets(),
            *self._outlines(),
            *self._rods(),
            *self._drawings(),
            *self._models(),
        ]

    def _more_lists(self) -> list[Shelved]:
        """Lists that are exported and are not in the packet."""
        names = [name for name in self._together["more lists"] if name.removeprefix("lists/") not in LISTS]
        return [Shelved(name, "Lists", MORE_LISTS[name.rpartition(".")[2]], "more lists") for name in names]

    def _sheets(self) -> list[Shelved]:
        names = file_names([entry.key for entry in self._entries])
        return [
            Shelved(f"sheets/{name}.pdf", "Sheets", entry.title, f"sheet {number}")
            for number, (name, entry) in enumerate(zip(names, self._entries, strict=True))
        ]

    def _outlines(self) -> list[Shelved]:
        names = file_names([scene.name for scene, _ in self._patterns])
        tiled = [(f"full-size-{paper}.pdf", f"all outlines, tiled on {paper}") for paper in ("A4", "Letter")]
        each = [
            (f"{name}.{form}", f"{scene.name}, full size")
            for name, (scene, _) in zip(names, self._patterns, strict=True)
            for form in FORMS
        ]
        every = [*tiled, *each] if self._patterns else []
        return [Shelved(f"outlines/{name}", "Outlines", words, "outlines") for name, words in every]

    def _rods(self) -> list[Shelved]:
        each = [(f"{one.name}.{form}", f"rod for {one.name}") for one in DIRECTIONS for form in FORMS]
        every = [("full-size-roll.pdf", "rods and outlines, full size on a roll"), *each]
        return [Shelved(f"rods/{name}", "Rods", words, "rods") for name, words in every]

    def _drawings(self) -> list[Shelved]:
        made, lumber = self._contents.made, self._contents.lumber
        views = [(name, name) for name in (*(one.name for one in VIEWS), "pictorial", "apart")]
        laid = set() if lumber is None else {plan.board for plan in lumber.plans}
        used = [] if lumber is None else [board.name for board in lumber.boards if board.name in laid]
        boards = [(name, f"board {board}") for name, board in zip(file_names(used), used, strict=True)]
        titles = joint_titles(joints_apart(made), made)
        joints = [
            (f"{name}-{way}", f"{title}, cut through its {way}")
            for name, title in zip(file_names(titles), titles, strict=True)
            for way in ("width", "thickness")
        ]
        return [
            Shelved(f"{group.lower()}/{name}.{form}", group, words, form)
            for group, files in (("Views", views), ("Boards", boards), ("Joints", joints))
            for name, words in files
            for form in FORMS
        ]

    def _models(self) -> list[Shelved]:
        piece = self._contents.made.piece
        whole = file_name(piece.draft.name)
        kinds = zip(file_names([kind.id for kind in piece.kinds]), piece.kinds, strict=True)
        parts = [
            (f"parts/{name}.{form}", kind.label or str(kind.id), form)
            for name, kind in kinds
            for form in ("glb", "stl")
        ]
        found = [
            (f"{whole}.glb", "the piece", "glb"),
            (f"{whole}-apart.glb", "the piece drawn apart", "glb"),
            (f"{whole}.stl", "the piece", "stl"),
            *parts,
        ]
        return [Shelved(f"models/{name}", "Models", words, form) for name, words, form in found]
