"""Wedges and tusks: what is cut in the finished solids, against closed forms; what is refused; what it needs."""

from __future__ import annotations

import pytest

from batchwright.design.shop import packaged_shop
from batchwright.joinery.complete import complete_piece
from batchwright.model.draft import PartId
from batchwright.model.piece import FeatureKind, Part, Piece
from batchwright.planning.cutting.hardware import hardware_of
from drawing import drawn
from piece_soundness import untold

FRAME = """parts:
  post: {box: {x: [0, 80], y: [0, 80], z: [0, 800]}}
  rail: {box: {x: [40, 800], y: [20, 60], z: [300, 400]}, grain: x}
joints:
  - {tenon: rail, into: post, WORDS}
"""


def frame(words: str, text: str = FRAME) -> Piece:
    piece = complete_piece(drawn(text.replace("WORDS", words)), packaged_shop())
    assert not piece.faults, [str(fault) for fault in piece.faults]
    assert not [str(each) for each in untold(piece)]
    return piece


def codes(words: str, text: str = FRAME) -> set[str]:
    return {fault.code for fault in complete_piece(drawn(text.replace("WORDS", words)), packaged_shop()).faults}


def part(piece: Piece, name: str) -> Part:
    return piece.part(PartId(name))


def test_a_wedged_joint_takes_the_wood_of_its_kerfs_and_its_flare() -> None:
    plain, wedged = frame("thickness: 12, end: through"), frame("thickness: 12, end: wedged, wedges: 2")
    joint = wedged.joints[0]
    tenon = joint.tenons[0]
    kerfs = 2 * 1.5 * joint.size("kerf depth") * tenon.thickness
    assert part(plain, "rail").volume - part(wedged, "rail").volume == pytest.approx(kerfs, rel=1e-6)
    mortise = joint.mortises[0]
    flare = 2 * 0.5 * mortise.flare * (80 - mortise.flare_from) * mortise.width
    assert part(plain, "post").volume - part(wedged, "post").volume == pytest.approx(flare, rel=1e-6)


def test_wedges_fill_the_kerfs_and_what_the_flare_opens() -> None:
    joint = frame("thickness: 12, end: wedged, wedges: 3").joints[0]
    opened = 3 * joint.size("wedge thickness") - 3 * joint.size("wedge kerf")
    assert opened == pytest.approx(2 * joint.size("flare"))
    assert joint.size("kerf depth") == pytest.approx(80 * 2 / 3)


def test_kerfs_run_across_the_grain_of_the_mortised_part() -> None:
    """A wedge that spreads a tenon across the grain of its mortise splits the part (common practice)."""
    upright = frame("thickness: 12, end: wedged, wedges: 2").joints[0]
    assert not upright.tenons[0].wedged_across
    lying = FRAME.replace("z: [300, 400]", "z: [300, 340]").replace("y: [20, 60]", "y: [0, 80]")
    across = frame("thickness: 20, end: wedged, wedges: 1", lying).joints[0]
    assert across.tenons[0].wedged_across
    (kerf,) = (each for each in part_features(lying) if each.kind is FeatureKind.KERF)
    assert kerf.length == pytest.approx(across.tenons[0].width) and kerf.width == pytest.approx(1.5)


def part_features(text: str) -> tuple[object, ...]:
    piece = frame("thickness: 20, end: wedged, wedges: 1", text)
    return part(piece, "rail").features


def test_a_tusk_takes_its_tapered_hole_out_of_the_tenon() -> None:
    plain = frame("thickness: 30, end: through, proud: 80")
    tusked = frame("thickness: 30, end: through, proud: 80, tusk: {thickness: 12}")
    joint = tusked.joints[0]
    assert joint.tusk is not None and joint.tusk.frame.z == pytest.approx((0, 0, -1))
    hole = joint.tusk.width * 12 * joint.tenons[0].width
    assert part(plain, "rail").volume - part(tusked, "rail").volume == pytest.approx(hole, rel=1e-6)
    assert joint.tusk.frame.origin[0] == pytest.approx(0 + 25.4 / 16)
    (feature,) = (each for each in part(tusked, "rail").features if each.kind is FeatureKind.TUSK_HOLE)
    wide = joint.tusk.width + joint.tenons[0].width / 2 / 10
    assert (feature.length, feature.width) == pytest.approx((wide, 12))


