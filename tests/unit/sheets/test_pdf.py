"""The packet as PDF: words stay words, sheets reprint alike, numbers are large, bytes repeat."""

from __future__ import annotations

import hashlib
import io
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest
from pdfplumber.page import Page
from pypdf import PdfReader, PdfWriter

from batchwright.sheets.render.pdf import render_packet, render_sheet
from batchwright.sheets.scene.primitives import CheckBar, Group, Straight, Text
from batchwright.sheets.scene.scene import Scene
from batchwright.sheets.scene.sheet import (
    A4,
    Beside,
    Blanks,
    Block,
    Caution,
    Column,
    Drawing,
    FullSize,
    Heading,
    KeyNumber,
    KeyNumbers,
    Packet,
    PageBreak,
    Paragraph,
    Sheet,
    Table,
    TickList,
    fitting_scale,
    room,
    scale_words,
)

from .drawn_leg import drawn_leg

MADE = datetime(2024, 5, 1, tzinfo=UTC)
NASTY = '#panic("x") $a^2$ *bold* _it_ `raw` <label> @ref \\ "quotes" \'single\' // no /* no */ = head - list [b] {c} ~'


def sheet(*blocks: Block, key: str = "leg", title: str = "Leg, left") -> Sheet:
    return Sheet(
        key=key,
        title=title,
        blocks=blocks,
        job="Terrace armchair × 8",
        revision="C",
        date="1 May 2024",
        units="inches, to 1/32",
        hand="left = as seated",
        exact=True,
    )


def pages_of(pdf: bytes) -> list[Page]:
    return list(pdfplumber.open(io.BytesIO(pdf)).pages)


def words_of(page: Page) -> str:
    return " ".join(page.extract_text().split())


def one_of_everything() -> Sheet:
    table = Table(
        columns=(Column(title="no."), Column(title="part", share=3), Column(title="length", number=True, key=True),
                 Column(title="done", ticks=3, share=2)),
        rows=(("1", "rail", "16 3/8", ""), ("2", "stretcher", "17", "one spare")),
        groups=((1, "thickness 5/4"),),
        caption="Saw",
    )  # fmt: skip
    return sheet(
        Heading(text="Mortise"),
        Beside(
            left=(Drawing(scene=drawn_leg(0.2), caption="Leg 1:5"),),
            right=(KeyNumber(label="fence", value="9", note="to face side"), Blanks(labels=("measured", "by"))),
            share=0.65,
        ),
        KeyNumbers(numbers=(KeyNumber(label="depth", value="1 3/8"), KeyNumber(label="stop", value="12 7/16"))),
        table,
        TickList(items=("Face side to the fence", "Test cut"), numbered=True),
        Caution(text="The machine's own manual decides."),
        Paragraph(text="A note.", small=True),
        PageBreak(),
        Paragraph(text="Second page."),
    )


def test_words_are_never_read_as_markup() -> None:
    table = Table(columns=(Column(title=NASTY),), rows=((NASTY,),), groups=((0, NASTY),), caption=NASTY)
    everything = (
        Heading(text=NASTY),
        Paragraph(text=NASTY),
        Caution(text=NASTY),
        KeyNumber(label=NASTY, value="1", note=NASTY),
        TickList(items=(NASTY,)),
        Blanks(labels=(NASTY,)),
        table,
    )
    made = render_sheet(sheet(*everything, key="#key", title=NASTY), MADE)
    text = "".join(words_of(page) for page in pages_of(made.pdf)).replace(" ", "")
    assert text.count(NASTY.replace(" ", "")[:12]) == 12
    assert made.findings == ()


def test_names_from_many_lands_are_printed_as_they_are() -> None:
    names = "Schränkchen Ångström naïve Łódź Ćevapi Ørsted Ğ ½ ⅜ 12′ 30° ± × − “leg” ‘left’ – …"
    (page,) = pages_of(render_sheet(sheet(Paragraph(text=names)), MADE).pdf)
    assert names.replace(" ", "") in page.extract_text().replace(" ", "").replace("\n", "")


