"""The joints and fixings of plan.json."""

from __future__ import annotations

from batchwright.app.record_values import Plain, deg, frame, mm, plane, point, sized
from batchwright.model.piece import Fixing, Joint, Measure, Mortise, Peg, Tenon, Tusk


def joint_as_plain(joint: Joint) -> Plain:
    """A joint with all its sizes."""
    return {
        "id": joint.id,
        "kind": joint.kind.value,
        "part": joint.part,
        "end": joint.end.value,
        "into": joint.into,
        "parts": [joint.part, joint.into],
        "form": joint.end_form,
        "angle_in": joint.angle_in,
        "shoulder_form": joint.shoulder_form,
        "frame": frame(joint.frame),
        "shoulder": plane(joint.shoulder),
        "sizes": {name: sized(one) for name, one in joint.sizes},
        "tenons": [_tenon(tenon) for tenon in joint.tenons],
        "mortises": [_mortise(mortise) for mortise in joint.mortises],
        "angles": {
            "out_of_square": deg(joint.out_of_square),
            "shoulder_on_face_side": deg(joint.shoulder_angles[0]),
            "shoulder_on_face_edge": deg(joint.shoulder_angles[1]),
            "twist": deg(joint.twist),
        },
        "hollow": mm(joint.hollow),
        "closing": {
            "direction": point(joint.closing.direction, 6),
            "travel": mm(joint.closing.travel),
            "free_within": deg(joint.closing.half_angle),
        },
        "pegs": [_peg(peg) for peg in joint.pegs],
        "tusk": None if joint.tusk is None else _tusk(joint.tusk),
        "measures": [_measure(one) for one in joint.measures],
        "meets": list(joint.meets),
        "place": {"file": joint.place.file, "line": joint.place.line, "column": joint.place.column},
    }


def _mortise(mortise: Mortise) -> Plain:
    return {
        "centre": [mm(value) for value in mortise.centre],
        "length": mm(mortise.length),
        "width": mm(mortise.width),
        "depth": mm(mortise.depth),
        "round_ends": mortise.round_ends,
        "through": mortise.through,
        "flare": mm(mortise.flare),
        "flare_from": mm(mortise.flare_from),
    }


def _peg(peg: Peg) -> Plain:
    return {
        "point": point(peg.point),
        "direction": point(peg.direction, 6),
        "diameter": mm(peg.diameter),
        "length": mm(peg.length),
        "draw": mm(peg.draw),
    }


def _tusk(tusk: Tusk) -> Plain:
    return {
        "frame": frame(tusk.frame),
        "thickness": mm(tusk.thickness),
        "width": mm(tusk.width),
        "taper": round(tusk.taper, 5),
        "through": mm(tusk.through),
    }


def _measure(one: Measure) -> Plain:
    return {"name": one.name, "value": mm(one.value), "limit": one.limit, "source": one.source}


def _tenon(tenon: Tenon) -> Plain:
    return {
        "centre": [mm(value) for value in tenon.centre],
        "width": mm(tenon.width),
        "thickness": mm(tenon.thickness),
        "length": mm(tenon.length),
        "tip_planes": [plane(one) for one in tenon.tip_planes],
        "haunch_width": mm(tenon.haunch_width),
        "haunch_length": mm(tenon.haunch_length),
        "wedges": tenon.wedges,
        "kerf": mm(tenon.kerf),
        "kerf_depth": mm(tenon.kerf_depth),
        "kerf_places": [mm(value) for value in tenon.kerf_places],
        "wedged_across": tenon.wedged_across,
        "proud": mm(tenon.proud),
    }


def fixing_as_plain(fixing: Fixing) -> Plain:
    """A fixing with its points."""
    return {
        "id": fixing.id,
        "kind": fixing.kind.value,
        "part": fixing.part,
        "into": fixing.into,
        "contact": round(fixing.contact, 1),
        "points": [{"point": point(one.point), "direction": point(one.direction, 6)} for one in fixing.points],
        "size": fixing.size,
        "slotted": fixing.slotted,
        "sizes": {name: sized(one) for name, one in fixing.sizes},
    }
