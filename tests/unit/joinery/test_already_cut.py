"""Parts that are cut stay as they are; what no longer fits them is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.app.cut import mark_cut
from batchwright.app.plan import Checked, check_file
from batchwright.base.finding import Finding, Grade
from batchwright.design.cut import read_cut, write_cut
from batchwright.design.editing.apply import apply_changes
from typed import typed

PIECE = """piece: Small bench
units: in
wood: white oak
use: [indoors]
hands: as seated
middle: 8
sizes:
  rail top:   {is: 15, from: 12, to: 15 1/2}
  rail thick: 1
parts:
  leg: {count: four, box: {x: [12, 14], y: [1, 3], z: [0, 16]}}
  rail:
    count: front and back
    box: {x: [right leg, left leg], y: [1 1/2, 1 1/2 + rail thick], z: [rail top - 3, rail top]}
joints:
  - {tenon: rail, into: leg, thickness: 3/8}
"""
JOINT = """cut:
  front rail:
    length: 9
    width: 9
    thickness: 9
    joints: [{{joint: a, on: {on}, thickness: 1, width: 1, length: 1, at: {at}}}]
"""
JOB = "job: Benches\npiece: small.piece.yaml\ncopies: 3\n"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    (tmp_path / "small.piece.yaml").write_text(PIECE, "utf-8")
    (tmp_path / "small.job.yaml").write_text(JOB, "utf-8")
    return tmp_path / "small.job.yaml"


def mark(job: Path, *names: str, undo: bool = False) -> None:
    outcome = mark_cut(job, names, undo)
    assert outcome.thing is not None, [str(fault) for fault in outcome.faults]
    for name, content in outcome.thing.files:
        (job.parent / name).write_bytes(content)


def change(job: Path, old: str, new: str, name: str = "small.piece.yaml") -> None:
    text = (job.parent / name).read_text("utf-8")
    assert old in text
    (job.parent / name).write_text(text.replace(old, new), "utf-8")


def checked(job: Path) -> Checked:
    outcome = check_file(job)
    assert outcome.thing is not None and not outcome.faults, [str(fault) for fault in outcome.faults]
    return outcome.thing


def told(job: Path) -> list[Finding]:
    return [finding for finding in checked(job).findings if finding.code.startswith("cut-part")]


def test_nothing_is_told_while_nothing_changes(job: Path) -> None:
    before = checked(job).piece
    mark(job, "leg", "front rail")
    after = checked(job)
    assert len(after.loaded.cut) == 5
    assert told(job) == []
    for old, new in zip(before.joints, after.piece.joints, strict=True):
        assert [new.size(word) for word in ("thickness", "width", "length")] == pytest.approx(
            [old.size(word) for word in ("thickness", "width", "length")], abs=1e-3
        )


def test_a_record_reads_back_as_it_was_written(job: Path) -> None:
    mark(job, "leg")
    text = (job.parent / "small.cut.yaml").read_text("utf-8")
    parts, faults = read_cut(text, "small.cut.yaml")
    assert not faults
    assert write_cut(parts) == text
    leg = next(part for part in parts if part.part == "left front leg")
    assert (leg.length, leg.width, leg.thickness) == pytest.approx((406.4, 50.8, 50.8))
    assert {joint.on for joint in leg.joints} == {"mortise"}


def test_a_mortise_that_would_move_is_told_with_both_places(job: Path) -> None:
    """The rail goes down by 1/2 in: its mortises lay 13 1/2 in up, and would lie 13 in up."""
    mark(job, "left front leg")
    change(job, "is: 15,", "is: 14 1/2,")
    (finding,) = told(job)
    assert finding.grade is Grade.FAILS
    assert "13 1/2 in from the reference end, now 13 in" in finding.what
    assert "left front leg" in finding.about


def test_the_mend_puts_the_size_back(job: Path) -> None:
    mark(job, "left front leg")
    change(job, "is: 15,", "is: 14 1/2,")
    (finding,) = told(job)
    (mend,) = finding.mends
    texts = {"small.piece.yaml": (job.parent / "small.piece.yaml").read_text("utf-8")}
    mended, faults = apply_changes(texts, "small.piece.yaml", mend.changes)
    assert mended is not None and not faults
    assert mended["small.piece.yaml"] == PIECE


def test_a_cut_mortise_keeps_its_size_and_the_tenon_follows(job: Path) -> None:
    """The statement then asks a thicker tenon; the legs are cut for 3/8 in, so the rails' tenons stay so."""
    mark(job, "leg")
    change(job, "thickness: 3/8", "thickness: 1/2")
    assert {round(joint.size("thickness"), 3) for joint in checked(job).piece.joints} == {9.525}
    assert told(job) == []


