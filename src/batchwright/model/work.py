"""The cutting list: rows for every kind, thickness families, orders for the machines."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.trace import Trace
from batchwright.model.draft import Hand
from batchwright.model.piece import KindId
from batchwright.model.stock import Blank


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Length along the grain, width, thickness [mm]."""

    length: float
    width: float
    thickness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingRow:
    """One kind on the cutting list."""

    kind: KindId
    label: str
    hand: Hand
    species: str
    each: int
    """Per piece."""
    copies: int
    spares: int
    finished: Block
    """Overall, tenons included."""
    rough: Block
    """Of one blank (of one stave or layer, where several are glued up)."""
    shoulder_length: float | None
    family: str
    """Thickness family: `3/4 in from 4/4`."""
    pieces: int = 1
    """Boards glued up for one part."""
    blank_form: str = "one board"
    gang: int = 1
    """How many are milled as one long blank because one alone is too short for the planer."""
    curved: bool = False
    notes: tuple[str, ...] = ()
    body: Block | None = None
    """Where tenons stand over the body's edges: its own sizes, sawn last. None where they are the finished ones."""
    traces: tuple[tuple[str, Trace], ...] = ()

    @property
    def total(self) -> int:
        """Parts to make over the run, spares included."""
        return self.each * self.copies + self.spares


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Parts planed to one thickness from one rough thickness, in one session."""

    name: str
    species: str
    finished: float
    quarters: str
    """The rough thickness's name, 4/4."""
    rough: float
    kinds: tuple[KindId, ...]
    net_volume: float
    """Finished parts' bounding blocks, spares left out [mm^3]."""
    rough_volume: float
    """Rough blanks at full rough thickness, spares included [mm^3]."""
    buy_volume: float
    """With the waste of the shop's rule [mm^3]."""
    waste: float
    """Share of the bought stock that is lost, 0-1."""
    least_length: float
    least_width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MachinePass:
    """The same parts re-sorted for one machine: (setting text, rows in order)."""

    machine: str
    note: str
    groups: tuple[tuple[str, tuple[KindId, ...]], ...]
    before_gluing: bool = False
    """Whether parts that are glued up of several boards pass as those boards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardware:
    """Small things to buy or make for the run: screws, buttons, pegs, wedges. A diameter of 0 is none [mm]."""

    what: str
    count: int
    diameter: float = 0.0
    sizes: tuple[float, ...] = ()
    """Thickness, width, length of what is made in the shop, as far as it has them [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingList:
    """Every kind, by kind, by thickness family, by machine; and the blanks to be got out of boards."""

    rows: tuple[CuttingRow, ...]
    families: tuple[Family, ...]
    machines: tuple[MachinePass, ...]
    blanks: tuple[Blank, ...]
    copies: int
    hardware: tuple[Hardware, ...] = ()
