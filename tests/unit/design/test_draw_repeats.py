"""Repeats against arithmetic: n copies of width w in a length L leave n + 1 even gaps of (L - n w)/(n + 1)."""

# ruff: noqa: E501 - piece files read best with a thing to a line
from __future__ import annotations

import math

import numpy as np
import pytest

from batchwright.design.drawing.bodies import Body, extent_along, middle_of
from batchwright.design.drawing.rests import ruler_of
from batchwright.geometry.batten import batten
from batchwright.geometry.curve import length_of, map_path, nearest, parameter_at_length
from batchwright.geometry.segment import Path
from batchwright.model.draft import DraftPart, DraftPiece
from drawing import drawn

SLAT = "parts:\n  slat: {box: {x: [-WIDE/2, WIDE/2], y: [0, 10], z: [0, 300]}, repeat: {REPEAT}}\n"
SIZES = "sizes: {WIDE: 40}\n".replace("WIDE", "broad")


def slats(repeat: str) -> list[DraftPart]:
    piece = drawn(SIZES + SLAT.replace("WIDE", "broad").replace("REPEAT", repeat))
    return [part for part in piece.parts if part.name == "slat"]


def ranges(parts: list[DraftPart]) -> list[tuple[float, float]]:
    return [extent_along(Body(frame=part.frame, shape=part.shape), (1.0, 0.0, 0.0)) for part in parts]


def gaps(found: list[tuple[float, float]]) -> list[float]:
    return [after[0] - before[1] for before, after in zip(found, found[1:], strict=False)]


def test_even_gaps_are_even_at_both_ends_too() -> None:
    found = ranges(slats("count: 7, along: x, between: [-250, 250]"))
    even = (500 - 7 * 40) / 8
    assert gaps(found) == pytest.approx([even] * 6)
    assert found[0][0] == pytest.approx(-250 + even)
    assert found[-1][1] == pytest.approx(250 - even)


def test_touching_ends_stand_at_the_limits() -> None:
    found = ranges(slats("count: 7, along: x, between: [-250, 250], spacing: touching ends"))
    assert gaps(found) == pytest.approx([(500 - 7 * 40) / 6] * 6)
    assert (found[0][0], found[-1][1]) == pytest.approx((-250, 250))


def test_even_pitch_puts_middles_at_the_limits() -> None:
    found = ranges(slats("count: 6, along: x, between: [-250, 250], spacing: even pitch"))
    middles = [0.5 * (low + high) for low, high in found]
    assert middles == pytest.approx([-250 + 100 * i for i in range(6)])


@pytest.mark.parametrize(
    ("least", "spacing", "count"),
    # the most n with n 40 + (n + 1) g <= 500, with n 40 + (n - 1) g <= 500, and with a pitch 500/(n - 1) of 40 + g or more
    [
        (20, "even gaps", 8),
        (20, "touching ends", 8),
        (12, "touching ends", 9),
        (12, "even gaps", 9),
        (20, "even pitch", 9),
    ],
)
def test_least_gap_gives_as_many_as_fit(least: int, spacing: str, count: int) -> None:
    found = ranges(slats(f"gap: {least}, along: x, between: [-250, 250], spacing: {spacing}"))
    assert len(found) == count
    assert min(gaps(found)) >= least - 1e-9


def test_copies_are_numbered_along_the_row() -> None:
    parts = slats("count: 3, along: x, between: [-250, 250]")
    assert [part.id for part in parts] == ["slat 1", "slat 2", "slat 3"]
    assert [part.number for part in parts] == [1, 2, 3]


def test_own_place_shapes_each_copy_and_gaps_stay_even() -> None:
    """Slats that grow wider with their place: half a width is 15 + |x|/20."""
    piece = drawn(
        "parts:\n  slat: {box: {x: [-15 - abs(place.x)/20, 15 + abs(place.x)/20], y: [0, 10], z: [0, 200 + place.x/2]}, "
        "repeat: {count: 5, along: x, between: [-300, 300]}}\n"
    )
    parts = list(piece.parts)
    found = ranges(parts)
    assert gaps(found) == pytest.approx([gaps(found)[0]] * 4, abs=1e-4)
    for part, (low, high) in zip(parts, found, strict=True):
        middle = 0.5 * (low + high)
        assert high - low == pytest.approx(2 * (15 + abs(middle) / 20), abs=1e-3)
        top = extent_along(Body(frame=part.frame, shape=part.shape), (0.0, 0.0, 1.0))[1]
        assert top == pytest.approx(200 + middle / 2, abs=1e-3)


