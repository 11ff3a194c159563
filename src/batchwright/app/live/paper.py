"""The paper of one revision: its sheets, made as they are asked for, its boards, its files. In the worker's process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from batchwright.app.live.blocks import blocks_as_plain, drawing_of
from batchwright.app.live.shelf import Shelf
from batchwright.app.order import worst_first
from batchwright.app.packet import contents_of
from batchwright.app.plan import Checked, lumber_of
from batchwright.app.planned import Planned
from batchwright.base.finding import Finding
from batchwright.model.stock import LumberPlan
from batchwright.model.work import CuttingList
from batchwright.planning.lumber import Stop
from batchwright.sheets.render.pdf import render_pages
from batchwright.sheets.scene.sheet import Sheet
from batchwright.sheets.views.made import make
from batchwright.sheets.views.packet import Entry, Patterns, packet_entries, pattern_scenes

Plain = dict[str, object]
Progress = Callable[[float], None]


NO_BOARDS, FIRST, BEST = 0, 1, 2
"""How far the boards are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What the paper of a revision is made from, and which sheet is looked at."""

    revision: int
    checked: Checked
    cutting: CuttingList
    findings: tuple[Finding, ...]
    made: datetime
    looked: str = ""


class Paper:
    """Sheets of one revision. What is made is kept until the boards or what was found in laying them change it."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.revision = task.revision
        self.stage = NO_BOARDS
        loaded = task.checked.loaded
        self.planned = Planned(
            job=loaded.job, shop=loaded.shop, piece=task.checked.piece, cutting=task.cutting, lumber=None,
            boards=loaded.boards, findings=task.findings, made=task.made, design_hash=loaded.design_hash,
        )  # fmt: skip
        self._made = make(task.checked.piece)
        self._patterns: Patterns | None = None
        self._entries: dict[str, Entry] = {}
        self._sheets: dict[str, Sheet] = {}
        self._pages: dict[str, tuple[bytes, ...]] = {}
        self._shelf: Shelf | None = None
        self._laid: tuple[Finding, ...] = ()
        self._list()

    @property
    def has_boards(self) -> bool:
        """Whether there are boards to lay the parts on."""
        return bool(self.planned.boards)

    @property
    def keys(self) -> tuple[str, ...]:
        """The sheets there are now."""
        return tuple(self._entries)

    def _list(self) -> None:
        contents = contents_of(self.planned, self._made)
        self._entries = {entry.key: entry for entry in packet_entries(contents, self._patterns or ())}

    def outline(self) -> None:
        """Draw the full-size outlines: there are more sheets then."""
        self._patterns = pattern_scenes(contents_of(self.planned, self._made))
        self._list()

    def lay(self, stop: Stop, stage: int, progress: Progress) -> None:
        """Lay the parts on the boards; sheets that tell of boards are made anew. A plan laid before is kept where the
        new one is no better: how long is looked does not decide alone what is found."""
        lumber, laid = lumber_of(self.task.checked.loaded, self.task.cutting, lambda _, share: progress(share), stop)
        before = self.planned
        if before.lumber is not None and lumber is not None and _worth(before.lumber) <= _worth(lumber):
            lumber, laid = before.lumber, self._laid
        self._laid = laid
        self.planned = replace(before, lumber=lumber, findings=worst_first((*self.task.findings, *laid)))
        self.stage = stage
        self._shelf = None
        self._list()
        found = self.planned.findings != before.findings
        gone = [key for key, entry in self._entries.items() if entry.of_boards or (found and _of_findings(key))]
        for key in gone:
            self._sheets.pop(key, None)
            self._pages.pop(key, None)

    def index(self) -> list[Plain]:
        """Every sheet in the order of the work. The stage is 0 but for those that change with the boards."""
        return [
            {
                "key": entry.key,
                "title": entry.title,
                "group": entry.group,
                "parts": list(entry.parts),
                "joints": list(entry.joints),
                "revision": self.revision,
                "stage": self._stage(entry.key),
            }
            for entry in self._entries.values()
            if not (entry.of_boards and self.has_boards and self.stage == NO_BOARDS)
        ]

    def _stage(self, key: str) -> int:
        return self.stage if self._entries[key].of_boards or _of_findings(key) else NO_BOARDS

    def sheet(self, key: str) -> Sheet | None:
        """A sheet, made now or before; None where there is none of that key."""
        entry = self._entries.get(key)
        if entry is None:
            return None
        if key not in self._sheets:
            self._sheets[key] = entry.make()
        return self._sheets[key]

    def shown(self, key: str) -> tuple[Plain, tuple[bytes, ...]] | None:
        """A sheet as it is shown: what stands on it, and its pages as SVG."""
        sheet = self.sheet(key)
        if sheet is None:
            return None
        if key not in self._pages:
            self._pages[key] = render_pages(sheet, self.planned.made)
        pages = self._pages[key]
        told: Plain = {
            "key": key,
            "title": sheet.title,
            "revision": self.revision,
            "stage": self._stage(key),
            "pages": len(pages),
            "blocks": blocks_as_plain(sheet, self.revision),
        }
        return told, pages

    def drawing(self, key: str, number: int) -> bytes | None:
        """One drawing of a sheet as SVG."""
        sheet = self.sheet(key)
        svg = None if sheet is None else drawing_of(sheet, number)
        return None if svg is None else svg.encode()

    def shelf(self) -> Shelf:
        """The files that can be taken away."""
        if self._shelf is None:
            patterns = self._patterns
            if patterns is None:
                patterns = self._patterns = pattern_scenes(contents_of(self.planned, self._made))
            self._shelf = Shelf(self.planned, contents_of(self.planned, self._made), patterns)
        return self._shelf

    def boards(self) -> Plain:
        """How the boards stand, in numbers and in words."""
        if not self.has_boards:
            return {"revision": self.revision, "working": False, "shown": "–", "words": "the job names no boards"}
        lumber = self.planned.lumber
        told: Plain = {"revision": self.revision, "working": self.stage != BEST, "stage": self.stage}
        return told if lumber is None else told | _laid(lumber, self.planned.shop.currency, self.stage)


