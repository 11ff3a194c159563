"""Paper is exact: page sizes, check bars, a 700 mm line across tiles and register crosses, read back from the PDF.

The PDF is parsed with pdfplumber, which knows nothing of how it was made; one page is also rendered with pypdfium2
and measured in pixels. Page sizes: ISO 216 (A4 210 x 297 mm, A3 297 x 420 mm) and ASME Y14.1 (A 8.5 x 11 in, B 11 x 17
in), both from memory; 1 in = 25.4 mm exactly and 1 pt = 1/72 in (ISO 32000-1, 8.3.2.3).
"""

from __future__ import annotations

import io
from datetime import UTC, datetime

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from pdfplumber.page import Page
from pypdf import PdfReader

from batchwright.geometry.segment import Cubic, Line
from batchwright.sheets.render.pdf import render_packet, render_sheet
from batchwright.sheets.scene.primitives import CheckBar, Curve, Straight
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    A3,
    A4,
    LETTER,
    TABLOID,
    Drawing,
    FullSize,
    Orientation,
    Packet,
    Paper,
    Sheet,
)
from batchwright.sheets.scene.strokes import PENS, Stroke

MADE = datetime(2024, 5, 1, 12, 0, tzinfo=UTC)
POINT = 25.4 / 72.0
EXACT = 0.01
"""What the paper may be wrong by in these tests [mm]; what the shop asks for is 0.1 mm over 700."""
SIZES = {A4: (210.0, 297.0), A3: (297.0, 420.0), LETTER: (8.5 * 25.4, 11 * 25.4), TABLOID: (11 * 25.4, 17 * 25.4)}
PAPERS = [
    pytest.param(paper, orientation, id=f"{paper.name}-{orientation.value}")
    for paper in SIZES
    for orientation in Orientation
]


def crest_rail() -> Scene:
    """A crest rail 700 x 240 mm whose lower edge is one straight line."""
    path = (
        Line((0.0, 0.0), (700.0, 0.0), name="lower edge"),
        Line((700.0, 0.0), (700.0, 60.0)),
        Cubic((700.0, 60.0), (480.0, 300.0), (220.0, 300.0), (0.0, 60.0), name="crown"),
        Line((0.0, 60.0), (0.0, 0.0)),
    )
    return Scene(items=(Curve(path=path, stroke=Stroke.PATTERN, closed=True),), name="crest rail")


def lower_edge() -> Scene:
    """Just the 700 mm line."""
    return Scene(items=(Straight(start=(0.0, 0.0), end=(700.0, 0.0), stroke=Stroke.PATTERN),), name="lower edge")


def sheet_of(scene: Scene, paper: Paper, orientation: Orientation, roll: bool = False) -> Sheet:
    block = FullSize(scene=scene, roll=roll, note="finished outline, seen from the front")
    return Sheet(key="full", title="Crest rail, full size", blocks=(block,), paper=paper, orientation=orientation)


def pages_of(pdf: bytes) -> list[Page]:
    return list(pdfplumber.open(io.BytesIO(pdf)).pages)


def box(item: dict[str, float]) -> tuple[float, float, float, float]:
    """Left, right, top, bottom on the page [mm]."""
    return (item["x0"] * POINT, item["x1"] * POINT, item["top"] * POINT, item["bottom"] * POINT)


def crosses(page: Page) -> np.ndarray:
    """Centres of the rings of the register crosses on a page [mm], shape (n, 2)."""
    found = []
    for curve in page.curves:
        left, right, top, bottom = box(curve)
        if abs(right - left - 5.4) < 0.01 and abs(bottom - top - 5.4) < 0.01:
            found.append(((left + right) / 2.0, (top + bottom) / 2.0))
    return np.array(sorted(found)).reshape(-1, 2)


def tile_name(page: Page) -> str:
    return "".join(char["text"] for char in page.chars if char["size"] > 26.0)


