"""Packet to PDF, at exact scale and the same bytes each time. typst and pypdf enter here only."""

from __future__ import annotations

import io
import json
import re
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import typst

from batchwright.base.finding import Finding, Grade
from batchwright.sheets.render.paper import Typesetting, packet_data
from batchwright.sheets.scene.sheet import Packet, Sheet

HERE = Path(__file__).parent
FONTS = HERE / "fonts"
TEMPLATE = HERE / "template" / "packet.typ"
KEPT = 12
"""The typesetter lets go of what it laid out once it has set this many other documents (10, and a little)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A PDF and what the reader of the paper should be told about it."""

    pdf: bytes
    pages: int
    findings: tuple[Finding, ...] = ()


@cache
def _fonts() -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])


def render_packet(packet: Packet, made: datetime) -> Printed:
    """The packet as PDF; `made` (with its time zone) is the date the file carries. Same packet, same bytes.

    Raises
    ------
    ValueError
        If a drawing is larger than its sheet, a full-size scene is not at scale 1, or `made` has no time zone.
    """
    if made.tzinfo is None:
        raise ValueError("the time a packet was made needs a time zone")
    setting = Typesetting()
    files = _files(packet, setting)
    forget()
    virtual: Any = files  # the typesetter takes files in memory; its type hints do not say so
    raw = typst.compile(virtual, font_paths=_fonts(), ignore_system_fonts=True, timestamp=made)
    pdf, pages = _unscaled(raw)
    return Printed(pdf=pdf, pages=pages, findings=_missing(setting))


def render_pages(sheet: Sheet, made: datetime) -> tuple[bytes, ...]:
    """The pages of one sheet as SVG, for a screen: the same setting as on paper, page by page."""
    virtual: Any = _files(Packet(title=sheet.title, sheets=(sheet,)), Typesetting())
    pages: Any = typst.compile(
        virtual, format="svg", font_paths=_fonts(), ignore_system_fonts=True, timestamp=made
    )  # one page alone comes without a list
    return tuple(pages) if isinstance(pages, list) else (pages,)


def _files(packet: Packet, setting: Typesetting) -> dict[str, bytes]:
    """What the typesetter reads, by file name; missing letters go into `setting`."""
    data = json.dumps(packet_data(packet, setting), ensure_ascii=False).encode()
    pictures = {name: svg.encode() for svg, name in setting.pictures.items()}
    setting.pictures.clear()
    return {**pictures, "main.typ": TEMPLATE.read_bytes(), "data.json": data}


def forget() -> None:
    """Let the typesetter free what it keeps of earlier documents: about 1 MB a page. Takes some 10 ms."""
    nothing: Any = {"main.typ": b""}
    compiler = typst.Compiler(nothing, font_paths=_fonts(), ignore_system_fonts=True)
    for _ in range(KEPT):
        compiler.compile(input=nothing, format="svg")


def render_sheet(sheet: Sheet, made: datetime) -> Printed:
    """One sheet by itself; its pages are those it has in the packet."""
    return render_packet(Packet(title=sheet.title, sheets=(sheet,)), made)


def _unscaled(raw: bytes) -> tuple[bytes, int]:
    """The same PDF, asking the reader's program not to scale it when it prints; and how many pages it has.

    The changed catalog is added behind the file, every byte before it kept (ISO 32000-1, 7.5.6 incremental updates):
    writing a long packet anew takes longer than setting it.
    """
    start = int(raw[raw.rindex(b"startxref") + len(b"startxref") : raw.rindex(b"%%EOF")])
    trailer = raw[raw.rfind(b"trailer") + len(b"trailer") : raw.rindex(b"startxref")].strip()
    root = re.search(rb"/Root\s+(\d+)\s+(\d+)\s+R", trailer)
    pages = re.search(rb"/Type\s*/Pages\s*/Count\s+(\d+)", raw)
    catalog = re.search(rb"\n%b %b obj\s+(<<.*?>>)\s+endobj" % root.groups(), raw, re.DOTALL) if root else None
    if not (raw.startswith(b"xref", start) and root and pages and catalog):
        return _written_anew(raw)
    number, generation = root.groups()
    body = catalog[1].replace(b"/ViewerPreferences<<", b"/ViewerPreferences<</PrintScaling/None", 1)
    if body == catalog[1]:
        body = body[:-2] + b"/ViewerPreferences<</PrintScaling/None>>>>"
    before = raw.rstrip() + b"\n"
    changed = b"%b %b obj\n%b\nendobj\n" % (number, generation, body)
    table = b"xref\n%b 1\n%010d %05d n\r\n" % (number, len(before), int(generation))
    ending = b"trailer\n%b/Prev %d>>\nstartxref\n%d\n%%%%EOF\n" % (trailer[:-2], start, len(before) + len(changed))
    return before + changed + table + ending, int(pages[1])


def _written_anew(raw: bytes) -> tuple[bytes, int]:
    """For a file whose catalog is packed into a stream. The library for it is large: it is read in only here."""
    from pypdf import PdfWriter
    from pypdf.generic import DictionaryObject, NameObject

    writer = PdfWriter(clone_from=io.BytesIO(raw))
    held = writer.root_object.get("/ViewerPreferences", DictionaryObject()).get_object()
    preferences = held if isinstance(held, DictionaryObject) else DictionaryObject()
    preferences[NameObject("/PrintScaling")] = NameObject("/None")
    writer.root_object[NameObject("/ViewerPreferences")] = preferences
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue(), len(writer.pages)


def _missing(setting: Typesetting) -> tuple[Finding, ...]:
    return tuple(
        Finding(
            code="letter-not-printed",
            grade=Grade.NOTE,
            what=f"On sheet '{sheet}' the letter '{letter}' (U+{ord(letter):04X}) cannot be printed: "
            "\ufffd stands for it.",
            mend="write the word with other letters",
            why="the letters that come with the program do not have it",
            about=(sheet,),
        )
        for letter, sheet in setting.missing.items()
    )
