"""Small things to buy or make for the run: screws, buttons, slips, dowels, loose tenons, pegs, wedges, tusks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from batchwright.model.draft import JointKind
from batchwright.model.piece import Fixing, Joint, Piece
from batchwright.model.work import Hardware

FIXED = {JointKind.SCREW: "screw", JointKind.BUTTON: "button", JointKind.GLUE: "slip"}

ALIKE = 0.4
"""Sizes that differ by less are one size on paper [mm]; about 1/64 in."""
_Thing = tuple[str, float, tuple[float, ...]]
"""What it is, its diameter or 0, its other sizes [mm]."""


def hardware_of(piece: Piece, copies: int) -> tuple[Hardware, ...]:
    """Everything that the joints and fixings of a run need beside its parts, alike things counted together."""
    counts: Counter[_Thing] = Counter()
    for fixing in piece.fixings:
        if fixing.points and fixing.kind in FIXED:
            counts[_fixed(fixing)] += len(fixing.points)
    for joint in piece.joints:
        for thing, number in _joined(joint):
            counts[thing] += number
    return tuple(
        Hardware(what=what, diameter=diameter, sizes=sizes, count=count * copies)
        for (what, diameter, sizes), count in _merged(counts)
    )


def _merged(counts: Counter[_Thing]) -> list[tuple[_Thing, int]]:
    """Things told once where none of their sizes differs by what shows on paper."""
    kept: list[tuple[_Thing, int]] = []
    for thing, count in sorted(counts.items()):
        place = next((at for at, (other, _) in enumerate(kept) if _alike(thing, other)), None)
        if place is None:
            kept.append((thing, count))
        else:
            other, before = kept[place]
            kept[place] = (other, before + count)
    return kept


def _alike(one: _Thing, other: _Thing) -> bool:
    if one[0] != other[0] or len(one[2]) != len(other[2]):
        return False
    return all(abs(a - b) < ALIKE for a, b in zip((one[1], *one[2]), (other[1], *other[2]), strict=True))


def _fixed(fixing: Fixing) -> _Thing:
    what = FIXED[fixing.kind]
    sizes = dict(fixing.sizes)
    wanted = ("slip thickness", "slip length", "slip width")
    told = tuple(round(sizes[name].value, 2) for name in wanted if name in sizes)
    return (f"{what}, {fixing.size}" if fixing.size else what, 0.0, told if fixing.kind is JointKind.GLUE else ())


def _joined(joint: Joint) -> Iterator[tuple[_Thing, int]]:
    for peg in joint.pegs:
        yield ("peg", round(peg.diameter, 2), ()), 1
    if joint.kind is JointKind.DOWEL:
        yield ("dowel", round(joint.tenons[0].thickness, 2), (_long(joint),)), len(joint.tenons)
    elif joint.kind is JointKind.LOOSE_TENON:
        for tenon in joint.tenons:
            yield ("loose tenon", 0.0, (round(tenon.thickness, 2), round(tenon.width, 2), _long(joint))), 1
    for tenon in joint.tenons:
        if tenon.wedges:
            wide = tenon.width if tenon.wedged_across else tenon.thickness
            sizes = (joint.size("wedge thickness"), wide, joint.size("wedge length"))
            yield ("wedge", 0.0, tuple(round(size, 2) for size in sizes)), tenon.wedges
    if joint.tusk is not None:
        sizes = (joint.tusk.thickness, joint.tusk.width, joint.size("tusk length"))
        yield ("tusk", 0.0, tuple(round(size, 2) for size in sizes)), 1


def _long(joint: Joint) -> float:
    """A dowel or a loose tenon is as long in the one part as in the other."""
    return round(2.0 * joint.tenons[0].length, 2)
