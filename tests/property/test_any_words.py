"""Whatever a maker writes, paper comes out: words are data in every writer, and what cannot be printed is told."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ElementTree
from datetime import UTC, datetime

import ezdxf
from hypothesis import example, given, settings
from hypothesis import strategies as st

from batchwright.sheets.render.dxf import render_dxf
from batchwright.sheets.render.pdf import render_sheet
from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.metrics import missing_letters, printable
from batchwright.sheets.scene.primitives import Dimension, Group, Mark, MarkKind, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    Blanks,
    Caution,
    Column,
    Drawing,
    FullSize,
    Heading,
    KeyNumber,
    Paragraph,
    Sheet,
    Table,
    TickList,
)

MADE = datetime(2024, 5, 1, tzinfo=UTC)
anything = st.text(max_size=30)
nasty = st.text(alphabet="#$*_`<>@\\\"'/[]{}()~=-+%^&;|0169 \n\t漢\u202e\x00", max_size=30)
words = anything | nasty


@given(words)
@example('#panic("x")')
@example("#{while true {}}")
@example("%%d ^J \\U+0041 {\\fArial;x}")
@example("\ud800")
@settings(max_examples=40)
def test_any_words_make_a_sheet(text: str) -> None:
    table = Table(columns=(Column(title=text), Column(title="x", ticks=2)), rows=((text, text),), groups=((0, text),))
    scene = Scene(items=(Text(at=(0, 0), text=text[:8]), Group(name=text, items=())), name=text, about=text)
    blocks = (
        Heading(text=text),
        Paragraph(text=text),
        Caution(text=text),
        KeyNumber(label=text, value=text[:6], note=text),
        TickList(items=(text,)),
        Blanks(labels=(text,)),
        table,
        Drawing(scene=scene, caption=text, alt=text),
        FullSize(scene=scene, note=text),
    )
    made = render_sheet(Sheet(key=text, title=text, blocks=blocks, job=text, hand=text, units=text), MADE)
    assert made.pages >= 2
    assert {f.what for f in made.findings if f.code != "letter-not-printed"} == set()
    assert len(made.findings) == len(missing_letters(text))


@given(words)
@settings(max_examples=60)
def test_any_words_make_svg_and_dxf_and_are_read_back(text: str) -> None:
    items = (
        Text(at=(0, 0), text=text),
        Dimension(start=(0, 0), end=(50, 0), label=text),
        Mark(kind=MarkKind.NUMBER, at=(9, 9), text=text),
        Group(name=text, items=()),
    )
    scene = Scene(items=items, name=text, about=text)
    root = ElementTree.fromstring(render_svg(scene))
    said = [element.text or "" for element in root.iter("{http://www.w3.org/2000/svg}text")]
    assert said == [printable(text)] * 3
    document = ezdxf.read(io.StringIO(render_dxf(scene)))
    assert not document.audit().errors
    told = [entity.plain_text() for entity in document.modelspace().query("TEXT")]
    shown = printable(text)
    assert told == ([shown] * 3 if shown.strip() else [])
