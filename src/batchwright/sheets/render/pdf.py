"""Packet to PDF, at exact scale and the same bytes each time. typst and pypdf enter here only."""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import typst
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject, NameObject, NumberObject

from batchwright.base.finding import Finding, Grade
from batchwright.sheets.render.paper import Typesetting, packet_data
from batchwright.sheets.scene.sheet import Packet, Sheet

HERE = Path(__file__).parent
FONTS = HERE / "fonts"
TEMPLATE = HERE / "template" / "packet.typ"


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
    data = packet_data(packet, setting)
    files = {name: svg.encode() for svg, name in setting.pictures.items()}
    files["main.typ"] = TEMPLATE.read_bytes()
    files["data.json"] = json.dumps(data, ensure_ascii=False).encode()
    virtual: Any = files  # the typesetter takes files in memory; its type hints do not say so
    raw = typst.compile(virtual, font_paths=_fonts(), ignore_system_fonts=True, timestamp=made)
    pdf, pages = _unscaled(raw)
    return Printed(pdf=pdf, pages=pages, findings=_missing(setting))


def render_sheet(sheet: Sheet, made: datetime) -> Printed:
    """One sheet by itself; its pages are those it has in the packet."""
    return render_packet(Packet(title=sheet.title, sheets=(sheet,)), made)


def _unscaled(raw: bytes) -> tuple[bytes, int]:
    """The same PDF, asking the reader's program not to scale it when it prints.

    The changed catalog is added behind the file, every byte before it kept (ISO 32000-1, 7.5.6 incremental updates):
    writing a long packet anew takes longer than setting it.
    """
    reader = PdfReader(io.BytesIO(raw))
    root = reader.root_object
    held = root.get("/ViewerPreferences", DictionaryObject()).get_object()
    preferences = held if isinstance(held, DictionaryObject) else DictionaryObject()
    preferences[NameObject("/PrintScaling")] = NameObject("/None")
    root[NameObject("/ViewerPreferences")] = preferences
    start = int(raw[raw.rindex(b"startxref") + len(b"startxref") : raw.rindex(b"%%EOF")])
    if not raw.startswith(b"xref", start):
        return _written_anew(raw, preferences), len(reader.pages)
    reference = reader.trailer.raw_get("/Root")
    stream = io.BytesIO()
    stream.write(raw.rstrip() + b"\n")
    place = stream.tell()
    stream.write(f"{reference.idnum} {reference.generation} obj\n".encode())
    root.write_to_stream(stream)
    stream.write(b"\nendobj\n")
    table = stream.tell()
    stream.write(f"xref\n{reference.idnum} 1\n{place:010d} {reference.generation:05d} n\r\ntrailer\n".encode())
    trailer = DictionaryObject(reader.trailer)
    trailer[NameObject("/Prev")] = NumberObject(start)
    trailer.write_to_stream(stream)
    stream.write(f"\nstartxref\n{table}\n%%EOF\n".encode())
    return stream.getvalue(), len(reader.pages)


def _written_anew(raw: bytes, preferences: DictionaryObject) -> bytes:
    """For a file whose table of objects is packed into a stream."""
    writer = PdfWriter(clone_from=io.BytesIO(raw))
    writer.root_object[NameObject("/ViewerPreferences")] = preferences
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


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
