"""The job: how many copies, where they will live, which boards, which date."""

from __future__ import annotations

from dataclasses import dataclass

from batchwright.base.fault import NOWHERE, Place
from batchwright.model.milled import MilledSaid


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """A size that the job sets, as text (evaluated with the piece's own expressions)."""

    name: str
    text: str
    place: Place = NOWHERE


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job file's content. File names are as written, relative to the job file. Moisture as ratios."""

    name: str
    file: str
    piece_file: str
    copies: int = 1
    spares: tuple[tuple[str, int], ...] = ()
    """(part name, how many beyond those the piece needs)."""
    sizes: tuple[Override, ...] = ()
    where: str = ""
    outdoors: bool | None = None
    wood: str = ""
    humidity: tuple[float, float] | None = None
    moisture: tuple[float, float] | None = None
    moisture_now: float | None = None
    boards_file: str = ""
    defects_file: str = ""
    shop_file: str = ""
    as_milled: tuple[Override, ...] = ()
    """Names with one length: sizes of the piece, or parts, whose thickness it is."""
    milled: tuple[MilledSaid, ...] = ()
    """What is sure to speak of parts: families of one thickness, parts with thickness and width."""
    cut_file: str = ""
    """The record of parts that are cut already."""
    glue: str = ""
    finish: str = ""
    due: str = ""
    print_in: str = ""
    """in, mm, or empty: the piece's units."""
    paper: str = "letter"
    """letter, tabloid, A4, A3, or `roll 610 mm`."""
    place: Place = NOWHERE
    note: str = ""
    places: tuple[tuple[str, Place], ...] = ()
    """Where the value of each word stands; `spares: back leg` for a spare."""
