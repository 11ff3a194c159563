"""A tenon into the end of another part: there is no section beside it to leave fibres in."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.app.plan import check_file

PIECE = """piece: Spliced post
units: in
wood: white oak
use: [indoors]
hands: as seated
parts:
  lower: {box: {x: [-1 1/2, 1 1/2], y: [0, 3], z: [0, 30]}}
  upper: {box: {x: [-1 1/2, 1 1/2], y: [0, 3], z: [28, 60]}}
joints:
  - {tenon: upper, into: lower, thickness: 1}
"""


@pytest.mark.parametrize("lean", ["", "1e-9"])
def test_bug_a_tenon_along_the_grain_of_what_it_goes_into_crashed(tmp_path: Path, lean: str) -> None:
    file = tmp_path / "post.piece.yaml"
    file.write_text(
        PIECE if not lean else PIECE.replace("box: {x: [-1 1/2, 1 1/2], y: [0, 3], z: [28, 60]}", STICK), "utf-8"
    )
    outcome = check_file(file)
    assert outcome.thing is not None
    assert not any(finding.code == "mortise-takes-the-section" for finding in outcome.thing.findings)


STICK = "stick: [[0, 1 1/2, 60], [0, 1 1/2 + 0.00001, 28]], section: {x: 3, y: 3}"
