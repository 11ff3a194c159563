"""Named strokes and fills, and the one table that turns names into widths, dashes and tints. Paper millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Stroke(Enum):
    """What a line means. The table below says how it looks; no drawing sets a width of its own."""

    OUTLINE = "outline"
    VISIBLE = "visible"
    HIDDEN = "hidden"
    CENTRE = "centre"
    DIMENSION = "dimension"
    CUT = "cut"
    PATTERN = "pattern"
    BLANK = "blank"
    TEMPLATE = "template"
    WITNESS = "witness"
    GRAIN = "grain"
    HATCH = "hatch"
    GRID = "grid"
    CHALK = "chalk"
    REGISTER = "register"
    TRIM = "trim"
    FAINT = "faint"


class Fill(Enum):
    """What a filled area means. Black on white must read without it."""

    NONE = "none"
    PAPER = "paper"
    TINT = "tint"
    SHADE = "shade"
    SOLID = "solid"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How one named stroke is drawn: width, dashes (empty = unbroken) and grey, all on paper [mm]."""

    width: float
    dashes: tuple[float, ...] = ()
    grey: str = "#000000"


PENS: dict[Stroke, Pen] = {
    Stroke.OUTLINE: Pen(width=0.6),
    Stroke.VISIBLE: Pen(width=0.35),
    Stroke.HIDDEN: Pen(width=0.25, dashes=(2.0, 1.2)),
    Stroke.CENTRE: Pen(width=0.18, dashes=(7.0, 1.2, 1.2, 1.2)),
    Stroke.DIMENSION: Pen(width=0.18),
    Stroke.CUT: Pen(width=0.7),
    Stroke.PATTERN: Pen(width=0.4),
    Stroke.BLANK: Pen(width=0.3, dashes=(9.0, 3.0)),
    Stroke.TEMPLATE: Pen(width=0.4, dashes=(5.0, 1.5)),
    Stroke.WITNESS: Pen(width=0.3),
    Stroke.GRAIN: Pen(width=0.35),
    Stroke.HATCH: Pen(width=0.13),
    Stroke.GRID: Pen(width=0.1, grey="#777777"),
    Stroke.CHALK: Pen(width=0.9, dashes=(0.1, 1.5)),
    Stroke.REGISTER: Pen(width=0.15),
    Stroke.TRIM: Pen(width=0.15, dashes=(1.0, 2.0)),
    Stroke.FAINT: Pen(width=0.13, grey="#555555"),
}
"""Width, dashes and grey of every named stroke. House look: heavy for wood, light for measures; no colour."""

TINTS: dict[Fill, str] = {
    Fill.NONE: "none",
    Fill.PAPER: "#ffffff",
    Fill.TINT: "#f1efea",
    Fill.SHADE: "#d9d5cc",
    Fill.SOLID: "#000000",
}
"""The paint of every named fill; tints are light enough that black reads on them, and nothing depends on them."""

HEAVY: frozenset[Stroke] = frozenset(
    {Stroke.OUTLINE, Stroke.VISIBLE, Stroke.CUT, Stroke.PATTERN, Stroke.TEMPLATE, Stroke.BLANK}
)
"""Strokes that draw wood (a part's outline): no text may lie across them."""
