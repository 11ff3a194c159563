"""Faults and findings that no other test makes: each from a small piece that has just that wrong."""

from __future__ import annotations

import pytest

from batchwright.design.draft import draft_piece
from batchwright.design.shop import packaged_shop
from batchwright.design.text.read import read_tree
from batchwright.joinery.complete import complete_piece
from drawing import HEAD, drawn


def test_a_file_without_parts_draws_none() -> None:
    tree, _ = read_tree(HEAD + "parts: {}\n", "trial.piece.yaml")
    assert tree is not None
    piece, faults = draft_piece(tree, "trial.piece.yaml")
    assert piece is None and [fault.code for fault in faults] == ["no-parts"]


def test_a_part_cut_away_altogether_cannot_be_built() -> None:
    text = "parts:\n  a: {box: {x: [0, 60], y: [0, 60], z: [0, 400]}, cut: [{level: 900, keep: above}]}\n"
    (fault,) = complete_piece(drawn(text), packaged_shop()).faults
    assert fault.code == "shape-cannot-be-built" and "a cannot be built" in fault.what


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (
            "parts:\n  post: {box: {x: [0, 60], y: [0, 60], z: [0, 400]}}\n"
            "  slat: {box: {x: [-90, 150], y: [10, 50], z: [400, 420]}}\n"
            "joints:\n  - {screw: slat, to: post, size: 4 x 50 mm}\n",
            "screw-in-end-grain",
        ),
        (
            "parts:\n  post: {box: {x: [0, 90], y: [0, 90], z: [0, 400]}}\n"
            "  shelf: {box: {x: [50, 400], y: [5, 85], z: [200, 230]}, grain: x}\n"
            "joints:\n  - {tenon: shelf, into: post}\n",
            "mortise-across-grain",
        ),
        (
            "parts:\n  a: {box: {x: [0, 500], y: [0, 80], z: [0, 40]}}\n"
            "  b: {box: {x: [200, 280], y: [-200, 300], z: [0, 40]}, grain: y}\n"
            "joints:\n  - {halving: a, with: b, on top: a}\n",
            "face-side-cut-away",
        ),
    ],
)
def test_what_is_lawful_but_weak_is_told(text: str, code: str) -> None:
    piece = complete_piece(drawn(text), packaged_shop())
    assert not piece.faults
    (finding,) = (each for each in piece.findings if each.code == code)
    assert finding.what and finding.mend