def test_letters_that_cannot_be_printed_are_told_once_with_their_sheet() -> None:
    scene = Scene(items=(Text(at=(0, 0), text="漢"), Straight(start=(0, 0), end=(9, 9))), name="leg")
    made = render_packet(
        Packet(
            title="p",
            sheets=(
                sheet(Paragraph(text="fine"), key="a"),
                sheet(Drawing(scene=scene), Paragraph(text="漢字"), key="b"),
            ),
        ),
        MADE,
    )
    assert [(f.code, f.about) for f in made.findings] == [("letter-not-printed", ("b",))] * 2
    assert "漢" in made.findings[0].what and "U+6F22" in made.findings[0].what and made.findings[0].mend
    assert "\ufffd\ufffd" in pages_of(made.pdf)[1].extract_text()


def test_every_page_carries_job_title_revision_date_units_hand_and_its_number() -> None:
    rows = tuple((str(i), f"rail {i}") for i in range(100))
    table = Table(columns=(Column(title="no."), Column(title="part")), rows=rows)
    pages = pages_of(render_sheet(sheet(table), MADE).pdf)
    assert len(pages) == 3
    for index, page in enumerate(pages):
        text = words_of(page)
        for part in ("Terrace armchair × 8", "Leg, left", "issue C", "1 May 2024", "inches, to 1/32"):
            assert part.replace(" ", "") in text.replace(" ", "") or all(word in text for word in part.split()), part
        assert "left = as seated" in text and "print at actual size" in text
        assert f"leg · page {index + 1} of 3" in text
        assert "no. part" in text


def test_sheets_that_need_not_be_exact_do_not_say_so_but_full_size_ones_always_do() -> None:
    plain = Sheet(key="a", title="a", blocks=(Paragraph(text="x"),))
    full = Sheet(key="b", title="b", blocks=(FullSize(scene=drawn_leg(1.0)),))
    assert "actual size" not in words_of(pages_of(render_sheet(plain, MADE).pdf)[0])
    assert all("actual size" in words_of(page) for page in pages_of(render_sheet(full, MADE).pdf))


def test_full_size_pages_are_counted_with_their_sheet() -> None:
    after = sheet(Paragraph(text="after"), key="after")
    for blocks, count in (
        ((FullSize(scene=drawn_leg(1.0)),), 4),
        ((Paragraph(text="see"), PageBreak(), FullSize(scene=drawn_leg(1.0)), Paragraph(text="end")), 6),
        ((FullSize(scene=drawn_leg(1.0), roll=True),), 1),
    ):
        made = render_packet(Packet(title="p", sheets=(sheet(*blocks, key="full"), after)), MADE)
        told = [words_of(page) for page in pages_of(made.pdf)]
        assert len(told) == count + 1
        for index, text in enumerate(told[:-1]):
            assert f"full · page {index + 1} of {count}" in text
        assert "after · page 1 of 1" in told[-1]


def test_a_full_size_page_has_one_pair_of_bars_even_if_the_scene_brings_its_own() -> None:
    bar = Group(name="bars", items=(CheckBar(at=(0.0, -60.0)),))
    scene = Scene(items=(bar, CheckBar(at=(0, 40)), Straight(start=(0, 0), end=(100, 0))), name="a")
    (page,) = pages_of(render_sheet(sheet(FullSize(scene=scene)), MADE).pdf)
    assert page.extract_text().count("100 mm") == 1


def test_body_is_12_points_and_key_numbers_18_or_more() -> None:
    pages = pages_of(render_sheet(one_of_everything(), MADE).pdf)
    sizes: dict[str, set[float]] = {}
    for page in pages:
        level = page.filter(lambda thing: abs(thing.get("matrix", (1.0, 0.0))[1]) < 1e-6)
        for word in level.extract_words(extra_attrs=["size"], y_tolerance=1.0):
            sizes.setdefault(word["text"], set()).add(round(word["size"], 2))
    assert min(sizes["Face"]) >= 12.0 and min(sizes["stretcher"]) >= 12.0 and min(sizes["manual"]) >= 12.0
    assert max(sizes["7/16"]) >= 18.0 and max(sizes["17"]) >= 18.0 and min(sizes["7/16"]) >= 18.0
    assert {word: held for word, held in sizes.items() if min(held) < 8.99} == {}
    with pytest.raises(ValueError, match="18 pt or more"):
        KeyNumber(label="fence", value="1", points=14.0)


