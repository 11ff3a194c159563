"""Boards and blanks for the tests of the lumber room, in inches for the reader's sake."""

from __future__ import annotations

from dataclasses import replace

from batchwright.model.piece import KindId
from batchwright.model.shop import Machine, Shop, default
from batchwright.model.stock import Blank, Board, Defect

INCH = 25.4
KERF = 0.125
TRIM = 1.0
SHOP = Shop(machines=(Machine(kind="crosscut saw", kerf=default(KERF * INCH)),))


def board(name: str, size: tuple[float, ...], price: float | None = None, **more: object) -> Board:
    """A board of (length, width, thickness), or (length, width, far width, thickness) [in]."""
    length, width, *far, thickness = size
    record = Board(
        name=name,
        species="white_oak",
        length=length * INCH,
        width=width * INCH,
        far_width=(far[0] if far else width) * INCH,
        thickness=thickness * INCH,
        price=price,
    )
    return replace(record, **more)  # type: ignore[arg-type]


def defect(start: float, end: float, low: float, high: float, face: str = "both") -> Defect:
    """A knot [in]."""
    return Defect(start=start * INCH, end=end * INCH, low=low * INCH, high=high * INCH, face=face, kind="knot")


def blank(name: str, size: tuple[float, float, float], count: int, **more: object) -> Blank:
    """A blank of (length, width, rough thickness) [in]."""
    length, width, thickness = size
    return Blank(  # type: ignore[arg-type]
        **{
            "kind": KindId(name),
            "label": name,
            "length": length * INCH,
            "width": width * INCH,
            "thickness": thickness * INCH,
            "count": count,
            "species": "white_oak",
            **more,
        }
    )
