"""The shoulder at its face: let in or scribed where asked, and what there is to say of how the part comes up to it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from batchwright.base.fault import Fault
from batchwright.base.finding import Finding, Grade
from batchwright.base.trace import Missing
from batchwright.geometry.frame import Plane, plus
from batchwright.joinery.meeting.contact import BEFORE, Contact
from batchwright.joinery.meeting.overhang import over_mends, overhangs
from batchwright.joinery.meeting.sites import Site, is_set_in
from batchwright.joinery.sizing.plan import Bench, Plan, place_of
from batchwright.joinery.words import say, say_angle, say_share
from batchwright.model.draft import JointKind

STEEP = math.radians(15.0)
"""A tenon square to the face leaves its part's grain by so much: worth saying (common practice, no source)."""
LEANING = math.radians(30.0)
"""A mortise that leans more than this is none for a machine (common practice, no source)."""
TWISTED = math.radians(30.0)
END_FACES = 0.3
"""Faces that look along the part more than this (cosine) are its end."""
FLAT_MORE = 3.0
"""A flat left on the pattern is this much longer than the section, in all [mm]."""
LET_IN = 12.7
"""A shoulder is let in at most so deep (common practice, no source) [mm]."""
SLIVER = 0.01
"""Shares of a section below this are not worth a word."""


def set_in(site: Site) -> Site:
    """The site with its shoulder where `let in` or `scribed` puts it: at the deepest point of the face."""
    if not is_set_in(site):
        return site
    contact = site.contact
    deep, share = (contact.deepest, 1.0) if closes_on_all(contact) else (contact.hollow, contact.share)
    plane = Plane(plus(contact.plane.point, contact.plane.normal, deep), contact.plane.normal)
    return replace(site, contact=replace(contact, plane=plane, hollow=deep, share=share))


def closes_on_all(contact: Contact) -> bool:
    """Whether a shoulder let in or scribed reaches every face in its way: none lies further behind, or before, than a
    shoulder is let in."""
    return contact.deepest <= LET_IN and contact.proud <= LET_IN


def shoulder_findings(plan: Plan, bench: Bench) -> Plan:
    """What the sight lines showed: a hollow, two faces, an overhang, twist, steepness."""
    site = plan.site
    flat = isinstance(site.ask.shoulder, Missing) or site.ask.shoulder == "flat"
    if flat and site.contact.hollow > bench.shop.tolerances.shoulder_gap.value:
        plan = plan.find(_hollow(plan, bench))
    if site.contact.share < 1.0 - SLIVER:
        plan = plan.find(_two_faces(plan, bench))
    if site.contact.missed > SLIVER:
        plan = plan.find(_beside(plan, bench))
    if plan.seat.twist > TWISTED:
        plan = plan.find(_twisted(plan))
    carries = site.statement.kind is JointKind.TENON
    if plan.seat.angle_in == "tenon" and plan.seat.out_of_square > STEEP and carries:
        plan = plan.find(_steep(plan))
    if plan.seat.angle_in == "mortise" and plan.seat.out_of_square > LEANING:
        plan = plan.find(_leaning(plan))
    return plan


def _hollow(plan: Plan, bench: Bench) -> Finding:
    site, units = plan.site, bench.units
    limit = bench.shop.tolerances.shoulder_gap.value
    flat = say(site.section.width + FLAT_MORE, units)
    return Finding(
        code="hollow-under-shoulder",
        grade=Grade.FAILS,
        what=f"the flat shoulder of {plan.id} stands off the curved face by {say(site.contact.hollow, units)};"
        f" the shop closes {say(limit, units)}",
        why="the face is curved where the part comes up to it",
        mend=f"leave a flat of {flat} on the pattern there, or say `shoulder: let in` or `shoulder: scribed`",
        source=str(bench.shop.tolerances.shoulder_gap.trace),
        about=(plan.id,),
        utilisation=site.contact.hollow / limit,
        place=place_of(site.statement, "shoulder"),
    )


def _two_faces(plan: Plan, bench: Bench) -> Finding:
    site = plan.site
    proud, contact = site.contact.proud, site.contact
    mends = over_mends(site, overhangs(site, contact.faces), bench)
    if not is_set_in(site) and closes_on_all(contact):
        mends.append("`shoulder: let in`")
    stands = f", and another stands {say(proud, bench.units)} before it" if proud > 0.01 else ""
    return Finding(
        code="two-faces-at-shoulder",
        grade=Grade.NEAR,
        what=f"{site.a.part.id} comes up to two faces of {site.b.part.id}: {say_share(site.contact.share)} of it to the"
        f" one the shoulder is cut for{stands}",
        why="a flat shoulder closes on one plane",
        mend=", or ".join(mends) or "move or narrow the part so that it meets one face",
        about=(plan.id,),
        place=site.statement.place,
    )