def tiles_of(scene: Scene, paper: Paper, orientation: Orientation) -> dict[str, Page]:
    pages = pages_of(render_sheet(sheet_of(scene, paper, orientation), MADE).pdf)
    return {tile_name(page): page for page in pages if tile_name(page)}


def bars(page: Page) -> list[float]:
    """Length of each run of boxes of equal size: 10 of 10 mm, 4 of 1 in, across and up [mm]."""
    out = []
    boxes = [box(rect) for rect in page.rects]
    for step, count in ((10.0, 10), (25.4, 4)):
        across = [b for b in boxes if abs(b[1] - b[0] - step) < EXACT and b[3] - b[2] < 2.0]
        upright = [b for b in boxes if abs(b[3] - b[2] - step) < EXACT and b[1] - b[0] < 2.0]
        assert len(across) == len(upright) == count
        out.append(max(b[1] for b in across) - min(b[0] for b in across))
        out.append(max(b[3] for b in upright) - min(b[2] for b in upright))
    return out


@pytest.mark.parametrize(("paper", "orientation"), PAPERS)
def test_page_sizes_and_check_bars(paper: Paper, orientation: Orientation) -> None:
    width, height = SIZES[paper] if orientation is Orientation.UPRIGHT else SIZES[paper][::-1]
    tiles = tiles_of(crest_rail(), paper, orientation)
    assert tiles
    for page in tiles.values():
        assert (page.width * POINT, page.height * POINT) == pytest.approx((width, height), abs=EXACT)
        assert bars(page) == pytest.approx([100.0, 100.0, 101.6, 101.6], abs=EXACT)


@pytest.mark.parametrize(("paper", "orientation"), PAPERS)
def test_700_mm_across_tiles(paper: Paper, orientation: Orientation) -> None:
    """The tiles are brought together by their printed crosses only; the joined line is 700 mm long."""
    tiles = tiles_of(lower_edge(), paper, orientation)
    names = sorted(tiles, key=lambda name: int(name[1:]))
    assert len(names) > 1 and {name[0] for name in names} == {"A"}
    ends, moved = [], 0.0
    for name, follower in zip(names, [*names[1:], None], strict=True):
        page = tiles[name]
        line = next(item for item in page.lines if abs(item["linewidth"] * POINT - PENS[Stroke.PATTERN].width) < 1e-3)
        left, right, *_ = box(line)
        ends += [moved + left, moved + right]
        if follower is not None:
            here, there = crosses(page), crosses(tiles[follower])
            here, there = here[here[:, 0] > here[:, 0].max() - 1.0], there[there[:, 0] < there[:, 0].min() + 1.0]
            assert len(here) == len(there) == 2
            steps = here - there
            assert np.ptp(steps, axis=0).max() < EXACT
            assert abs(steps[0, 1]) < EXACT
            moved += float(steps[0, 0])
    assert max(ends) - min(ends) == pytest.approx(700.0, abs=EXACT)
    assert ends[0] == pytest.approx(ends[2], abs=EXACT)


def test_neighbours_overlap_by_what_was_asked() -> None:
    scene = lower_edge()
    for overlap in (10.0, 15.0, 25.0):
        sheet = Sheet(key="f", title="f", blocks=(FullSize(scene=scene, overlap=overlap),), paper=A4)
        pages = [page for page in pages_of(render_sheet(sheet, MADE).pdf) if tile_name(page)]
        first, second = crosses(pages[0])[:, 0].max(), crosses(pages[1])[:, 0].min()
        edge_right = max(box(line)[1] for line in pages[0].rects + pages[0].curves if box(line)[1] < 200.0)
        assert edge_right - first == pytest.approx(overlap / 2.0, abs=EXACT)
        assert second - 20.0 == pytest.approx(overlap / 2.0, abs=EXACT)


def test_a_roll_page_holds_it_in_one_piece() -> None:
    (page,) = pages_of(render_sheet(sheet_of(crest_rail(), A4, Orientation.UPRIGHT, roll=True), MADE).pdf)
    assert page.width * POINT > 700.0
    shape = next(curve for curve in page.curves if abs(box(curve)[1] - box(curve)[0] - 700.0) < 0.1)
    assert box(shape)[1] - box(shape)[0] == pytest.approx(700.0, abs=EXACT)
    assert bars(page) == pytest.approx([100.0, 100.0, 101.6, 101.6], abs=EXACT)


