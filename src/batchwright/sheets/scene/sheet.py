"""Sheets of paper: blocks in order, one task a sheet; the packet is all of them. No layout here."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from batchwright.sheets.scene.scene import Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper size, upright [mm]."""

    name: str
    width: float
    height: float


A4 = Paper(name="A4", width=210.0, height=297.0)
A3 = Paper(name="A3", width=297.0, height=420.0)
LETTER = Paper(name="Letter", width=215.9, height=279.4)
TABLOID = Paper(name="Tabloid", width=279.4, height=431.8)
PAPERS: dict[str, Paper] = {paper.name: paper for paper in (A4, LETTER, A3, TABLOID)}
"""ISO 216 A sizes; ANSI A and B (Letter, Tabloid)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A scene at its own scale, never shrunk to fit. `alt` tells what it shows to one who cannot see it."""

    scene: Scene
    caption: str = ""
    alt: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table: heading, share of the width, and how it reads."""

    title: str
    share: float = 1.0
    number: bool = False
    key: bool = False
    ticks: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; its head repeats on each page. A cell of a column with `ticks` shows that many boxes, then its text.

    `groups` puts a bold line before the row of that index.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    groups: tuple[tuple[int, str], ...] = ()

    def __post_init__(self) -> None:
        for index, row in enumerate(self.rows):
            if len(row) != len(self.columns):
                raise ValueError(f"row {index} has {len(row)} cells, the table {len(self.columns)} columns")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading inside a sheet."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Running text, body size. `small` for sources and notes that nothing is set by (9 pt)."""

    text: str
    small: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution, boxed, with a sign that reads without colour."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyNumber:
    """A number that is set on a machine: what it is, the number at `points` (18 or more), and a word beneath."""

    label: str
    value: str
    note: str = ""
    points: float = 24.0

    def __post_init__(self) -> None:
        if self.points < 18.0:
            raise ValueError(f"key number {self.label!r}: 18 pt or more, not {self.points}")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyNumbers:
    """Key numbers side by side."""

    numbers: tuple[KeyNumber, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TickList:
    """Things to do, in order, each with a box to tick."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Blanks:
    """Lines to write on: a label and a line each (measured result, correction, initials and date)."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Blocks in two columns; `share` is the left column's part of the width."""

    left: tuple[Block, ...]
    right: tuple[Block, ...]
    share: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class PageBreak:
    """What follows begins a new page of the same sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FullSize:
    """A scene at exactly 1:1, the whole sheet for it: tiled over pages of the sheet's paper, or one long page (`roll`).

    `note` is printed on every tile beside the check bars (hand, face side, which outline it is). `plan` puts a page
    that shows how the tiles lie before them; leave it out where another sheet shows it.
    """

    scene: Scene
    overlap: float = 15.0
    roll: bool = False
    note: str = ""
    plan: bool = True


Block = (
    Drawing
    | Table
    | Heading
    | Paragraph
    | Caution
    | KeyNumber
    | KeyNumbers
    | TickList
    | Blanks
    | Beside
    | PageBreak
    | FullSize
)


class Orientation(Enum):
    """How the paper lies."""

    UPRIGHT = "upright"
    ACROSS = "across"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One printed sheet for one task. `key` is its stable name for reprinting; everything else is printed as it stands.

    `job` is the job line, `hand` says what left and right mean, `units` what the numbers are in; `exact` prints
    "print at actual size". Dates are given as text: no clock here.
    """

    key: str
    title: str
    blocks: tuple[Block, ...]
    paper: Paper = A4
    orientation: Orientation = Orientation.UPRIGHT
    job: str = ""
    revision: str = ""
    date: str = ""
    units: str = ""
    hand: str = ""
    exact: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Packet:
    """All sheets, in the order of the work. Keys are unique."""

    title: str
    sheets: tuple[Sheet, ...]

    def __post_init__(self) -> None:
        keys = [sheet.key for sheet in self.sheets]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ValueError(f"two sheets have the same key: {', '.join(twice)}")


SIDE = 14.0
TOP = 27.0
BOTTOM = 22.0
"""Margins of a sheet, header and footer inside them [mm]."""


def page_size(sheet: Sheet) -> tuple[float, float]:
    """Width and height of the sheet's page as it lies [mm]."""
    paper = sheet.paper
    if sheet.orientation is Orientation.ACROSS:
        return (paper.height, paper.width)
    return (paper.width, paper.height)


def room(sheet: Sheet) -> tuple[float, float]:
    """Width and height that the blocks of a sheet have on one page [mm]."""
    width, height = page_size(sheet)
    return (width - 2.0 * SIDE, height - TOP - BOTTOM)


METRIC_SCALES = tuple(1.0 / part for part in (1, 2, 2.5, 4, 5, 8, 10, 12.5, 15, 20, 25, 50, 100))
INCH_SCALES = tuple(1.0 / part for part in (1, 2, 3, 4, 6, 8, 10, 12, 16, 24, 32, 48, 96))
"""Scales that drawings are made to; every measure is written, so finer steps cost nothing and fill the paper."""


def scale_words(scale: float) -> str:
    """A scale as it is told on a sheet: full size, or one to something."""
    return "full size" if abs(scale - 1.0) < 1e-9 else f"1 : {1.0 / scale:.4g}"


def fitting_scale(size: tuple[float, float], space: tuple[float, float], inches: bool = False) -> float:
    """The largest usual scale at which a width and height fit a space [mm]; the smallest usual one if none does."""
    scales = INCH_SCALES if inches else METRIC_SCALES
    fits = (scale for scale in scales if size[0] * scale <= space[0] and size[1] * scale <= space[1])
    return next(fits, scales[-1])
