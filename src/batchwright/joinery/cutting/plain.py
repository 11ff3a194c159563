"""A recipe written plainly: the same wood always in the same words, whichever joint was named first.

A bar is the same bar looked at from either edge and either cheek, and cuts may be made in any order. Written one way,
the left part's recipe is the right one's, number for number, and one solid serves both.
"""

from __future__ import annotations

from dataclasses import replace

from batchwright.geometry.frame import Frame, Plane, Vec3, dot
from batchwright.model.shape import Recipe, ShoulderCut, Tool

LEVEL = 1e-6
"""A direction cosine under this says nothing of which way an axis looks [-]."""
DECIMALS = 5
"""Bars are put in order by where they are to a hundred-thousandth of a millimetre."""


def plain(recipe: Recipe) -> Recipe:
    """The recipe with its bars turned one way, its planes given by their foot, and all in order of place."""
    return replace(
        recipe,
        shoulders=tuple(sorted((_shoulder(each) for each in recipe.shoulders), key=_of_shoulder)),
        adds=tuple(sorted((_bar(each) for each in recipe.adds), key=_of_bar)),
        cuts=tuple(sorted((_bar(each) for each in recipe.cuts), key=_of_bar)),
    )


def _bar(tool: Tool) -> Tool:
    """The bar with its x looking to the greater coordinate and its frame right-handed: its section is its own mirror
    image both ways."""
    frame = tool.frame
    ahead = next((value for value in frame.x if abs(value) > LEVEL), 1.0)
    x_sign = 1.0 if ahead > 0.0 else -1.0
    y_sign = -x_sign if frame.mirrored else x_sign
    if x_sign > 0.0 and y_sign > 0.0:
        return tool

    def turned(way: Vec3) -> Vec3:
        return (x_sign * way[0], y_sign * way[1], way[2])

    planes = tuple(Plane(turned(plane.point), turned(plane.normal)) for plane in tool.planes)
    plain_frame = Frame(frame.origin, _times(frame.x, x_sign), _times(frame.y, y_sign), frame.z)
    return replace(tool, frame=plain_frame, planes=planes)


def _shoulder(cut: ShoulderCut) -> ShoulderCut:
    plane = cut.plane
    return replace(cut, plane=Plane(_times(plane.normal, dot(plane.point, plane.normal)), plane.normal))


def _times(way: Vec3, by: float) -> Vec3:
    return (way[0] * by, way[1] * by, way[2] * by)


def _of_bar(tool: Tool) -> tuple[float, ...]:
    frame = tool.frame
    return _rounded((*frame.origin, *frame.z, tool.width, tool.thickness, tool.start, tool.end))


def _of_shoulder(cut: ShoulderCut) -> tuple[float, ...]:
    return _rounded((*cut.plane.point, *cut.plane.normal))


def _rounded(values: tuple[float, ...]) -> tuple[float, ...]:
    return tuple([round(value, DECIMALS) + 0.0 for value in values])
