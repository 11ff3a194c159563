"""Laws of drawing: true views keep distances, walls keep their places, and no slip of the pen leaves a traceback."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from batchwright.base.fault import NOWHERE
from batchwright.design.draft import draft_piece
from batchwright.design.drawing.views import AXES_OF, PLAIN, Curved, Wall, trace, true_view
from batchwright.design.text.mistake import Mistake
from batchwright.design.text.read import read_tree
from batchwright.geometry.batten import batten
from batchwright.geometry.curve import point_at
from batchwright.geometry.frame import dot

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").rglob("*.piece.yaml"))
TEXTS = [path.read_text("utf-8") for path in EXAMPLES]
TOKEN = re.compile(r"[^\W\d_]+(?: [^\W\d_]+)*|\d+(?: \d+/\d+)?|[\[\]{}:,*/+-]")
TOKENS = sorted({token for text in TEXTS for token in TOKEN.findall(text)})
ODD = [
    "0",
    "-1",
    "1000",
    "0.0001",
    "z 13",
    "left leg",
    "1/0",
    "place.y",
    "1e9",
    "back line",
    "seat curve",
    "",
    "[",
    "}",
]

near = st.floats(-500.0, 500.0, allow_nan=False).map(lambda x: round(x, 3))
lean = st.floats(-60.0, 60.0).map(lambda x: math.radians(round(x, 3)))


@given(st.sampled_from(sorted(AXES_OF)), near, near, lean)
def test_true_view_is_square_and_holds_its_line(like: str, a: float, b: float, angle: float) -> None:
    wall = Wall(name="line", view=PLAIN[like], point=(a, b), direction=(math.sin(angle), math.cos(angle)))
    try:
        view = true_view(wall, NOWHERE)
    except Mistake as wrong:
        assert wrong.faults[0].code == "true-view-drawn-backwards"
        assert math.sin(angle) < 0.0  # mostly level, and drawn to the left or to the front
        return
    f = view.frame
    for u, v in ((f.x, f.y), (f.y, f.z), (f.z, f.x)):
        assert abs(dot(u, v)) < 1e-12
    assert wall.view.seen(f.origin) == pytest.approx((a, b))
    third = PLAIN[view.like].frame.z
    assert dot(f.z, third) >= math.cos(math.radians(45)) - 1e-9  # the sense of the view it is most nearly


@given(st.lists(near, min_size=3, max_size=5, unique=True), near, lean)
@settings(max_examples=40)
def test_wall_used_in_another_view_stays_where_it_is(heights: list[float], x: float, angle: float) -> None:
    curve = batten([(120.0 * i, height) for i, height in enumerate(heights)])
    wall = Wall(name="curve", view=PLAIN["side"], path=curve)
    view = true_view(
        Wall(name="rail", view=PLAIN["plan"], point=(x, -50.0), direction=(math.sin(angle) / 2, 1.0)), NOWHERE
    )
    met = trace(wall, view, NOWHERE)
    assert isinstance(met, Curved)
    for mapped, own in zip(met.path, curve, strict=True):
        for t in (0.0, 0.41, 1.0):
            _, y, z = view.point(point_at(mapped, t))
            assert (y, z) == pytest.approx(point_at(own, t), abs=1e-7)


@st.composite
def slipped(draw: st.DrawFn) -> str:
    """An example with one to three words, numbers or signs put in another's place."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 3))):
        spots = list(TOKEN.finditer(text))
        spot = spots[draw(st.integers(0, len(spots) - 1))]
        other = draw(st.sampled_from(TOKENS) | st.sampled_from(ODD))
        text = text[: spot.start()] + other + text[spot.end() :]
    return text


@given(slipped())
@settings(max_examples=120, deadline=3000, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_slips_are_told_and_never_crash(text: str) -> None:
    tree, faults = read_tree(text, "slip.piece.yaml")
    if tree is None:
        assert faults
        return
    piece, told = draft_piece(tree, "slip.piece.yaml")
    assert piece is not None or told
    for fault in told:
        assert fault.code and fault.what and fault.mend
        assert fault.place.file == "slip.piece.yaml"


@given(st.integers(1, 12), st.floats(10.0, 60.0), st.floats(400.0, 900.0))
@settings(max_examples=40)
def test_even_gaps_fill_the_row(count: int, width: float, room: float) -> None:
    text = (
        "piece: a\nunits: mm\nwood: white oak\nhands: as seated\n"
        f"parts: {{slat: {{box: {{x: [-{width:.4f}/2, {width:.4f}/2], y: [0, 9], z: [0, 300]}}, "
        f"repeat: {{count: {count}, along: x, between: [0, {room:.4f}]}}}}}}\n"
    )
    tree, _ = read_tree(text, "a")
    assert tree is not None
    piece, faults = draft_piece(tree, "a")
    gap = (room - count * width) / (count + 1)
    if gap < -1e-3:
        assert [fault.code for fault in faults] == ["repeat-does-not-fit"]
        return
    if gap < 1e-3:
        return
    assert piece is not None and not faults
    middles = [part.frame.origin[0] for part in piece.parts]
    assert middles == pytest.approx([gap + width / 2 + i * (gap + width) for i in range(count)], abs=1e-3)
