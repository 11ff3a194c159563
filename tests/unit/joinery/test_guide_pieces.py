"""The pieces of the guide, jointed: no fault, and sound looked at from outside."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from batchwright.model.draft import JointKind
from piece_files import jointed
from piece_soundness import untold

GUIDE = Path(__file__).parents[3] / "docs" / "guide" / "your-own-piece.md"
PIECES = re.findall(r"```yaml piece\n(.*?)```", GUIDE.read_text(encoding="utf-8"), re.DOTALL)


@pytest.mark.parametrize("text", PIECES, ids=lambda text: text.split("\n")[0])
def test_a_piece_of_the_guide_is_sound(text: str) -> None:
    made = jointed(text.encode(), "guide.piece.yaml")
    assert made.piece is not None and not made.faults
    assert not [str(each) for each in untold(made.piece)]


def test_the_guide_shows_most_sorts_of_joints() -> None:
    shown = {kind for kind in JointKind if any(f"{{{kind.value}:" in text for text in PIECES)}
    assert {JointKind.TENON, JointKind.SCREW, JointKind.GLUE, JointKind.NOTCH} <= shown
