"""Findings put in order: the same word of several joints of one statement is said once, about all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from batchwright.base.fault import Place
from batchwright.base.finding import Finding, Grade
from batchwright.joinery.cutting.assemble import Finished
from batchwright.joinery.words import BENCH, say
from batchwright.model.piece import FeatureKind, Part

ORDER = {Grade.FAILS: 0, Grade.NEAR: 1, Grade.NOTE: 2}
CUT_AWAY = (FeatureKind.HOUSING, FeatureKind.LAP)
Key = tuple[str, Grade, Place, str]


def gathered(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings by grade, place and name; those that differ only in the joint are one, its worst standing for all."""
    groups: dict[Key, list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.code, finding.grade, finding.place, finding.why), []).append(finding)
    merged = [_merged(group) for group in groups.values()]
    return tuple(sorted(merged, key=lambda f: (ORDER[f.grade], f.place, f.code, f.what)))


def _merged(group: Sequence[Finding]) -> Finding:
    ordered = sorted(group, key=lambda f: (-round(f.utilisation or 0.0, 6), f.what))
    worst = ordered[0]
    if len(ordered) == 1:
        return worst
    about = tuple(dict.fromkeys(name for finding in ordered for name in finding.about))
    others = len({finding.what for finding in ordered}) - 1
    told = f"{worst.what} (and {others} more like it)" if others else worst.what
    return replace(worst, what=told, about=about)


def mark_findings(finished: Finished, part: Part, units: str) -> list[Finding]:
    """What cannot go to a fence: a face side curved or cut away at a joint, an edge that a tenon stands over."""
    found = [_stands_over(part, face, over, units) for face, over in _overs(part) if over > BENCH]
    if not finished.marks.flat_face:
        found.append(_mark(part, "face-side-curved", f"the face side of {part.id} is curved"))
    for feature in part.features:
        low, high = feature.box
        wide = part.width * 0.95
        if feature.kind in CUT_AWAY and feature.face == "face side" and high[1] - low[1] > wide:
            found.append(
                _mark(part, "face-side-cut-away", f"the face side of {part.id} is cut away at {feature.joint}")
            )
    return found


def _overs(part: Part) -> list[tuple[str, float]]:
    (edge, far), (side, back) = part.tenons_over
    return [("face edge", edge), ("far edge", far), ("face side", side), ("back", back)]


def _stands_over(part: Part, face: str, over: float, units: str) -> Finding:
    return Finding(
        code="tenon-over-edge",
        grade=Grade.NOTE,
        what=f"a tenon of {part.id} stands {say(over, units)} over the {face} of its own body",
        why="square to a leaning face it leaves the line of its part; the blank is so much wider than the body",
        mend="lay out everything from the blank's edge and saw the body last, or say `angle in: mortise`",
        about=(part.id,),
        place=part.draft.place,
    )


def _mark(part: Part, code: str, what: str) -> Finding:
    return Finding(
        code=code,
        grade=Grade.NOTE,
        what=what,
        why="the face side must be a face that can go to a fence",
        mend="choose another with `face side`, or mark the blank's face and joint it before sawing",
        about=(part.id,),
        place=part.draft.place,
    )