def _worth(lumber: LumberPlan) -> tuple[int, float, float]:
    """Plans in order: what is missing first, then the price, then the area."""
    missing = sum(one.count for one in lumber.short)
    return missing, round(lumber.cost or 0.0, 2), round(lumber.area_used, 1)


def _of_findings(key: str) -> bool:
    return key in ("cover", "findings", "notes")


def _laid(lumber: LumberPlan, currency: str, stage: int) -> Plain:
    priced = lumber.cost is not None and lumber.cost_bound is not None
    gap = lumber.cost / lumber.cost_bound - 1.0 if priced and lumber.cost and lumber.cost_bound else lumber.gap
    missing = sum(one.count for one in lumber.short)
    told: Plain = {
        "cost": lumber.cost,
        "cost_shown": None if lumber.cost is None else f"{currency}{lumber.cost:,.2f}",
        "bound": lumber.cost_bound,
        "bound_shown": None if lumber.cost_bound is None else f"{currency}{lumber.cost_bound:,.2f}",
        "gap": None if missing else gap,
        "used": len(lumber.plans),
        "offered": len(lumber.boards),
        "missing": missing,
        "status": lumber.status,
        "verified": lumber.verified,
        "shown": f"{len(lumber.plans)} of {len(lumber.boards)} boards",
    }
    return told | {"words": _words(lumber, told, gap, stage)}


def _words(lumber: LumberPlan, told: Plain, gap: float | None, stage: int) -> str:
    looking = "" if stage == BEST else "; still looking, and the better plan is kept"
    missing = told["missing"]
    if missing:
        return f"{missing} blanks are not covered by these boards{looking}"
    share = "" if gap is None else f", at most {gap:.1%} more than the least possible"
    return f"{told['shown']}{share}{looking}"
