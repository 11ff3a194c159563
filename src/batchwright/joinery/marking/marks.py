"""The marks of a part: reference end, face side, face edge, and the directions of its bench frame that follow."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.mend import Mend, set_text
from batchwright.geometry.frame import Vec3, dot, plus, unit, vec3
from batchwright.joinery.meeting.standing import Standing, part_axis, section_axes, thick_across
from batchwright.joinery.words import Compass

UPRIGHT = math.sin(math.radians(45.0))
SQUARE = 0.5
"""A section this nearly square is marked as a square one [mm]."""
FACING = 0.5
SQUARE_EDGE = math.radians(0.1)
"""A flat edge this nearly square to the face side can go to a fence as the face edge."""
FLAT_SHARE = 0.7
"""A long face is flat if one plane takes this share of what looks its way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Directions of the bench axes in the part's drawing frame, and where the three marks are, in words."""

    x: Vec3
    y: Vec3
    z: Vec3
    words: tuple[tuple[str, str], ...]
    flat_face: bool
    """Whether the face side is a plane before joints."""
    faults: tuple[Fault, ...] = ()


def marks_of(standing: Standing, compass: Compass) -> Marks:
    """The marks of a drawn part by rule or as its maker says."""
    part, grain = standing.part, standing.grain
    middle, _ = part_axis(standing)
    out = (middle[0] - compass.middle[0], middle[1] - compass.middle[1], 0.0)
    faults: list[Fault] = []
    end = _towards(standing, "reference_end", (compass, (grain, _back(grain)), faults))
    x = _back(end) if end else _along(grain, compass)
    thick, wide = _thick_and_wide(standing)
    face = _towards(standing, "face_side", (compass, _both(thick) + _both(wide), faults))
    if face is None:
        face = _face_side(thick, out, compass)
    rest = wide if abs(dot(face, thick)) > 0.7 else thick
    edge = _towards(standing, "face_edge", (compass, _both(rest), faults))
    if edge is None:
        edge = _face_edge(standing, (rest, face), out, compass)
    local = part.frame.turn_back
    return Marks(
        x=_clean(local(x)),
        y=_clean(local(_back(edge))),
        z=_clean(local(_back(face))),
        words=(
            ("reference end", compass.word_of(_back(x))),
            ("face side", compass.word_of(face)),
            ("face edge", compass.word_of(edge)),
        ),
        flat_face=_flat_share(standing, face) >= FLAT_SHARE,
        faults=tuple(faults),
    )


def words_in_place(standing: Standing, marks: Marks, compass: Compass) -> tuple[tuple[str, str], ...]:
    """Where the marks of a copy are in the piece, in words."""
    turn = standing.part.frame.turn
    return (
        ("reference end", compass.word_of(_back(turn(marks.x)))),
        ("face side", compass.word_of(_back(turn(marks.z)))),
        ("face edge", compass.word_of(_back(turn(marks.y)))),
    )


_Choice = tuple[Compass, tuple[Vec3, ...], list[Fault]]


def _towards(standing: Standing, mark: str, choice: _Choice) -> Vec3 | None:
    """The direction the maker chose for a mark, of those it can look to; None where he said nothing."""
    compass, ways, faults = choice
    word = str(getattr(standing.part.marks, mark))
    if not word:
        return None
    towards = compass.towards(word)
    if towards is not None:
        best = max(ways, key=lambda way: dot(way, towards))
        if dot(best, towards) > FACING:
            return best
    words = sorted({compass.word_of(way) for way in ways})
    faults.append(
        Fault(
            code="mark-not-there",
            place=standing.part.place,
            what=f"the {mark.replace('_', ' ')} of {standing.part.id} cannot look to the {word}",
            why=f"it may look {', '.join(words)}",
            mend=f"say one of {', '.join(words)}, or leave it to the rule",
            mends=_other_words(standing, mark.replace("_", " "), words),
        )
    )
    return None


def _other_words(standing: Standing, mark: str, words: list[str]) -> tuple[Mend, ...]:
    way = ("parts", standing.part.name, mark)
    said = [Mend(say=f"`{mark}: {word}`", changes=(set_text(way, word),)) for word in words]
    return (*said, Mend(say=f"leave the {mark} to the rule", changes=(set_text(way, None),)))


