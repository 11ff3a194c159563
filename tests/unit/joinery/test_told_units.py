"""No millimetres and no six-digit points in an inch shop, no inches in a metric one: traces, findings, faults."""

from __future__ import annotations

import re

import pytest

from batchwright.base.told import told_in
from piece_files import example_files, jointed

STRAY = re.compile(r"\d mm\b|\d\.\d{3,}(?! in)|\bmm[23]\b|\bcm2\b")
"""Lengths in millimetres, areas and volumes of them, and numbers of more decimals than a bench reads."""
BOTH = {"no 8 x 1 7/8 in"}


@pytest.mark.parametrize("path", example_files(), ids=lambda path: path.parent.name)
def test_every_trace_finding_and_fault_is_in_the_units_of_the_piece(path) -> None:  # type: ignore[no-untyped-def]
    made = jointed(path.read_bytes(), path.name).piece
    assert made is not None
    told = [sized.trace.why for each in (*made.joints, *made.fixings) for _, sized in each.sizes]
    told += [text for each in made.findings for text in (each.what, each.why, each.mend)]
    assert len(told) > 100
    stray = STRAY if made.draft.units == "in" else re.compile(r"\d in\b|\d\.\d{3,}")
    assert sorted({text for text in told if stray.search(text) and not any(word in text for word in BOTH)}) == []


FOLDS = """piece: Fold
units: in
wood: white oak
use: [indoors]
hands: from the front
parts:
  strip: {drawn in: front, SHAPE, across: [0, 1]}
"""
REFUSED = [
    "strip: {through: [[0, 0], [2, 4], [4, 0]], width: 8}",
    "outline: [{at: [0, 0], round: 5}, [4, 0], [4, 4], [0, 4]]",
    "outline: [{at: [0, 0], chamfer: 5}, [4, 0], [4, 4], [0, 4]]",
]


@pytest.mark.parametrize("shape", REFUSED)
def test_what_the_geometry_refuses_is_said_in_the_units_of_the_file(shape: str) -> None:
    faults = jointed(FOLDS.replace("SHAPE", shape).encode(), "f.piece.yaml").faults
    assert faults
    assert not any(STRAY.search(fault.what) for fault in faults), [str(fault) for fault in faults]


def test_numbers_are_put_in_units_and_rounded() -> None:
    """33.297 mm are 1.3109 in; 25 mm are a shop's inch; 301.082 and 361.659 mm are 11.854 and 14.239 in."""
    assert told_in("in", "33.297 mm at (301.082, 361.659)") == "1 5/16 in at (11 27/32, 14 1/4)"
    assert told_in("in", "at least 25 mm, of 1500 mm3") == "at least 1 in, of 1500 mm3"
    assert told_in("mm", "33.297 mm at (301.082, 361.659)") == "33.5 mm at (301, 361.5)"
    assert told_in("mm", "kept 1/4 in inside, 2 in line") == "kept 6.5 mm inside, 2 in line"