def test_a_key_number_that_reads_upside_down_is_barred() -> None:
    def bars(value: str) -> int:
        (page,) = pages_of(render_sheet(sheet(KeyNumber(label="fence", value=value)), MADE).pdf)
        x0 = min(char["x0"] for char in page.chars if char["size"] > 20.0)
        return sum(abs(line["x0"] - x0) < 3.0 and line["width"] < 60.0 for line in page.lines)

    assert (bars("9"), bars("7")) == (1, 0)


def test_tick_boxes_are_large_enough_for_a_pencil() -> None:
    (page, _) = pages_of(render_sheet(one_of_everything(), MADE).pdf)
    squares = [r for r in page.rects + page.curves if abs(r["width"] - r["height"]) < 0.1 and 12.0 < r["width"] < 20.0]
    assert len(squares) == 3 + 3 + 2


def test_reprinting_one_sheet_gives_the_page_of_the_packet() -> None:
    """Same marks in the same places: characters, lines, boxes and curves of the page compared one by one."""
    first = sheet(Paragraph(text="before"), key="before")
    packet = Packet(title="p", sheets=(first, one_of_everything(), sheet(Paragraph(text="after"), key="after")))
    alone, among = (
        pages_of(render_sheet(one_of_everything(), MADE).pdf),
        pages_of(render_packet(packet, MADE).pdf)[1:3],
    )
    for one, other in zip(alone, among, strict=True):
        assert marks(one) == marks(other)


def marks(page: Page) -> list[tuple[object, ...]]:
    out: list[tuple[object, ...]] = []
    for kind in ("chars", "lines", "rects", "curves"):
        for item in getattr(page, kind):
            place = tuple(round(item[key], 4) for key in ("x0", "x1", "top", "bottom"))
            out.append((kind, item.get("text"), item.get("size"), *place))
    return out


def test_same_packet_same_bytes_in_another_process_too() -> None:
    code = (
        "import hashlib, sys; from datetime import datetime, UTC; sys.path.insert(0, sys.argv[1]);"
        "from drawn_leg import drawn_leg; from batchwright.sheets.render.pdf import render_sheet;"
        "from batchwright.sheets.scene.sheet import *;"
        "s = Sheet(key='a', title='a', blocks=(Drawing(scene=drawn_leg()), FullSize(scene=drawn_leg(1.0))));"
        "print(hashlib.sha256(render_sheet(s, datetime(2024, 5, 1, tzinfo=UTC)).pdf).hexdigest())"
    )
    folder = str(Path(__file__).parent)
    done = subprocess.run([sys.executable, "-c", code, folder], capture_output=True, text=True, check=True)
    same = Sheet(key="a", title="a", blocks=(Drawing(scene=drawn_leg()), FullSize(scene=drawn_leg(1.0))))
    assert done.stdout.strip() == hashlib.sha256(render_sheet(same, MADE).pdf).hexdigest()


def test_the_date_is_the_one_given_and_needs_its_zone() -> None:
    reader = PdfReader(io.BytesIO(render_sheet(one_of_everything(), MADE).pdf))
    assert reader.metadata is not None and reader.metadata.creation_date == MADE
    assert reader.metadata.title == "Leg, left"
    with pytest.raises(ValueError, match="time zone"):
        render_sheet(one_of_everything(), datetime(2024, 5, 1))  # noqa: DTZ001


