"""Parts held without a tenon: which pairs meet, and which of them meet nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from batchwright.base.fault import Fault, Level
from batchwright.base.trace import Missing
from batchwright.geometry.frame import Array
from batchwright.joinery.meeting.gaps import nothing_met
from batchwright.joinery.meeting.sites import TOUCH, ask_at, otherwise_fits
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.sizing.plan import Bench
from batchwright.joinery.words import Compass
from batchwright.model.draft import JointAsk, JointKind, JointStatement, PartId
from batchwright.model.piece import JointId
from batchwright.solids.meet import least_distance, lumps

CUT_IN = (JointKind.HOUSING, JointKind.GROOVE, JointKind.HALVING, JointKind.NOTCH)
TOUCHES = (JointKind.REST, JointKind.SCREW, JointKind.BUTTON, JointKind.GLUE)
WORDS = {
    JointKind.HOUSING: "housed in",
    JointKind.GROOVE: "in a groove of",
    JointKind.HALVING: "halved with",
    JointKind.NOTCH: "notched around",
    JointKind.REST: "resting on",
    JointKind.SCREW: "screwed to",
    JointKind.BUTTON: "buttoned to",
    JointKind.GLUE: "glued to",
}
Parts = Mapping[PartId, Standing]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One pair of parts held without a tenon. `common` holds the corners of the wood both were drawn with."""

    id: JointId
    statement: JointStatement
    ask: JointAsk
    a: Standing
    b: Standing
    common: Array | None


def find_held(statements: Sequence[JointStatement], parts: Parts, bench: Bench) -> tuple[tuple[Held, ...], list[Fault]]:
    """Every pair of every such statement, in order of name, and what meets nothing."""
    found: list[Held] = []
    faults: list[Fault] = []
    for statement in statements:
        if statement.kind not in (*CUT_IN, *TOUCHES):
            continue
        pairs = _pairs(statement, parts)
        found += pairs
        faults += _unmet(statement, parts, pairs, bench.compass)
        faults += _not_expected(statement, len(pairs))
        faults += _idle_exceptions(statement, pairs)
    return tuple(sorted(found, key=lambda held: held.id)), faults


def _idle_exceptions(statement: JointStatement, pairs: Sequence[Held]) -> list[Fault]:
    """A warning for each `except` item that speaks of no pair of its statement."""
    idle = [
        item
        for item in statement.exceptions
        if not any(otherwise_fits(item, held.a.part.id, held.b.part.id, "") for held in pairs)
    ]
    return [
        Fault(
            code="exception-fits-nothing",
            place=item.place,
            what=f"an exception of joint {statement.number} fits none of its pairs",
            why="a pair held without a tenon has parts, and no end of its own",
            mend="name parts that the joint has, or take the exception out",
            level=Level.WARNING,
        )
        for item in idle
    ]


def _pairs(statement: JointStatement, parts: Parts) -> list[Held]:
    found: list[Held] = []
    seen: set[frozenset[PartId]] = set()
    for a in (parts[name] for name in statement.of if name in parts):
        for b in (parts[name] for name in statement.into if name in parts and name != a.part.id):
            key = frozenset((a.part.id, b.part.id))
            if key in seen or (statement.at and b.part.id not in statement.at):
                continue
            common = _common(a, b)
            meets = common is not None if statement.kind in CUT_IN else _touch(a, b)
            if meets:
                seen.add(key)
                found.append(_held(statement, (a, b), common))
    return found


def _held(statement: JointStatement, pair: tuple[Standing, Standing], common: Array | None) -> Held:
    a, b = pair
    return Held(
        id=JointId(f"{a.part.id}, {WORDS[statement.kind]} {b.part.id}"),
        statement=statement,
        ask=ask_at(statement, a.part.id, b.part.id, ""),
        a=a,
        b=b,
        common=common,
    )


def _common(a: Standing, b: Standing) -> Array | None:
    """Corners of the wood that both were drawn with; None where there is less than a hair."""
    found = lumps(a.solid, b.solid)
    if sum(each.volume for each in found) < 0.02 * sum(each.area for each in found) / 2.0 or not found:
        return None
    return np.vstack([each.corners for each in found])


def _boxes_meet(a: Standing, b: Standing) -> bool:
    (a_low, a_high), (b_low, b_high) = a.solid.bounds, b.solid.bounds
    return bool((a_low <= b_high + TOUCH).all() and (b_low <= a_high + TOUCH).all())


def _touch(a: Standing, b: Standing) -> bool:
    return _boxes_meet(a, b) and least_distance(a.solid, b.solid, 2.0 * TOUCH) <= TOUCH


def _unmet(statement: JointStatement, parts: Parts, pairs: Sequence[Held], compass: Compass) -> list[Fault]:
    """A fault for each copy of A that meets no copy of B (a glued row counts on either side)."""
    met = {held.a.part.id for held in pairs} | {held.b.part.id for held in pairs}
    faults = []
    for name in statement.of:
        if name in parts and name not in met:
            others = [parts[b] for b in statement.into if b in parts and b != name]
            faults.append(nothing_met(statement, parts[name], others, compass))
    return faults


def _not_expected(statement: JointStatement, count: int) -> list[Fault]:
    expect = statement.expect
    if isinstance(expect, Missing) or expect == count:
        return []
    return [
        Fault(
            code="expect-not-met",
            place=dict(statement.places).get("expect", statement.place),
            what=f"joint {statement.number} ({statement.words[0]}, {statement.words[1]}) finds {count} meetings;"
            f" it expects {expect}",
            why="the drawing and the statement do not agree",
            mend=f"draw the parts together where one is missing, or write `expect: {count}`",
        )
    ]
