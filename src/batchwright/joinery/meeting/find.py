"""The statements of a piece turned into sites, and every fault of a meeting that cannot be made."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from batchwright.base.fault import Fault, Level
from batchwright.base.mend import Mend, set_text
from batchwright.base.trace import Missing
from batchwright.geometry.frame import angle_between
from batchwright.joinery.meeting.contact import runs_along
from batchwright.joinery.meeting.gaps import gap_ahead, meets_nothing
from batchwright.joinery.meeting.sites import Lap, Site, first_met, laps_of, otherwise_fits, site_of
from batchwright.joinery.meeting.standing import Standing
from batchwright.joinery.offering import instead
from batchwright.joinery.words import Compass, say_angle, say_share
from batchwright.model.draft import JointKind, JointStatement, Otherwise, PartId

TENONED = (JointKind.TENON, JointKind.LOOSE_TENON, JointKind.DOWEL)
Parts = Mapping[PartId, Standing]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The sites of all tenon statements, those beyond a nearer shoulder, and what was wrong."""

    sites: tuple[Site, ...]
    beyond: tuple[Site, ...]
    faults: tuple[Fault, ...]


def find_sites(statements: Sequence[JointStatement], parts: Parts, compass: Compass) -> Found:
    """Every meeting of every tenon statement, in order of name."""
    sites: list[Site] = []
    beyond: list[Site] = []
    faults: list[Fault] = []
    for statement in statements:
        if statement.kind not in TENONED:
            continue
        found = _of_statement(statement, parts, compass)
        sites += found.sites
        beyond += found.beyond
        faults += found.faults
    once, doubled = _one_per_end(sites)
    met = {(site.a.part.id, site.sign) for site in once}
    for statement in statements:
        if statement.kind in TENONED:
            faults += gap_ahead(statement, parts, met, compass)
            faults += _idle_exceptions(statement, sites, compass)
    ordered = tuple(sorted(once, key=lambda site: site.id))
    return Found(sites=ordered, beyond=tuple(beyond), faults=(*faults, *doubled))


def _idle_exceptions(statement: JointStatement, sites: Sequence[Site], compass: Compass) -> list[Fault]:
    """A warning for each `except` item that speaks of no joint of its statement."""
    own = [site for site in sites if site.statement is statement]
    faults = []
    for item in statement.exceptions:
        if not any(
            otherwise_fits(item, site.a.part.id, site.b.part.id, compass.word_of(site.direction)) for site in own
        ):
            where = ", ".join((*item.at, *item.ends, *item.of)) or "it names nothing"
            faults.append(
                Fault(
                    code="exception-fits-nothing",
                    place=item.place,
                    what=f"an exception of joint {statement.number} fits none of its joints ({where})",
                    why=f"the joint meets {', '.join(sorted({site.b.part.id for site in own})) or 'nothing'}",
                    mend="name parts and ends that the joint has, or take the exception out",
                    level=Level.WARNING,
                    mends=_without(statement, item),
                )
            )
    return faults


def _without(statement: JointStatement, item: Otherwise) -> tuple[Mend, ...]:
    number = statement.exceptions.index(item)
    change = set_text(("joints", statement.number - 1, "except", number), None)
    return (Mend(say="take the exception out", changes=(change,)),)


def _of_statement(statement: JointStatement, parts: Parts, compass: Compass) -> Found:
    met: list[Site] = []
    faults: list[Fault] = []
    touched: set[PartId] = set()
    for a in (parts[name] for name in statement.of if name in parts):
        for b in (parts[name] for name in statement.into if name in parts and name != a.part.id):
            for lap in laps_of(a, b):
                touched.add(a.part.id)
                outcome = _meeting((a, b), lap, statement, compass)
                if isinstance(outcome, Site):
                    met.append(outcome)
                elif outcome is not None:
                    faults.append(outcome)
    met = [site for site in met if _wanted(site, compass)]
    kept, beyond = first_met(met)
    good = [site for site in kept if not runs_along(site.contact, site.direction)]
    faults += [_runs_along(site) for site in kept if runs_along(site.contact, site.direction)]
    faults += meets_nothing(statement, parts, (touched, kept), compass)
    faults += _not_expected(statement, len(good))
    return Found(sites=tuple(good), beyond=beyond, faults=tuple(faults))


def _wanted(site: Site, compass: Compass) -> bool:
    """Whether `at` of the statement narrows it to this joint."""
    statement = site.statement
    end = compass.word_of(site.direction)
    return (not statement.at or site.b.part.id in statement.at) and (not statement.ends or end in statement.ends)


def _meeting(
    pair: tuple[Standing, Standing], lap: Lap, statement: JointStatement, compass: Compass
) -> Site | Fault | None:
    a, b = pair
    if statement.at and b.part.id not in statement.at:
        return None
    if lap.sign == 0:
        return Fault(
            code="crosses-in-its-length",
            place=statement.place,
            what=f"{a.part.id} crosses {b.part.id} in its length ({say_share(lap.share)}), not at an end",
            why="a tenon is cut on an end: the meeting must lie in the first or last 30 % of the part's length",
            mend="use `housing` or `halving`, or draw the part so that it ends there",
            mends=(instead(statement, JointKind.HALVING),),
        )
    site = site_of(pair, lap, statement, compass)
    if site is not None:
        return site
    return Fault(
        code="no-shoulder-found",
        place=statement.place,
        what=f"{a.part.id} comes up to no face of {b.part.id}: it lies wholly inside it, or beside it",
        why="its section, sent along the part, strikes no face",
        mend="draw it so that part of its length lies outside the other part",
    )


def _runs_along(site: Site) -> Fault:
    angle = abs(math.pi / 2.0 - angle_between(site.direction, site.contact.plane.normal))
    return Fault(
        code="runs-along-the-face",
        place=site.statement.place,
        what=f"{site.a.part.id} runs along the face of {site.b.part.id}: {say_angle(angle)} between them",
        why="a shoulder needs a face at 15 degrees or more to the part",
        mend="use `housing`, `rest` or `glue`, or turn one of the two parts",
        mends=tuple(instead(site.statement, kind) for kind in (JointKind.HOUSING, JointKind.REST, JointKind.GLUE)),
    )


def _not_expected(statement: JointStatement, count: int) -> list[Fault]:
    expect = statement.expect
    if isinstance(expect, Missing) or expect == count:
        return []
    a, b = statement.words
    place = dict(statement.places).get("expect", statement.place)
    return [
        Fault(
            code="expect-not-met",
            place=place,
            what=f"joint {statement.number} ({a} into {b}) finds {count} meetings; it expects {expect}",
            why="the drawing and the statement do not agree",
            mend=f"draw the parts into one another where one is missing, or write `expect: {count}`",
        )
    ]


def _one_per_end(sites: Sequence[Site]) -> tuple[list[Site], list[Fault]]:
    """One tenon at an end: of two statements that both joint it, the first keeps it."""
    taken: dict[tuple[PartId, int], Site] = {}
    faults = []
    for site in sites:
        key = (site.a.part.id, site.sign)
        if key in taken:
            faults.append(_two_on_one_end(taken[key], site))
        else:
            taken[key] = site
    return list(taken.values()), faults


def _two_on_one_end(first: Site, second: Site) -> Fault:
    return Fault(
        code="two-joints-on-one-end",
        place=second.statement.place,
        what=f"one end of {second.a.part.id} is jointed into {first.b.part.id} and into {second.b.part.id}",
        why=f"joint {first.statement.number} has cut its shoulder there already",
        mend="name both parts in one statement (the first met wins), or narrow one with `at`",
    )
