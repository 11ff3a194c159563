"""The words that a value may be, by the table and the word it stands under; and where names of things may stand."""

from __future__ import annotations

from batchwright.design.drawing.asks import CHOICES, SIDES
from batchwright.design.drawing.copies import COUNTS
from batchwright.design.drawing.counts import BLANKS, LOOKS, SAWN
from batchwright.design.drawing.cuts import EDGES, KEEPS
from batchwright.design.drawing.joints import ENDS
from batchwright.design.drawing.repeats import SPACINGS
from batchwright.design.drawing.sticks import LEVEL, SQUARE, UPRIGHT
from batchwright.design.drawing.tapers import FACES
from batchwright.design.drawing.views import PLAIN
from batchwright.design.job import PAPERS
from batchwright.handbook.adhesives import adhesives
from batchwright.handbook.climate import all_places
from batchwright.handbook.finishes import finishes
from batchwright.handbook.species import all_species

VALUES: dict[tuple[str, str], tuple[str, ...]] = {
    ("piece", "units"): ("in", "mm"),
    ("piece", "hands"): ("as seated", "from the front"),
    ("piece", "use"): ("indoors", "outdoors", "seat 1", "table", "standing load 1"),
    ("piece", "face marks"): ("outside", "inside"),
    ("place", "view"): tuple(PLAIN),
    ("place", "from"): ("level", "upright"),
    ("part", "ends"): (SQUARE, LEVEL, UPRIGHT),
    ("part", "drawn in"): tuple(PLAIN),
    ("part", "grain"): ("x", "y", "z", "across"),
    ("part", "count"): COUNTS,
    ("part", "blank"): BLANKS,
    ("part", "sawn"): SAWN,
    **{("part", word): LOOKS for word in ("face side", "face edge", "reference end")},
    ("taper", "on"): FACES,
    ("also sawn", "on"): ("edge", "end"),
    ("cut", "keep"): tuple(KEEPS),
    ("edge", "on"): EDGES,
    ("outline item", "smooth"): ("start", "end", "both"),
    ("repeat", "along"): ("x", "y", "z"),
    ("repeat", "spacing"): SPACINGS,
    ("screw", "slotted"): ("yes", "no"),
    ("meeting", "by"): ("mitre",),
    ("job", "use"): ("indoors", "outdoors"),
    ("job", "print in"): ("in", "mm"),
    ("job", "paper"): PAPERS,
    ("shop", "units"): ("in", "mm"),
}
"""Words that a value may be; those of joints are in `CHOICES` of the reader, whatever the joint."""

PARTS_UNDER = frozenset({
    "tenon", "loose tenon", "dowel", "housing", "groove", "halving", "rest", "screw", "button", "glue", "meeting in",
    "into", "with", "on", "to", "of", "at", "on top",
})  # fmt: skip
"""Words of a joint that name parts or their copies."""

PLACES_UNDER = {
    ("place", "beside"), ("place", "crossing"), ("outline item", "follow"), ("repeat", "on"), ("cut", "line"),
    ("strip", "along"), ("part", "drawn in"),
}  # fmt: skip
"""Words whose value is the name of a line or curve."""

NO_EXPRESSION = frozenset({
    "piece", "units", "hands", "wood", "use", "face marks", "note", "view", "keep", "sawn", "blank", "face side",
    "face edge", "reference end", "spacing", "smooth", "job", "where", "glue", "finish", "boards", "defects", "shop",
    "due", "print in", "paper", "file", "layer", "size", "slotted",
})  # fmt: skip
"""Words whose value is never a length, an angle or a number."""


def choices_of(context: str, word: str, joint: bool) -> tuple[str, ...]:
    """The words that may stand as the value of a word, as far as they are a few."""
    if joint and word in CHOICES:
        return CHOICES[word]
    if joint and word == "at":
        return tuple(f"{end} end" for end in ENDS)
    return VALUES.get((context, word), ())


def from_handbook(context: str, word: str) -> tuple[str, ...]:
    """Names of the handbook that may stand as the value of a word."""
    match (context, word):
        case (_, "wood"):
            return tuple(each.name.lower() for each in all_species())
        case ("job", "where"):
            return tuple(each.name for each in all_places())
        case ("job", "glue"):
            return tuple(each.name for each in adhesives())
        case ("job", "finish"):
            return tuple(each.name for each in finishes())
        case _:
            return ()


__all__ = ["NO_EXPRESSION", "PARTS_UNDER", "PLACES_UNDER", "SIDES", "VALUES", "choices_of", "from_handbook"]