def test_a_roll_of_four_metres() -> None:
    line = Straight(start=(0.0, 0.0), end=(0.0, 4000.0), stroke=Stroke.PATTERN)
    scene = Scene(items=(line,), name="rod")
    (page,) = pages_of(render_sheet(sheet_of(scene, A4, Orientation.UPRIGHT, roll=True), MADE).pdf)
    longest = max(box(item)[3] - box(item)[2] for item in page.lines)
    assert longest == pytest.approx(4000.0, abs=EXACT)


def test_a_drawing_inside_a_sheet_keeps_its_scale_beside_other_blocks() -> None:
    """Lengths of a drawing at 1:1 and at 1:10 in the middle of an ordinary sheet, narrow column or wide."""
    bar = Scene(items=(CheckBar(at=(0.0, 0.0)),), name="check bar")
    rail = Scene(items=(Straight(start=(0, 0), end=(1500, 0), stroke=Stroke.PATTERN),), name="rail", scale=0.1)
    sheet = Sheet(key="s", title="s", blocks=(Drawing(scene=bar), Drawing(scene=rail, caption="1:10")))
    (page,) = pages_of(render_sheet(sheet, MADE).pdf)
    boxes = [box(rect) for rect in page.rects]
    tens = [b for b in boxes if abs(b[1] - b[0] - 10.0) < EXACT]
    assert max(b[1] for b in tens) - min(b[0] for b in tens) == pytest.approx(100.0, abs=EXACT)
    line = next(item for item in page.lines if abs(item["linewidth"] * POINT - PENS[Stroke.PATTERN].width) < 1e-3)
    assert box(line)[1] - box(line)[0] == pytest.approx(150.0, abs=EXACT)


def test_the_rendered_bar_is_100_mm_in_pixels() -> None:
    """254 dots to the inch: ten pixels a millimetre; the black boxes of the bar run from one end to the other."""
    tiles = render_sheet(sheet_of(crest_rail(), A4, Orientation.ACROSS), MADE).pdf
    bitmap = pypdfium2.PdfDocument(tiles)[1].render(scale=254 / 72, grayscale=True)
    picture = np.atleast_3d(bitmap.to_numpy())[:, :, 0]
    page = pages_of(tiles)[1]
    rows = [box(rect) for rect in page.rects if abs(box(rect)[1] - box(rect)[0] - 10.0) < EXACT]
    middle = round((rows[0][2] + rows[0][3]) / 2.0 * 10.0)
    left = round(min(b[0] for b in rows) * 10.0)
    dark = np.flatnonzero(picture[middle, left - 20 : left + 1020] < 128)
    assert (dark[-1] - dark[0]) / 10.0 == pytest.approx(100.0, abs=0.25)


def test_bars_and_names_keep_off_the_outline() -> None:
    """The outline is clipped to the window, and everything else lies outside it."""
    for page in tiles_of(crest_rail(), A4, Orientation.ACROSS).values():
        names = [box(char) for char in page.chars]
        bar_boxes = [box(rect) for rect in page.rects if min(rect["width"], rect["height"]) * POINT < 2.0]
        window = (20.0, page.width * POINT - 12.0, 32.0, page.height * POINT - 35.0)
        for left, right, top, bottom in [*names, *bar_boxes]:
            outside = right <= window[0] or left >= window[1] or bottom <= window[2] + 0.01 or top >= window[3] - 0.01
            assert outside, (left, right, top, bottom)


def test_readers_are_asked_not_to_scale() -> None:
    packet = Packet(title="p", sheets=(sheet_of(crest_rail(), LETTER, Orientation.UPRIGHT),))
    reader = PdfReader(io.BytesIO(render_packet(packet, MADE).pdf))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
