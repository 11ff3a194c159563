"""A curved leg with one of everything on it, for the writers' tests."""

from __future__ import annotations

import math

from batchwright.geometry.segment import Arc, Cubic, Line
from batchwright.sheets.scene.primitives import (
    Angle,
    CheckBar,
    Curve,
    Dimension,
    Group,
    Hatch,
    HatchKind,
    Mark,
    MarkKind,
    Note,
    Polygon,
    Radius,
    Running,
    Station,
    Straight,
    Text,
    Weight,
)
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.strokes import Fill, Stroke

FRONT = (
    Cubic((60.0, 0.0), (66.0, 70.0), (60.0, 140.0), (55.0, 210.0), name="front"),
    Cubic((55.0, 210.0), (50.0, 280.0), (50.0, 350.0), (60.0, 430.0), name="front"),
)
LEG = (
    Line((0.0, 0.0), (60.0, 0.0), name="foot"),
    *FRONT,
    Arc((60.0, 430.0), (32.5, 440.0), (5.0, 430.0), name="top"),
    Cubic((5.0, 430.0), (-15.0, 300.0), (10.0, 150.0), (0.0, 0.0), name="back"),
)


def drawn_leg(scale: float = 0.4) -> Scene:
    """The scene, its labels chosen by hand."""
    ring = ((20.0, 60.0), (45.0, 60.0), (45.0, 120.0), (20.0, 120.0))
    items = (
        Curve(path=LEG, stroke=Stroke.OUTLINE, closed=True, fill=Fill.TINT),
        Hatch(rings=(ring,), kind=HatchKind.END_GRAIN),
        Polygon(rings=(ring,), stroke=Stroke.HIDDEN),
        Dimension(start=(0.0, 0.0), end=(60.0, 0.0), label="2 3/8", offset=-10.0),
        Dimension(start=(0.0, 0.0), end=(5.0, 430.0), label="16 15/16", direction=(0.0, 1.0), offset=14.0),
        Running(
            datum=(60.0, 0.0),
            direction=(0.0, 1.0),
            stations=(Station(at=(60.0, 60.0), label="2 3/8"), Station(at=(60.0, 120.0), label="4 3/4")),
            offset=-14.0,
        ),
        Group(
            name="bench marks",
            items=(
                Mark(kind=MarkKind.FACE_SIDE, at=(28.0, 330.0), size=8.0),
                Mark(kind=MarkKind.GRAIN, at=(28.0, 220.0), size=8.0, angle=math.pi / 2.0),
                Mark(kind=MarkKind.NUMBER, at=(28.0, 390.0), size=9.0, text="9"),
                Mark(kind=MarkKind.DATUM, at=(30.0, 0.0), size=4.0, angle=math.pi / 2.0),
            ),
        ),
        Angle(corner=(0.0, 0.0), first=(1.0, 0.0), second=(0.03, 1.0), label="88°", radius=5.0),
        Radius(at=(55.0, 210.0), direction=(1.0, 0.3), label="fair curve", reach=8.0),
        Note(tip=(12.0, 270.0), text='inside <left> & "back"', dx=34.0, dy=12.0, dot=True),
        Straight(start=(30.0, -10.0), end=(30.0, 450.0), stroke=Stroke.CENTRE),
        Text(at=(0.0, -70.0), text="Leg, left", weight=Weight.BOLD),
        CheckBar(at=(0.0, -110.0)),
    )
    return Scene(items=items, name="Leg & foot", scale=scale, about='A curved leg, seen from "outside"')