def test_the_file_stays_whole_when_the_wish_not_to_scale_is_added() -> None:
    """Read strictly by pypdf and without repair by pypdfium2; what stood in the catalog still stands there."""
    made = render_sheet(one_of_everything(), MADE)
    reader = PdfReader(io.BytesIO(made.pdf), strict=True)
    root = reader.root_object
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert {"/Pages", "/Metadata", "/Lang", "/StructTreeRoot", "/MarkInfo"} <= set(root)
    assert len(reader.pages) == made.pages == len(pypdfium2.PdfDocument(made.pdf)) == 2
    assert made.pdf.startswith(b"%PDF-1.7") and made.pdf.count(b"%%EOF") == 2
    packed = io.BytesIO()
    PdfWriter(clone_from=reader).write(packed)
    assert pages_of(packed.getvalue())[0].extract_text() == pages_of(made.pdf)[0].extract_text()


def test_a_drawing_larger_than_its_sheet_is_refused_with_both_sizes() -> None:
    wide = Scene(items=(Straight(start=(0, 0), end=(400, 0)),), name="rail")
    with pytest.raises(ValueError, match=r"'leg'.*'rail'.*402\.0 x 2\.0.*182\.0 x 248\.0"):
        render_sheet(sheet(Drawing(scene=wide)), MADE)


def test_the_largest_drawing_that_fits_stays_on_one_page() -> None:
    width, height = room(sheet())
    scale = fitting_scale((1000.0, 2800.0), (width - 2.0, height - 2.0))
    assert scale == 0.08 and scale_words(scale) == "1 : 12.5"
    inches = fitting_scale((1000.0, 2800.0), (width, height), inches=True)
    assert inches == 1 / 12 and scale_words(inches) == "1 : 12"
    assert scale_words(fitting_scale((10.0, 10.0), (width, height))) == "full size"
    assert fitting_scale((1e6, 1e6), (width, height)) == 0.01
    corner = Scene(items=(Straight(start=(0, 0), end=(width - 2.0, height - 2.0)),), name="whole")
    assert len(pages_of(render_sheet(sheet(Drawing(scene=corner)), MADE).pdf)) == 1


def test_a_long_title_shrinks_before_it_wraps() -> None:
    long = "Front seat rail, back left and back right, with its haunched tenons"
    (page,) = pages_of(render_sheet(sheet(Paragraph(text="x"), title=long), MADE).pdf)
    sizes = {round(c["size"], 1) for c in page.chars if "Bold" in c["fontname"] and c["top"] < 70 and c["size"] < 14}
    assert min(sizes) >= 11.0
    assert long in words_of(page)


def test_pictures_can_be_heard_as_well() -> None:
    made = render_sheet(sheet(Drawing(scene=drawn_leg(0.2), alt="Leg with one mortise")), MADE)
    assert b"Leg with one mortise" in made.pdf or "Leg with one mortise".encode("utf-16-be") in made.pdf


def test_two_sheets_with_one_key_are_refused_and_so_are_rows_of_the_wrong_length() -> None:
    with pytest.raises(ValueError, match="same key: leg"):
        Packet(title="p", sheets=(sheet(), sheet()))
    with pytest.raises(ValueError, match="row 0 has 1 cells, the table 2 columns"):
        Table(columns=(Column(title="a"), Column(title="b")), rows=(("x",),))


def test_an_empty_sheet_and_an_empty_packet_do_not_fail() -> None:
    assert render_sheet(sheet(), MADE).pages == 1
    assert render_sheet(sheet(Table(columns=(Column(title="a"),), rows=()), KeyNumbers(numbers=())), MADE).pages == 1


def test_forty_sheets_in_two_seconds() -> None:
    """The target of the whole packet: 40 sheets in 2 s on two cores."""
    sheets = tuple(
        sheet(Drawing(scene=drawn_leg(0.4)), *one_of_everything().blocks[2:5], key=f"s{index}") for index in range(40)
    )
    start = time.perf_counter()
    made = render_packet(Packet(title="p", sheets=sheets), MADE)
    assert made.pages >= 40
    assert time.perf_counter() - start < 4.0  # the machine may be busy; about 0.5 s when it is not


def test_page_sizes_follow_each_sheet() -> None:
    assert room(Sheet(key="a", title="a", blocks=(), paper=A4)) == (182.0, 248.0)
