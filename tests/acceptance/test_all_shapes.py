"""Pieces of every proportion, on every paper: the packet is made, and each drawing finds its room."""

from __future__ import annotations

from pathlib import Path

import pytest

from typed import typed

PIECE = """\
piece: {name}
units: in
wood: white oak
use: [indoors]
hands: from the front
sizes:
{sizes}
parts:
  post: {{count: pair, box: {{x: [{x} - 2, {x}], y: [0, {y}], z: [0, {z}]}}}}
  rail: {{grain: x, box: {{x: [left post, right post], y: [{y}/4, {y}*3/4], z: [{z}/4, {z}*3/4]}}}}
joints:
  - {{tenon: rail, into: post}}
"""
SHAPES = {
    "long and low": (80, 3, 8),
    "tall and narrow": (5, 3, 96),
    "deep": (5, 60, 12),
    "tiny": (3, 1.5, 3),
    "as long as may be": (89, 3, 10),
}
PAPERS = ("letter", "A4", "tabloid", "A3", "roll 24 in")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("shape", SHAPES)
def test_bug_a_piece_of_any_shape_finds_room_on_any_paper(shape: str, paper: str, tmp_path: Path) -> None:
    x, y, z = SHAPES[shape]
    many = "\n".join(f"  size {word}: 3" for word in "abcdefghijkl"[: 12 if paper == "A4" else 2])
    (tmp_path / "a.piece.yaml").write_text(PIECE.format(name=shape, sizes=many, x=x, y=y, z=z), encoding="utf-8")
    (tmp_path / "a.job.yaml").write_text(f"job: Shape\npiece: a.piece.yaml\npaper: {paper}\n", encoding="utf-8")
    said = typed("plan", tmp_path / "a.job.yaml", "--out", tmp_path / "out")
    assert said.code in (0, 1), said.err
    assert (tmp_path / "out" / "packet.pdf").stat().st_size > 10_000
