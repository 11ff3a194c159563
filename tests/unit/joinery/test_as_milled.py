"""Parts as they came out of the planer: closed forms for what follows from them."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.app.plan import Checked, check_file
from batchwright.app.result import Outcome

PIECE = """
piece: Small bench
units: in
wood: white oak
use: [indoors]
hands: as seated
middle: 8
sizes:
  rail thick: {is: 1, from: 3/4, to: 1 1/4}
parts:
  leg: {count: four, box: {x: [12, 14], y: [1, 3], z: [0, 16]}}
  rail: {count: front and back, box: {x: [right leg, left leg], y: [2 - rail thick/2, 2 + rail thick/2], z: [12, 15]}}
  side rail: {count: pair, box: {x: [12 1/2, 13 1/2], y: [front leg, back leg], z: [12, 15]}}
  slat:
    box: {x: [-15, 15], y: [0, 3], z: [16, 16 3/4]}
    repeat: {count: 2, along: y, between: [0, 16], spacing: touching ends}
  batten: {count: pair, stick: [[6, 2, 6], [6, 14, 6]], section: {round: 1 1/8}}
joints:
  - {tenon: rail, into: leg, thickness: 3/8}
  - {tenon: side rail, into: leg, thickness: 3/8}
  - {screw: slat, to: leg, size: no 8 x 2}
"""
JOB = "job: Benches\npiece: small.piece.yaml\ncopies: 3\nas milled:\n"
INCH = 25.4


def checked(folder: Path, said: str, piece: str = PIECE) -> Outcome[Checked]:
    (folder / "small.piece.yaml").write_text(piece, "utf-8")
    (folder / "small.job.yaml").write_text(JOB + said if said else JOB.replace("as milled:\n", ""), "utf-8")
    return check_file(folder / "small.job.yaml")


def parts(folder: Path, said: str) -> dict[str, tuple[float, float, float | None]]:
    """Width, thickness and shoulder-to-shoulder length of every part, in inches."""
    found = checked(folder, said)
    assert found.thing is not None and not found.faults, [str(fault) for fault in found.faults]
    return {
        str(part.id): (
            part.width / INCH,
            part.thickness / INCH,
            None if part.shoulder_length is None else part.shoulder_length / INCH,
        )
        for part in found.thing.piece.parts
    }


def test_a_thinner_leg_makes_its_rails_longer_between_shoulders(tmp_path: Path) -> None:
    """The face side, outside, stays; each inner face moves out by what the planer took too much."""
    before, after = parts(tmp_path, ""), parts(tmp_path, "  leg: 1 15/16\n")
    assert before["front rail"][2] == pytest.approx(24.0)
    assert after["front rail"][2] == pytest.approx(24.0 + 2 * 1 / 16)
    assert after["left front leg"][1] == pytest.approx(1 + 15 / 16)
    assert after["left front leg"][0] == pytest.approx(2.0)


def test_a_thickness_stands_for_all_parts_drawn_so(tmp_path: Path) -> None:
    after = parts(tmp_path, "  1 in: 31/32 in\n")
    assert {name for name, sizes in after.items() if sizes[1] == pytest.approx(31 / 32)} == {
        "front rail", "back rail", "left side rail", "right side rail",
    }  # fmt: skip


def test_a_part_named_wins_over_its_family_and_one_copy_over_none(tmp_path: Path) -> None:
    after = parts(tmp_path, "  1 in: 31/32 in\n  front rail: 15/16\n")
    assert after["front rail"][1] == pytest.approx(15 / 16)
    assert after["back rail"][1] == pytest.approx(31 / 32)


def test_a_size_of_the_piece_still_sets_that_size(tmp_path: Path) -> None:
    after = parts(tmp_path, "  rail thick: 7/8\n")
    assert after["front rail"][1] == pytest.approx(7 / 8)
    assert after["left side rail"][1] == pytest.approx(1.0)


def test_a_slat_stays_on_what_it_is_screwed_to(tmp_path: Path) -> None:
    """Its underside lies on the legs: the planer's loss shows at the top, or the screws would hold nothing."""
    found = checked(tmp_path, "  slat: 11/16\n").thing
    assert found is not None
    slat = next(part for part in found.piece.parts if part.id == "slat 1")
    heights = sorted(slat.bench.to_world((0.0, 0.0, z))[2] for z in (0.0, slat.thickness))
    assert heights == pytest.approx([16 * INCH, (16 + 11 / 16) * INCH])
    assert all(fixing.contact > 0 for fixing in found.piece.fixings)


def test_width_and_a_round_section_are_set_too(tmp_path: Path) -> None:
    after = parts(tmp_path, "  side rail: {width: 2 7/8}\n  batten: 1 1/16\n")
    assert after["left side rail"][0] == pytest.approx(2.875)
    assert after["left batten"][:2] == pytest.approx((1 + 1 / 16, 1 + 1 / 16))


def test_what_was_milled_is_told_in_a_note(tmp_path: Path) -> None:
    found = checked(tmp_path, "  leg: 1 15/16\n").thing
    assert found is not None
    (note,) = [finding for finding in found.findings if finding.code == "as-milled"]
    assert "1 15/16 in thick (drawn 2 in)" in note.what
    assert len(note.about) == 4


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("  lag: 1 15/16\n", "unknown-name"),
        ("  5/8 in: 9/16 in\n", "as-milled-no-family"),
        ("  leg: 32\n", "as-milled-far-off"),
        ("  leg: thin\n", "not-a-length"),
        ("  leg: {thicknes: 1 15/16}\n", "unknown-word"),
        ("  leg: -1\n", "not-positive"),
    ],
)
def test_what_cannot_be_is_a_fault_at_its_place(tmp_path: Path, said: str, code: str) -> None:
    faults = checked(tmp_path, said).faults
    assert [fault.code for fault in faults if fault.code == code], [str(fault) for fault in faults]
    assert all(fault.place.file == "small.job.yaml" and fault.place.line == 5 for fault in faults if fault.code == code)


def test_a_thickness_given_by_a_curve_is_refused(tmp_path: Path) -> None:
    bow = "  bow: {drawn in: plan, strip: {through: [[-9, 20], [0, 21], [9, 20]], wide: 1}, across: [2, 4]}\n"
    bent = PIECE.replace("joints:", f"{bow}joints:")
    faults = checked(tmp_path, "  bow: {thickness: 15/16, width: 15/16}\n", bent).faults
    assert {fault.code for fault in faults} & {"as-milled-not-drawn-so", "as-milled-far-off"}
