"""Boards, their defects, and a layout of blanks on them."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.fault import NOWHERE, Place
from batchwright.model.piece import KindId


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect:
    """A place to keep clear of: along the board from its marked end, across it from its marked edge [mm]."""

    start: float
    end: float
    low: float
    high: float
    face: str = "both"
    kind: str = ""
    note: str = ""
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One board as measured. Lengths in mm; money in the shop's currency; moisture as a ratio."""

    name: str
    species: str
    length: float
    width: float
    far_width: float
    thickness: float
    grade: str = ""
    price: float | None = None
    """Of the whole board."""
    price_text: str = ""
    charged_feet: float = 0.0
    """Board feet by the tally that its price goes by; 0 where it is not sold so."""
    sawn: str = ""
    moisture: float | None = None
    note: str = ""
    defects: tuple[Defect, ...] = ()
    place: Place = NOWHERE

    def width_at(self, along: float) -> float:
        """Width at a distance from the marked end, straight between the two ends [mm]."""
        return self.width + (self.far_width - self.width) * along / self.length

    @property
    def area(self) -> float:
        """Face area [mm^2]."""
        return self.length * (self.width + self.far_width) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A rough piece to be got out of a board: for one part, or one of the staves or layers glued up for a part."""

    kind: KindId
    label: str
    length: float
    """Along the grain, allowances included [mm]."""
    width: float
    thickness: float
    """Rough thickness the board must have [mm]."""
    count: int
    """Over the whole run, spares included."""
    species: str
    stave: str = ""
    """`stave 2 of 5` where several are glued up."""
    sawn: str = ""
    curved: bool = False
    least_thickness: float = 0.0
    """Least measured thickness that still planes out to the finished one [mm]; 0 where not said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidBlank:
    """A blank on a board: lower left corner from the marked end and marked edge, its size there [mm]."""

    blank: int
    """Index into LumberPlan.blanks."""
    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip ripped from a section: its low edge, its width, and the blanks end to end in it."""

    y: float
    width: float
    laid: tuple[LaidBlank, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionCut:
    """A crosscut section of a board, full width, and the strips ripped from it."""

    x: float
    length: float
    strips: tuple[Strip, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPlan:
    """How one board is cut."""

    board: str
    sections: tuple[SectionCut, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """Blanks that no board could give, and why."""

    blank: int
    count: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LumberPlan:
    """A layout over all boards: what is used, what is left, what is not covered, and how far from best it may be."""

    blanks: tuple[Blank, ...]
    boards: tuple[Board, ...]
    plans: tuple[BoardPlan, ...]
    short: tuple[Shortage, ...]
    kerf: float
    cost: float | None
    """Of the boards used; None where no price is known."""
    area_used: float
    area_bound: float
    """Least board area that any layout must use [mm^2]."""
    gap: float | None
    """area_used / area_bound - 1; None where something is not covered."""
    status: str
    verified: bool = False
    spacing: float = 0.0
    """Chalk marks lie on whole multiples of this, counted from the trimmed end [mm]."""
    notes: tuple[str, ...] = ()
    cost_bound: float | None = None
    """Least that any layout must cost; None where not all boards have a price."""
