"""Parts that a turn of the hand makes the same are one kind; mirror images are two, unless a part is its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from batchwright.geometry.frame import Array, vec3
from batchwright.joinery.marking.bench import Laid
from batchwright.joinery.marking.differ import Surface, same_mesh, same_surface, stands_off, surface_of
from batchwright.joinery.words import Compass
from batchwright.model.draft import Hand
from batchwright.model.piece import FeatureKind, Kind, KindId, Part
from batchwright.solids import kernel
from batchwright.solids.build import Quality, Solid, recipe_key
from batchwright.solids.choose import looks_of
from batchwright.solids.key import content_key

SIGNS = tuple(product((1.0, -1.0), repeat=3))
"""Ways of laying a box on itself without turning its axes: proper ones have an even number of minus signs."""
CHORDS = 2.0 * Quality.LIVE.tolerance
"""Corners on a curved face are where its chords put them: two of them may be so far apart [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A finished part to be compared: its solid in its drawing frame, and how it lies on the bench."""

    part: Part
    laid: Laid
    finished: Solid
    key: object
    """Recipe and lie on the bench: equal keys are equal wood, or its mirror image where the hands differ."""
    surface: Surface
    """Of the finished part, from its box's middle, in bench directions."""
    side: Hand = Hand.NONE
    """The side of the piece's middle it stands on, clear of it, as the file's `hands` says."""


def candidate(part: Part, laid: Laid, finished: Solid, compass: Compass) -> Candidate:
    """A part ready to be compared."""
    draft = part.draft
    way = content_key(laid.frame.seen_from(draft.frame))
    key = (recipe_key(part.recipe), looks_of(draft.shape, draft.frame).key, way)
    surface = surface_of(finished, draft.frame.seen_from(laid.frame), _sizes(laid) / 2.0)
    return Candidate(part=part, laid=laid, finished=finished, key=key, surface=surface, side=_side(part, laid, compass))


def _side(part: Part, laid: Laid, compass: Compass) -> Hand:
    """Left or right of the plane x = 0; the file's own word first, none for what reaches over the middle."""
    if part.draft.hand is not Hand.NONE:
        return part.draft.hand
    sizes = _sizes(laid)
    x = float(laid.frame.to_world(vec3(sizes / 2.0))[0])
    reach = float(np.abs(np.array([laid.frame.x[0], laid.frame.y[0], laid.frame.z[0]])) @ sizes) / 2.0
    if abs(x) < reach:
        return Hand.NONE
    return Hand.LEFT if x * compass.left[0] > 0.0 else Hand.RIGHT


def kinds_of(candidates: Sequence[Candidate], tolerance: float) -> tuple[tuple[Kind, ...], dict[str, KindId]]:
    """The kinds, in order of name and number, and each part's kind."""
    groups: list[list[Candidate]] = []
    for candidate in sorted(candidates, key=lambda c: (c.part.draft.name, c.part.draft.number, c.part.id)):
        for group in groups:
            if _same(group[0], candidate, tolerance, mirrored=False):
                group.append(candidate)
                break
        else:
            groups.append([candidate])
    pairs = _pairs(groups, tolerance)
    kinds = _named(groups, pairs)
    for i, j in pairs.items():
        kinds[i] = replace(kinds[i], mirror_of=kinds[j].id)
    which = {member.part.id: kind.id for kind, group in zip(kinds, groups) for member in group}
    order = sorted(range(len(kinds)), key=lambda i: (kinds[i].name, groups[i][0].part.draft.number, kinds[i].id))
    return tuple(kinds[i] for i in order), {str(part): kind for part, kind in which.items()}


def _same(a: Candidate, b: Candidate, tolerance: float, mirrored: bool) -> bool:
    """Whether two parts are the same piece of wood, or mirror images of one another."""
    if a.part.draft.name != b.part.draft.name or a.part.draft.wood != b.part.draft.wood:
        return False
    if _shaped(a) != _shaped(b):
        return False
    sizes = np.abs(_sizes(a.laid) - _sizes(b.laid))
    if (sizes > tolerance).any() or abs(a.finished.volume - b.finished.volume) > tolerance * a.finished.area:
        return False
    hands_differ = a.laid.frame.mirrored != b.laid.frame.mirrored
    if a.key == b.key and hands_differ == mirrored:
        return True
    one, two = _middle(a), _middle(b)
    slack = tolerance * a.finished.area * a.laid.length / a.finished.volume
    for signs in SIGNS:
        turned_over = (signs[0] * signs[1] * signs[2] < 0.0) != hands_differ
        alike = float(np.abs(one - two * np.array(signs)).max()) <= slack
        if turned_over == mirrored and alike and _confirmed(a, b, signs, tolerance):
            return True
    return False


def _shaped(candidate: Candidate) -> list[tuple[object, ...]]:
    """What is shaped by hand, which no solid shows: how, how deep, how large."""
    return sorted(
        (one.kind, round(one.depth, 2), *sorted(round(b - a, 1) for a, b in zip(one.low, one.high)))
        for one in candidate.part.shaped
    )


def _sizes(laid: Laid) -> Array:
    return np.array([laid.length, laid.width, laid.thickness])


def _middle(candidate: Candidate) -> Array:
    """Where the middle of the wood lies from the middle of its box, in bench directions [mm]."""
    world = candidate.part.draft.frame.to_world(vec3(candidate.finished.centroid))
    middle: Array = np.array(candidate.laid.frame.to_local(world)) - _sizes(candidate.laid) / 2.0
    return middle


def _confirmed(a: Candidate, b: Candidate, signs: tuple[float, ...], tolerance: float) -> bool:
    """Nowhere does the one stand off the other by more than the tolerance, nor on the average; holes agree too.

    The average alone would let a shoulder pass that leans the other way: a thin wedge, spread over all the surface.
    """
    if not _holes_agree(a, b, signs, tolerance):
        return False
    one, two = _points_of(a, (1.0, 1.0, 1.0)), _points_of(b, signs)
    if same_mesh(one, two) or same_surface(one, two):
        return True
    for this, other in ((one, two), (two, one)):
        if stands_off(this.sharp, other, tolerance) or stands_off(this.curved, other, tolerance + CHORDS):
            return False
    both = kernel.common(_on_bench(a, (1.0, 1.0, 1.0)), _on_bench(b, signs))
    shared = 0.0 if kernel.nothing_left(both) else kernel.volume_of(both)
    apart = a.finished.volume + b.finished.volume - 2.0 * shared
    return apart <= tolerance * a.finished.area


def _points_of(candidate: Candidate, signs: tuple[float, ...]) -> Surface:
    """The finished part's surface from its box's middle on the bench, turned over by signs."""
    surface, sign = candidate.surface, np.array(signs)
    inside_out = surface.inside_out != bool(sign.prod() < 0.0)
    return replace(surface, points=surface.points * sign, inside_out=inside_out)


def _holes_agree(a: Candidate, b: Candidate, signs: tuple[float, ...], tolerance: float) -> bool:
    """Screw holes are set out at the bench and not cut in the solid: each of one part has its like in the other."""
    one, two = _holes(a, (1.0, 1.0, 1.0)), _holes(b, signs)
    if len(one) != len(two):
        return False
    if len(one) == 0:
        return True
    apart = np.abs(one[:, None, :] - two[None, :, :]).max(axis=2) <= tolerance
    return bool(apart.any(axis=1).all() and apart.any(axis=0).all())


def _holes(candidate: Candidate, signs: tuple[float, ...]) -> Array:
    """(n, 8): mouth and end of each screw hole from the box's middle, its diameter and depth [mm]."""
    half, sign = _sizes(candidate.laid) / 2.0, np.array(signs)
    rows = []
    for feature in candidate.part.features:
        if feature.kind is FeatureKind.HOLE and feature.tool is not None:
            mouth = np.array(feature.frame.origin)
            end = mouth + feature.depth * np.array(feature.frame.z)
            rows.append([*((mouth - half) * sign), *((end - half) * sign), feature.tool.width, feature.depth])
    return np.array(rows).reshape(-1, 8)


def _on_bench(candidate: Candidate, signs: tuple[float, ...]) -> kernel.Body:
    """The finished part on the bench, its box's middle at the origin, turned over by signs."""
    local = candidate.part.draft.frame.seen_from(candidate.laid.frame)
    sign = np.array(signs)[:, None]
    matrix = local.matrix()
    matrix[:, 3] -= _sizes(candidate.laid) / 2.0
    return kernel.moved(candidate.finished.body, matrix * sign)


def _pairs(groups: Sequence[Sequence[Candidate]], tolerance: float) -> dict[int, int]:
    """Which groups are mirror images of one another, by their places, both ways."""
    pairs: dict[int, int] = {}
    for i, j in product(range(len(groups)), repeat=2):
        if i < j and i not in pairs and j not in pairs and _same(groups[i][0], groups[j][0], tolerance, mirrored=True):
            pairs[i], pairs[j] = j, i
    return pairs


def _named(groups: Sequence[Sequence[Candidate]], pairs: dict[int, int]) -> list[Kind]:
    """Names: `side rail, left`; `arm`; `back slat 2, right`; `back slat, 4` where copies of one name differ."""
    hands = [_hand(group) for group in groups]
    for i, j in pairs.items():
        sides = (_one_side(groups[i]), _one_side(groups[j]))
        if hands[i] is Hand.NONE and Hand.NONE not in sides and sides[0] is not sides[1]:
            hands[i] = sides[0]
    kinds = [
        Kind(
            id=KindId(""),
            name=group[0].part.draft.name,
            hand=hand,
            parts=tuple(sorted(member.part.id for member in group)),
        )
        for group, hand in zip(groups, hands)
    ]
    return [replace(kind, id=KindId(label), label=label) for kind, label in zip(kinds, _distinct(kinds))]


def _hand(group: Sequence[Candidate]) -> Hand:
    hands = {member.part.draft.hand for member in group}
    return hands.pop() if len(hands) == 1 else Hand.NONE


def _one_side(group: Sequence[Candidate]) -> Hand:
    """The side of the piece all of a group stand on; none where they stand on both."""
    sides = {member.side for member in group}
    return sides.pop() if len(sides) == 1 else Hand.NONE


def _distinct(kinds: Sequence[Kind]) -> list[str]:
    """A label for each kind: name; hand; the places; place and hand where several of a name have that hand."""
    labels: list[str] = []
    for kind in kinds:
        same = [other for other in kinds if other.name == kind.name]
        if len(same) == 1:
            labels.append(kind.name)
            continue
        alone = [other.hand for other in same].count(kind.hand) == 1
        places = " = ".join(_place(part, kind.name) for part in kind.parts)
        if kind.hand is not Hand.NONE and alone:
            labels.append(f"{kind.name}, {kind.hand.value}")
        elif kind.hand is not Hand.NONE and kind.hand.value not in places:
            labels.append(f"{kind.name} {places}, {kind.hand.value}")
        else:
            labels.append(f"{kind.name}, {places}")
    return labels


def _place(part: str, name: str) -> str:
    """What a copy's full name says beyond its part's name: `left front`, `3`."""
    return " ".join(part.replace(name, " ").split()) or name
