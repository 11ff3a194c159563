"""The scale a drawing is made at: full size where it fits, else one of a fine row."""

from __future__ import annotations

from batchwright.geometry.frame import Vec2

REDUCTIONS = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 100.0)
"""How many times smaller than the wood. All measures are printed, so none need be taken with a rule."""


def chosen_scale(size: Vec2, room: Vec2) -> float:
    """The largest of the scales at which a true width and height [mm] fit the room on paper [mm]."""
    fits = (1.0 / times for times in REDUCTIONS if size[0] <= room[0] * times and size[1] <= room[1] * times)
    return next(fits, 1.0 / REDUCTIONS[-1])
