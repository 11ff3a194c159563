"""Widths and marks of letters, held against the font files themselves (read with fontTools)."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from batchwright.sheets.render.pdf import FONTS
from batchwright.sheets.scene.metrics import (
    CAP_HEIGHT,
    missing_letters,
    mistakable,
    printable,
    text_box,
    text_extent,
    text_width,
)
from batchwright.sheets.scene.primitives import Level, Side, Text, Weight


@pytest.fixture(scope="module", params=[("DejaVuSans.ttf", Weight.NORMAL), ("DejaVuSans-Bold.ttf", Weight.BOLD)])
def font(request: pytest.FixtureRequest) -> tuple[TTFont, Weight]:
    name, weight = request.param
    return TTFont(Path(FONTS) / name), weight


def test_every_width_equals_the_fonts(font: tuple[TTFont, Weight]) -> None:
    file, weight = font
    letters, metrics, units = file.getBestCmap(), file["hmtx"], file["head"].unitsPerEm
    checked = 0
    for code, glyph in letters.items():
        if (0x20 <= code <= 0x52F or 0x1E00 <= code <= 0x27BF) and not missing_letters(chr(code)):
            assert text_width(chr(code), 1.0, weight) == pytest.approx(metrics[glyph][0] / units, abs=1e-12), hex(code)
            checked += 1
    assert checked > 2000
    assert missing_letters("\u200b\u202e\u2066") == ("\u200b", "\u202e", "\u2066")


def test_letters_told_missing_are_missing_and_no_latin_letter_is(font: tuple[TTFont, Weight]) -> None:
    file, _ = font
    have = set(file.getBestCmap())
    for code in [*range(0x20, 0x7F), *range(0xA0, 0x250), 0x2014, 0x00D7, 0x2153, 0x215E, 0x2300]:
        assert (missing_letters(chr(code)) == ()) == (code in have), hex(code)


def test_figures_and_capitals_stay_inside_their_box(font: tuple[TTFont, Weight]) -> None:
    file, weight = font
    glyphs, letters = file["glyf"], file.getBestCmap()
    for letter in "0123456789HXZ":
        glyph = glyphs[letters[ord(letter)]]
        _, low, _, high = text_extent(Text(at=(0, 0), text=letter, size=1.0, weight=weight))
        assert low <= glyph.yMin / 2048 and glyph.yMax / 2048 <= high
    assert glyphs[letters[ord("H")]].yMax / 2048 == pytest.approx(CAP_HEIGHT, abs=5e-4)


@pytest.mark.parametrize("text", ["6", "9", "66", "16", "9 1/16", "1 9/16", "96"])
def test_figures_that_read_upside_down_are_barred(text: str) -> None:
    assert mistakable(text)


@pytest.mark.parametrize("text", ["8", "10", "6 in", "6 3/4", "rail 6", "27", "", "26"])
def test_figures_that_cannot_be_turned_are_not_barred(text: str) -> None:
    assert not mistakable(text)


def test_missing_letters_are_shown_by_the_replacement_mark() -> None:
    assert missing_letters("a漢b字漢") == ("漢", "字")
    assert printable("a漢\tb") == "a\ufffd b"


def test_text_box_turns_about_its_anchor_and_grows_as_the_scale_shrinks() -> None:
    text = Text(at=(100.0, 50.0), text="16 1/4", size=4.0, angle=math.pi / 2, side=Side.MIDDLE, level=Level.MIDDLE)
    box = text_box(text, 0.1)
    width = text_width("16 1/4", 4.0) / 0.1
    assert max(v for _, v in box) - min(v for _, v in box) == pytest.approx(width)
    assert (min(v for _, v in box) + max(v for _, v in box)) / 2 == pytest.approx(50.0)