def test_a_thick_tusk_goes_through_the_tenons_thickness_instead() -> None:
    joint = frame("thickness: 20, end: through, proud: 80, tusk: {thickness: 16}").joints[0]
    assert joint.tusk is not None and abs(joint.tusk.frame.z[1]) == pytest.approx(1)


@pytest.mark.parametrize(
    ("words", "code"),
    [("wedges: 2", "wedges-not-through"), ("thickness: 12, end: wedged, wedges: 40", "too-many-wedges"),
     ("tusk: {thickness: 12}", "tusk-without-proud"), ("end: through, tusk: {thickness: 12}", "tusk-without-proud"),
     ("thickness: 12, end: through, proud: 80, tusk: {thickness: 90}", "tusk-too-thick")],
)  # fmt: skip
def test_what_cannot_be_driven_is_told(words: str, code: str) -> None:
    assert code in codes(words)


def test_a_tusk_near_the_end_is_told_with_what_mends_it() -> None:
    piece = complete_piece(
        drawn(FRAME.replace("WORDS", "thickness: 30, end: through, proud: 20, tusk: {thickness: 12}")), packaged_shop()
    )
    (finding,) = (each for each in piece.findings if each.code == "tusk-near-end")
    assert "`proud`" in finding.mend and finding.utilisation is not None and finding.utilisation > 1


def test_wedges_tusks_dowels_and_loose_tenons_are_laid_out_for_the_run() -> None:
    def sizes(words: str, text: str = FRAME) -> list[tuple[str, int, tuple[float, ...]]]:
        return [(one.what, one.count, one.sizes) for one in hardware_of(frame(words, text), copies=3)]

    joint = frame("thickness: 12, end: wedged, wedges: 2").joints[0]
    wedge = (joint.size("wedge thickness"), joint.tenons[0].thickness, joint.size("wedge length"))
    ((what, count, found),) = sizes("thickness: 12, end: wedged, wedges: 2")
    assert (what, count) == ("wedge", 6) and found == pytest.approx(wedge, abs=0.01)
    assert sizes("thickness: 30, end: through, proud: 80, tusk: {thickness: 12}")[0][:2] == ("tusk", 3)
    loose = FRAME.replace("{tenon:", "{loose tenon:")
    ((what, count, found),) = sizes("thickness: 12, length: 30", loose)
    assert (what, count, found[2]) == ("loose tenon", 3, 60)
    dowels = FRAME.replace("{tenon:", "{dowel:")
    assert sizes("diameter: 10, count: 2, length: 30", dowels) == [("dowel", 6, (60,))]


def test_dowels_and_loose_tenons_are_mortised_in_both_parts() -> None:
    """Two round holes of 10 by 31.6 deep in each; and the volume of a round-ended or square mortise in each."""
    blank = {"post": 80 * 80 * 800.0, "rail": 720 * 40 * 100.0}
    piece = frame("diameter: 10, count: 2, length: 30", FRAME.replace("{tenon:", "{dowel:"))
    deep = piece.joints[0].mortises[0].depth
    for name, whole in blank.items():
        assert whole - part(piece, name).volume == pytest.approx(2 * 3.14159265 * 25 * deep, rel=0.03)
    piece = frame("thickness: 12, length: 30", FRAME.replace("{tenon:", "{loose tenon:"))
    mortise = piece.joints[0].mortises[0]
    square = mortise.length * mortise.width * mortise.depth
    ends = (1 - 3.14159265 / 4) * mortise.width**2 * mortise.depth if mortise.round_ends else 0.0
    for name, whole in blank.items():
        assert whole - part(piece, name).volume == pytest.approx(square - ends, rel=0.01)
