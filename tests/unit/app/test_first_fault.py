"""The cause is told, not what follows: a size beyond its limit, a part that is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.app.plan import check_file
from batchwright.base.fault import Fault
from piece_files import EXAMPLES

CHAIR = EXAMPLES / "terrace-armchair"


def chair(folder: Path, *changes: tuple[str, str]) -> tuple[Fault, ...]:
    """The faults of the armchair's job, which sets no size, with its piece changed."""
    for path in CHAIR.iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    job = folder / "terrace.job.yaml"
    job.write_text(job.read_text(encoding="utf-8").replace("sizes: {seat height: 16 3/4 in}", ""), encoding="utf-8")
    piece = folder / "terrace-armchair.piece.yaml"
    text = piece.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    piece.write_text(text, encoding="utf-8")
    return check_file(folder / "terrace.job.yaml").faults


@pytest.mark.parametrize("value", ["99", "1", "0", "-4"])
def test_a_size_beyond_its_limit_is_told_alone(tmp_path: Path, value: str) -> None:
    faults = chair(tmp_path, ("seat height:  {is: 16 1/2,", f"seat height:  {{is: {value},"))
    assert [fault.code for fault in faults] == ["outside-limits"]
    assert "`seat height`" in faults[0].what


def test_what_is_wrong_beside_it_is_told_too(tmp_path: Path) -> None:
    faults = chair(
        tmp_path,
        ("seat height:  {is: 16 1/2,", "seat height:  {is: 99,"),
        ("{tenon: crest rail, into: back leg", "{tenon: crest rial, into: back leg"),
    )
    assert sorted(fault.code for fault in faults) == ["outside-limits", "unknown-name"]


def test_spares_of_a_part_that_could_not_be_drawn_are_no_slip_of_the_job(tmp_path: Path) -> None:
    faults = chair(
        tmp_path,
        ("across: [back width/2 - leg thick, back width/2]", "across: [back widht/2 - leg thick, back width/2]"),
    )
    assert faults
    assert not [fault for fault in faults if fault.place.file.endswith(".job.yaml")], [str(fault) for fault in faults]
