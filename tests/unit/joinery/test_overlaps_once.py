"""Parts drawn into one another: copies of the same two are told once, with the joint of all of them as the mend."""

from __future__ import annotations

from piece_files import jointed

RAILS = """piece: frame
units: in
wood: white oak
use: [indoors]
hands: from the front
middle: 6
parts:
  leg:
    count: four
    box: {x: [6, 7 1/2], y: [0, 1 1/2], z: [0, 16]}
  side rail:
    count: pair
    box: {x: [6 3/8, 7 1/8], y: [leg, back leg], z: [13, 15 1/2]}
  end rail:
    count: front and back
    box: {x: [left leg, right leg], y: [3/8, 1 1/8], z: [13, 15 1/2]}
"""


def test_copies_that_overlap_alike_are_told_once_with_the_joint_of_them_all() -> None:
    faults = [fault for fault in jointed(RAILS.encode(), "f.piece.yaml").faults if fault.code == "parts-overlap"]
    assert sorted(mend.say for fault in faults for mend in fault.mends) == [
        "`tenon: end rail, into: leg`",
        "`tenon: side rail, into: leg`",
    ]
    assert all("and 3 more like it" in fault.what for fault in faults), "rails that cross in a leg are not told"
    legs = {f"{side} {end} leg" for side in ("left", "right") for end in ("front", "back")}
    assert all(legs <= set(fault.about) and len(fault.about) > len(legs) for fault in faults), "every copy is named"


def test_the_mends_make_it_whole() -> None:
    joined = RAILS + "joints:\n  - {tenon: end rail, into: leg}\n  - {tenon: side rail, into: leg}\n"
    assert not [fault for fault in jointed(joined.encode(), "f.piece.yaml").faults if fault.code == "parts-overlap"]


def test_rails_that_cross_outside_a_leg_are_told() -> None:
    crossing = RAILS.replace("y: [leg, back leg]", "y: [-3, back leg]").replace("[left leg, right leg]", "[-9, 9]")
    lower = crossing.replace(
        "  end rail:", "  cross rail:\n    box: {x: [6, 7 1/2], y: [5, 6], z: [14, 15]}\n  end rail:"
    )
    told = [fault.what for fault in jointed(lower.encode(), "f.piece.yaml").faults if fault.code == "parts-overlap"]
    assert any("cross rail" in what and "side rail" in what for what in told)