def test_a_cut_part_keeps_its_thickness(job: Path) -> None:
    mark(job, "front rail")
    change(job, "rail thick: 1", "rail thick: 7/8")
    thick = {str(part.id): part.thickness / 25.4 for part in checked(job).piece.parts}
    assert thick["front rail"] == pytest.approx(1.0, abs=1e-4)
    assert thick["back rail"] == pytest.approx(7 / 8)


def test_a_joint_that_came_later_is_told_as_lacking(job: Path) -> None:
    mark(job, "left front leg")
    more = "  low: {count: pair, box: {x: [12 1/2, 13 1/2], y: [front leg, back leg], z: [4, 6]}}\njoints:\n"
    change(job, "joints:\n", more + "  - {tenon: low, into: leg, thickness: 3/8}\n")
    (finding,) = told(job)
    assert (finding.code, finding.grade) == ("cut-part-lacks-joint", Grade.NEAR)


def test_a_part_and_a_joint_that_are_gone_are_told(job: Path) -> None:
    mark(job, "left front leg", "front rail")
    change(job, "  leg: {count: four", "  post: {count: four")
    change(job, "[right leg, left leg]", "[right post, left post]")
    change(job, "into: leg", "into: post")
    codes = [finding.code for finding in told(job)]
    assert "cut-part-gone" in codes and "cut-part-differs" in codes


def test_a_part_taken_back_is_free_again(job: Path) -> None:
    mark(job, "leg", "front rail")
    mark(job, "leg", undo=True)
    change(job, "is: 15,", "is: 14 1/2,")
    assert [part.part for part in checked(job).loaded.cut] == ["front rail"]
    assert told(job) == []


def test_the_command_writes_the_record_and_names_it_in_the_job(job: Path) -> None:
    done = typed("cut", str(job), "rail", "--json").json
    assert done["ok"] and done["result"]["changed"] == ["back rail", "front rail"]
    assert (job.parent / "small.job.yaml").read_text("utf-8") == JOB + "already cut: small.cut.yaml\n"
    assert typed("cut", str(job)).out.endswith("cut in all: back rail, front rail\n")
    assert typed("cut", str(job), "rale").code == 2
    assert typed("cut", str(job.parent / "small.piece.yaml"), "rail").code == 2


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("cut: {front rail: 3}\n", "table-wanted"),
        ("cuts: {}\n", "unknown-word"),
        ("cut: {front rail: {length: 600, width: 75}}\n", "word-missing"),
        ("cut: {front rail: {length: 600, width: 75, thickness: -4}}\n", "not-positive"),
        (JOINT.format(on="dowel", at="[0, 0, 0]"), "unknown-choice"),
        (JOINT.format(on="tenon", at="[0, 0]"), "point-wanted"),
    ],
)
def test_a_record_at_fault_is_told_where(job: Path, text: str, code: str) -> None:
    mark(job, "front rail")
    (job.parent / "small.cut.yaml").write_text(text, "utf-8")
    faults = check_file(job).faults
    assert code in [fault.code for fault in faults], [str(fault) for fault in faults]
    assert all(fault.place.file == "small.cut.yaml" for fault in faults if fault.code == code)