def _along(grain: Vec3, compass: Compass) -> Vec3:
    """The grain looking away from the reference end: upright parts the bottom; level ones the front, else the left."""
    if abs(grain[2]) > UPRIGHT:
        return grain if grain[2] > 0.0 else _back(grain)
    if abs(grain[1]) > abs(grain[0]):
        return grain if grain[1] > 0.0 else _back(grain)
    return grain if dot(grain, compass.left) < 0.0 else _back(grain)


def _thick_and_wide(standing: Standing) -> tuple[Vec3, Vec3]:
    """The directions across the part's thickness and width; of a square section the thickness looks left and right."""
    first, second = section_axes(standing, standing.grain)
    one, two = thick_across(standing, first), thick_across(standing, second)
    if abs(one - two) <= max(SQUARE, 0.01 * one):
        return (first, second) if abs(first[0]) > abs(second[0]) else (second, first)
    return (first, second) if one < two else (second, first)


def _face_side(thick: Vec3, out: Vec3, compass: Compass) -> Vec3:
    """Of the two broad faces the upper one, or the one that looks away from the middle of the piece."""
    if abs(thick[2]) > UPRIGHT:
        return thick if thick[2] > 0.0 else _back(thick)
    return _outwards(thick, out, compass)


def _outwards(way: Vec3, out: Vec3, compass: Compass) -> Vec3:
    """A direction or its opposite: the one away from the middle, `inside` towards it; on the middle, left or front."""
    level = dot(way, out)
    if abs(level) < 1.0:
        tie = compass.left if abs(way[0]) > abs(way[1]) else (0.0, -1.0, 0.0)
        return way if dot(way, tie) > 0.0 else _back(way)
    looks = level < 0.0 if compass.inside else level > 0.0
    return way if looks else _back(way)


def _face_edge(standing: Standing, ways: tuple[Vec3, Vec3], out: Vec3, compass: Compass) -> Vec3:
    """Of the other two long faces a flat one before a curved one, one square to the face side before a bevelled one;
    then up, or away from the middle, front to back. `ways`: across the edges, and where the face side looks."""
    across, face = ways
    flat = [way for way in _both(across) if _flat_share(standing, way) >= FLAT_SHARE]
    square = [way for way in flat if _is_square(standing, way, face)]
    best = square or flat
    if len(best) == 1:
        return best[0]
    if abs(standing.grain[2]) <= UPRIGHT and abs(across[2]) > 0.3:
        return across if across[2] > 0.0 else _back(across)
    if abs(across[1]) > 0.3:
        deep = (0.0, out[1], 0.0)
        return _outwards(across, deep, compass)
    return _outwards(across, out, compass)


def _is_square(standing: Standing, way: Vec3, face: Vec3) -> bool:
    """Whether a flat edge stands square to the face side, seen along the grain."""
    edge, other = (_across_grain(standing, _largest_plane(standing, each)[1] or each) for each in (way, face))
    return abs(dot(edge, other)) < math.sin(SQUARE_EDGE)


def _across_grain(standing: Standing, way: Vec3) -> Vec3:
    grain = standing.grain
    return unit(plus(way, grain, -dot(way, grain)))


def _flat_share(standing: Standing, way: Vec3) -> float:
    """Of the long faces that look a way, the share of the largest plane among them."""
    return _largest_plane(standing, way)[0]


def _largest_plane(standing: Standing, way: Vec3) -> tuple[float, Vec3 | None]:
    """The largest plane among the long faces that look a way: its share of them, and where it looks."""
    solid = standing.solid
    vectors, areas = solid.area_vectors, solid.areas
    facing = vectors @ np.array(way) > FACING * areas
    along = np.abs(vectors @ np.array(standing.grain)) > 0.7 * areas
    mine = facing & ~along & (areas > 0.0)
    sums = np.bincount(solid.faces[mine], weights=areas[mine], minlength=len(solid.book))
    flat = [(area, -face) for face, area in enumerate(sums.tolist()) if area > 0.0 and solid.book[face].flat]
    if not flat:
        return 0.0, None
    best, face = max(flat)
    looks = unit(vec3(vectors[mine & (solid.faces == -face)].sum(axis=0)))
    return best / float(sums.sum()), looks


def _both(way: Vec3) -> tuple[Vec3, Vec3]:
    return way, _back(way)


def _back(way: Vec3) -> Vec3:
    return (-way[0], -way[1], -way[2])


def _clean(way: Vec3) -> Vec3:
    """A direction with arithmetic's dust wiped off."""
    return unit(vec3([0.0 if abs(value) < 1e-12 else value for value in way]))