def _beside(plan: Plan, bench: Bench) -> Finding:
    site = plan.site
    over = overhangs(site)
    told = ", ".join(f"{say(each.by, bench.units)} at its {bench.compass.word_of(each.way)}" for each in over)
    return Finding(
        code="passes-beside",
        grade=Grade.NEAR,
        what=f"{say_share(site.contact.missed)} of the section of {site.a.part.id} passes beside {site.b.part.id}"
        + (f": it stands over by {told}" if told else ""),
        why="the tenon is kept within the area where both meet, 1/4 in from its edge",
        mend=", or ".join(over_mends(site, over, bench)) or "widen the one, or narrow the other",
        about=(plan.id,),
        place=site.statement.place,
    )


def _twisted(plan: Plan) -> Finding:
    return Finding(
        code="mortise-across-grain",
        grade=Grade.NOTE,
        what=f"the mortise of {plan.id} lies {say_angle(plan.seat.twist)} to the grain of {plan.site.b.part.id}:"
        " across the grain",
        why="its long walls are end grain, which holds little glue, and it cuts more fibres",
        mend="`turned: with the grain`, if the section allows it",
        about=(plan.id,),
        place=place_of(plan.site.statement, "turned"),
    )


def _steep(plan: Plan) -> Finding:
    return Finding(
        code="steep-tenon",
        grade=Grade.NOTE,
        what=f"the tenon of {plan.id} leaves the line of its part by {say_angle(plan.seat.out_of_square)}",
        why="square to the face, its grain runs out to its side",
        mend="`angle in: mortise` keeps it straight in line with its part",
        about=(plan.id,),
        utilisation=plan.seat.out_of_square / STEEP,
        place=place_of(plan.site.statement, "angle in"),
    )


def _leaning(plan: Plan) -> Finding:
    return Finding(
        code="leaning-mortise",
        grade=Grade.NOTE,
        what=f"the mortise of {plan.id} leans {say_angle(plan.seat.out_of_square)} from square to its face",
        why="few machines can be set so far over, and its mouth is long (common practice, no source)",
        mend="`angle in: tenon` cuts it square to the face, or draw the part less askew to the face",
        about=(plan.id,),
        utilisation=plan.seat.out_of_square / LEANING,
        place=place_of(plan.site.statement, "angle in"),
    )


def short_of_shoulder(plan: Plan, bench: Bench) -> Plan:
    """A fault where the part as drawn ends before its shoulder plane: nothing is there to be cut back to it."""
    site = plan.site
    missing = _end_before_plane(site)
    if missing <= bench.shop.tolerances.shoulder_gap.value:
        return plan
    return plan.fault(
        Fault(
            code="stops-short-of-shoulder",
            place=site.statement.place,
            what=f"{site.a.part.id} touches {site.b.part.id} with one corner only: elsewhere it ends"
            f" {say(missing, bench.units)} before the shoulder plane",
            why="the shoulder is cut back from the part as drawn",
            mend=f"draw {site.a.part.id} at least {say(missing, bench.units)} further into {site.b.part.id}",
        )
    )


def _end_before_plane(site: Site) -> float:
    """How far the part's own end, as drawn, lies before the shoulder plane where it faces the other part [mm]."""
    solid, frame = site.a.solid, site.section.frame
    ends = (solid.normals @ np.array(site.direction) > END_FACES) & (
        solid.corners.mean(axis=1) @ np.array(frame.z) > site.begins - BEFORE
    )
    corners = solid.corners[ends].reshape(-1, 3)
    if len(corners) == 0:
        return 0.0
    struck = site.contact.points[np.isfinite(site.contact.depth)]
    seen = frame.many_to_local(corners)[:, :2]
    facing = ((seen >= struck.min(axis=0) - 1.0) & (seen <= struck.max(axis=0) + 1.0)).all(axis=1)
    heights = (corners[facing] - np.array(site.contact.plane.point)) @ np.array(site.contact.plane.normal)
    return max(0.0, -float(heights.min())) if facing.any() else 0.0
