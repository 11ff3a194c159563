"""Drawings made to be endless are refused, and at once: parts that repeat parts that repeat others, or themselves."""

from __future__ import annotations

import io
import time
from collections.abc import Callable
from typing import Any

import ezdxf
import pytest

from batchwright.design.outlines.dxf_in import read_dxf
from batchwright.design.outlines.strokes import Unreadable
from batchwright.design.outlines.svg_in import read_svg

AT_ONCE = 10.0
"""Processor seconds; such a drawing would take days."""
SQUARE = '<path d="M0 0H10V10H0Z"/>'
XLINK = 'xmlns:xlink="http://www.w3.org/1999/xlink"'


def svg(inner: str) -> bytes:
    """A drawing of 100 mm."""
    size = 'width="100mm" height="100mm" viewBox="0 0 100 100"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {XLINK} {size}>{inner}</svg>'.encode()


def _repeated(link: str, depth: int) -> str:
    groups = [f'<g id="a{n}">' + f'<use {link}="#a{n - 1}"/>' * 10 + "</g>" for n in range(1, depth)]
    return f'<defs><g id="a0">{SQUARE}</g>{"".join(groups)}</defs><use {link}="#a{depth - 1}"/>'


def _entities() -> bytes:
    more = "".join(f"<!ENTITY l{n} '{f'&l{n - 1};' * 10}'>" for n in range(1, 10))
    return b"<!--" + b" " * 120_000 + f"--><!DOCTYPE l [<!ENTITY l0 'x'>{more}]>".encode() + svg("<text>&l9;</text>")


def _outside() -> bytes:
    return b"<!DOCTYPE l [<!ENTITY x SYSTEM 'file:///etc/passwd'>]>" + svg(f"<title>&x;</title>{SQUARE}")


@pytest.mark.parametrize(
    "content",
    [
        svg(_repeated("xlink:href", 10)), svg(_repeated("href", 10)), svg(f'<g id="a"><use href="#a"/>{SQUARE}</g>'),
        svg('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>'), _entities(), _outside(),
        svg("<g>" * 60_000 + "</g>" * 60_000), svg(SQUARE * 5000),
    ],
    ids=["repeated", "repeated without a prefix", "itself", "each other", "entities", "a file", "deep", "many"],
)  # fmt: skip
def test_an_endless_svg_is_refused_at_once(content: bytes) -> None:
    begun = time.process_time()
    with pytest.raises(Unreadable) as refused:
        read_svg(content)
    assert time.process_time() - begun < AT_ONCE
    assert refused.value.args


def test_a_drawing_with_parts_repeated_as_people_do_is_read() -> None:
    """What is repeated is told as such and not read; what stands beside it is."""
    held = read_svg(svg(_repeated("xlink:href", 3) + SQUARE))
    assert len(held.strokes) == 1
    assert ("", "use") in held.besides


def _blocks(drawing: Any) -> None:
    drawing.blocks.new("A0").add_lwpolyline([(0, 0), (10, 0), (10, 10), (0, 10)], close=True)
    for number in range(1, 10):
        block = drawing.blocks.new(f"A{number}")
        for step in range(10):
            block.add_blockref(f"A{number - 1}", (step, 0))
    drawing.modelspace().add_blockref("A9", (0, 0))


def _grid(drawing: Any) -> None:
    drawing.blocks.new("A0").add_lwpolyline([(0, 0), (10, 0), (10, 10), (0, 10)], close=True)
    grid = drawing.modelspace().add_blockref("A0", (0, 0))
    grid.dxf.row_count = grid.dxf.column_count = 30_000
    grid.dxf.row_spacing = grid.dxf.column_spacing = 20.0


def _itself(drawing: Any) -> None:
    block = drawing.blocks.new("A0")
    block.add_line((0, 0), (1, 1))
    block.add_blockref("A0", (1, 0))
    drawing.modelspace().add_blockref("A0", (0, 0))


@pytest.mark.parametrize("draw", [_blocks, _grid, _itself])
def test_an_endless_dxf_ends_at_once(draw: Callable[[Any], None]) -> None:
    drawing = ezdxf.new()
    draw(drawing)
    text = io.StringIO()
    drawing.write(text)
    begun = time.process_time()
    try:
        held = read_dxf(text.getvalue().encode())
    except Unreadable:
        held = None
    assert time.process_time() - begun < AT_ONCE
    assert held is None or len(held.strokes) <= 4000
