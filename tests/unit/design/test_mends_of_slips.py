"""Slips found by asking the server thousands of questions: each is told as a fault of the text."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from batchwright.app.load import load

EXAMPLE = Path(__file__).parents[3] / "examples" / "splayed-stool"


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("    thickness: 7/8\n", "    38thickness: 7/8\n", "thickness-not-said"),
        ("    thickness: 7/8\n", "", "thickness-not-said"),
    ],
)
def test_a_slip_is_told(tmp_path: Path, before: str, after: str, code: str) -> None:
    home = tmp_path / "stool"
    shutil.copytree(EXAMPLE, home)
    piece = home / "splayed-stool.piece.yaml"
    text = piece.read_text(encoding="utf-8")
    assert before in text
    piece.write_text(text.replace(before, after, 1), encoding="utf-8")
    outcome = load(home / "stool.job.yaml")
    assert code in [fault.code for fault in outcome.faults]