def on_curve(points: str, between: str = "[40, 400]") -> tuple[DraftPiece, Path]:
    piece = drawn(
        f"places: {{seat curve: {{view: side, curve: {points}}}}}\n"
        "parts:\n  slat: {box: {x: [-200, 200], y: [-30, 30], z: [0, 20]}, "
        f"repeat: {{gap: 6, on: seat curve, between: {between}}}}}\n"
    )
    knots = [tuple(float(n) for n in pair.split(",")) for pair in points.strip("[]").split("], [")]
    return piece, batten([(a, b) for a, b in knots])


def test_hollow_curve_carries_each_slat_on_its_two_arrises() -> None:
    piece, curve = on_curve("[[-20, 400], [220, 370], [460, 395]]")
    assert len(piece.parts) > 4
    for part in piece.parts:
        for y in (-30.0, 30.0):
            _, py, pz = part.frame.to_world((0.0, y, 0.0))
            assert nearest(curve, (py, pz))[2] < 1e-6
        middle = part.frame.to_world((0.0, 0.0, 0.0))
        assert nearest(curve, (middle[1], middle[2]))[2] > 1e-4


def test_crowned_curve_carries_each_slat_on_its_middle_turned_to_it() -> None:
    piece, curve = on_curve("[[-20, 380], [220, 410], [460, 385]]")
    for part in piece.parts:
        _, y, z = part.frame.to_world((0.0, 0.0, 0.0))
        assert nearest(curve, (y, z))[2] < 1e-6
        for side in (-30.0, 30.0):
            _, py, pz = part.frame.to_world((0.0, side, 0.0))
            assert nearest(curve, (py, pz))[2] > 1e-3  # the arrises stand clear


def test_slats_on_a_straight_slope_lie_flat_on_it_with_even_gaps() -> None:
    """Along a line that rises 3 in 4, 250 long between y = 0 and y = 200: three slats of 60 leave gaps of 17.5."""
    piece = drawn(
        "places: {slope: {view: side, line: [[0, 100], [4, 103]]}}\n"
        "parts:\n  slat: {box: {x: [-200, 200], y: [-30, 30], z: [0, 20]}, repeat: {count: 3, on: slope, between: [0, 200]}}\n"
    )
    along = [math.hypot(middle[1], middle[2] - 100.0) for middle in (part.frame.origin for part in piece.parts)]
    assert along == pytest.approx([17.5 + 30, 2 * 17.5 + 90, 3 * 17.5 + 150])
    for part in piece.parts:
        assert part.frame.y == pytest.approx((0.0, 0.8, 0.6))


def test_repeat_up_a_leaning_line_turns_the_copies_to_it() -> None:
    """Rungs drawn about the view's zero go up a line that leans 1 in 4 and stay square to it."""
    piece = drawn(
        "places: {lean: {view: side, line: [[0, 0], [100, 400]]}}\n"
        "parts:\n  rung: {box: {x: [-150, 150], y: [-10, 10], z: [-15, 15]}, repeat: {count: 4, on: lean, between: [0, 400]}}\n"
    )
    size = math.hypot(1.0, 4.0)
    for part in piece.parts:
        x, y, z = middle_of(Body(frame=part.frame, shape=part.shape))
        assert (x, y) == pytest.approx((0.0, z / 4.0), abs=1e-9)
        ups = [abs(axis[1] * 1.0 / size + axis[2] * 4.0 / size) for axis in (part.frame.x, part.frame.y, part.frame.z)]
        assert max(ups) == pytest.approx(1.0)


def test_pair_of_rows_is_mirrored_and_numbered() -> None:
    piece = drawn(
        "parts:\n  slat: {count: pair, box: {x: [200, 210], y: [-20, 20], z: [0, 300]}, "
        "repeat: {count: 2, along: y, between: [0, 200]}}\n"
    )
    assert {part.id for part in piece.parts} == {"left slat 1", "left slat 2", "right slat 1", "right slat 2"}


def test_ruler_agrees_with_the_length_of_the_curve_and_of_its_mirror_image() -> None:
    curve = batten([(-20.0, 400.0), (220.0, 370.0), (460.0, 395.0)])
    mirrored = map_path(curve, np.array([[-1.0, 0.0], [0.0, 1.0]]))
    assert ruler_of(curve).whole == pytest.approx(length_of(curve), abs=1e-8)
    assert ruler_of(mirrored).whole == pytest.approx(ruler_of(curve).whole, abs=1e-9)
    for share in (0.1, 0.37, 0.5, 0.93):
        at = share * length_of(curve)
        assert ruler_of(curve).parameter(at) == pytest.approx(parameter_at_length(curve, at), abs=1e-8)
