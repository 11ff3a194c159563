"""Parts that come out the same are one kind; mirror images are two, unless a part is its own mirror image."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from batchwright.geometry.frame import WORLD, Array, vec3
from batchwright.joinery.bench import Laid
from batchwright.model.draft import Hand
from batchwright.model.piece import Kind, KindId, Part
from batchwright.solids import kernel
from batchwright.solids.build import Solid
from batchwright.solids.key import content_key

SIGNS = tuple(product((1.0, -1.0), repeat=3))
"""Ways of laying a box on itself without turning its axes: proper ones have an even number of minus signs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A finished part to be compared: its solid in its drawing frame, and how it lies on the bench."""

    part: Part
    laid: Laid
    finished: Solid
    key: object
    """Recipe and lie on the bench: equal keys are equal wood, or its mirror image where the hands differ."""


def candidate(part: Part, laid: Laid, finished: Solid) -> Candidate:
    """A part ready to be compared."""
    bare = content_key(replace(part.recipe, frame=WORLD))
    way = content_key(laid.frame.seen_from(part.draft.frame))
    return Candidate(part=part, laid=laid, finished=finished, key=(bare, way))


def kinds_of(candidates: Sequence[Candidate], tolerance: float) -> tuple[tuple[Kind, ...], dict[str, KindId]]:
    """The kinds, in order of name, and each part's kind."""
    groups: list[list[Candidate]] = []
    for candidate in sorted(candidates, key=lambda c: c.part.id):
        for group in groups:
            if _same(group[0], candidate, tolerance, mirrored=False):
                group.append(candidate)
                break
        else:
            groups.append([candidate])
    kinds = _named(groups)
    kinds = _paired(groups, kinds, tolerance)
    which = {member.part.id: kind.id for kind, group in zip(kinds, groups) for member in group}
    order = sorted(range(len(kinds)), key=lambda i: (kinds[i].name, kinds[i].id))
    return tuple(kinds[i] for i in order), {str(part): kind for part, kind in which.items()}


def _same(a: Candidate, b: Candidate, tolerance: float, mirrored: bool) -> bool:
    """Whether two parts are the same piece of wood, or mirror images of one another."""
    if a.part.draft.name != b.part.draft.name or a.part.draft.wood != b.part.draft.wood:
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


def _sizes(laid: Laid) -> Array:
    return np.array([laid.length, laid.width, laid.thickness])


def _middle(candidate: Candidate) -> Array:
    """Where the middle of the wood lies from the middle of its box, in bench directions [mm]."""
    world = candidate.part.draft.frame.to_world(vec3(candidate.finished.centroid))
    middle: Array = np.array(candidate.laid.frame.to_local(world)) - _sizes(candidate.laid) / 2.0
    return middle


def _confirmed(a: Candidate, b: Candidate, signs: tuple[float, ...], tolerance: float) -> bool:
    """The wood that is in one but not in the other, spread over the surface, is thinner than the tolerance."""
    one, two = _on_bench(a, (1.0, 1.0, 1.0)), _on_bench(b, signs)
    both = kernel.common(one, two)
    shared = 0.0 if kernel.nothing_left(both) else kernel.volume_of(both)
    apart = a.finished.volume + b.finished.volume - 2.0 * shared
    return apart <= tolerance * a.finished.area


def _on_bench(candidate: Candidate, signs: tuple[float, ...]) -> kernel.Body:
    """The finished part on the bench, its box's middle at the origin, turned over by signs."""
    local = candidate.part.draft.frame.seen_from(candidate.laid.frame)
    sign = np.array(signs)[:, None]
    matrix = local.matrix()
    matrix[:, 3] -= _sizes(candidate.laid) / 2.0
    return kernel.moved(candidate.finished.body, matrix * sign)


def _named(groups: Sequence[Sequence[Candidate]]) -> list[Kind]:
    """Names: `side rail, left`; `arm`; `back slat B` where copies of one name differ otherwise."""
    kinds: list[Kind] = []
    for group in groups:
        first = group[0].part.draft
        hands = {member.part.draft.hand for member in group}
        hand = first.hand if len(hands) == 1 else Hand.NONE
        kinds.append(
            Kind(
                id=KindId(""),
                name=first.name,
                hand=hand,
                parts=tuple(member.part.id for member in group),
                label=_label(group),
            )
        )
    return [replace(kind, id=KindId(label), label=label) for kind, label in zip(kinds, _distinct(kinds))]


def _label(group: Sequence[Candidate]) -> str:
    """The name alone where all its copies are one kind; else the places of its copies."""
    return group[0].part.draft.name


def _distinct(kinds: Sequence[Kind]) -> list[str]:
    """A label for each kind: name; hand; the places; a letter where nothing else tells them apart."""
    labels: list[str] = []
    for kind in kinds:
        same = [other for other in kinds if other.name == kind.name]
        if len(same) == 1:
            labels.append(kind.name)
            continue
        hands = [other.hand for other in same]
        if kind.hand is not Hand.NONE and hands.count(kind.hand) == 1:
            labels.append(f"{kind.name}, {kind.hand.value}")
        else:
            places = " = ".join(_place(part, kind.name) for part in kind.parts)
            labels.append(f"{kind.name}, {places}")
    return labels


def _place(part: str, name: str) -> str:
    """What a copy's full name says beyond its part's name: `left front`, `3`."""
    return " ".join(part.replace(name, " ").split()) or name


def _paired(groups: Sequence[Sequence[Candidate]], kinds: list[Kind], tolerance: float) -> list[Kind]:
    """Kinds that are mirror images of one another, told."""
    out = list(kinds)
    for i, j in product(range(len(groups)), repeat=2):
        free = i < j and out[i].mirror_of is None and out[j].mirror_of is None
        if free and _same(groups[i][0], groups[j][0], tolerance, mirrored=True):
            out[i] = replace(out[i], mirror_of=out[j].id)
            out[j] = replace(out[j], mirror_of=out[i].id)
    return out
