"""From a plan to files: the packet, plan.json, lists, board sketches, outlines and rods."""

from __future__ import annotations

from collections.abc import Sequence

from batchwright.app.planned import Planned, issue_mark
from batchwright.app.progress import Progress, silent
from batchwright.app.record import plan_as_json
from batchwright.base.length import Unit
from batchwright.handbook.adhesives import adhesive_named
from batchwright.handbook.finishes import finish_named
from batchwright.model.piece import KindId
from batchwright.sheets.render.csv_text import render_csv
from batchwright.sheets.render.dxf import DxfForm, render_dxf
from batchwright.sheets.render.pdf import render_packet, render_sheet
from batchwright.sheets.render.svg import render_svg
from batchwright.sheets.scene.sheet import A4, LETTER, Packet
from batchwright.sheets.views.boards import board_scene
from batchwright.sheets.views.csv_lists import BUYING_COLUMNS, CUTTING_COLUMNS, buying_rows, cutting_rows
from batchwright.sheets.views.made import Made, make
from batchwright.sheets.views.packet import (
    Contents,
    Patterns,
    make_packet,
    packet_entries,
    pattern_packet,
    pattern_scenes,
    roll_packet,
)
from batchwright.sheets.views.printing import Printing
from batchwright.sheets.views.rods import DIRECTIONS, rod_scene

LONGEST_NAME = 60
"""Letters of a file name: 240 bytes of UTF-8 at most; a disk takes 255."""


def contents_of(planned: Planned, made: Made | None = None) -> Contents:
    """What the sheets are made from."""
    numbers = {row.kind: index + 1 for index, row in enumerate(planned.cutting.rows)}
    totals = {row.kind: row.total for row in planned.cutting.rows}
    printing = Printing(
        unit=Unit.INCHES if planned.inches else Unit.MILLIMETRES,
        hands=planned.piece.draft.hands,
        numbers=numbers,
        totals=totals,
        currency=planned.shop.currency,
    )
    return Contents(
        made=made or make(planned.piece),
        cutting=planned.cutting,
        lumber=planned.lumber,
        findings=planned.findings,
        printing=printing,
        job=f"{planned.job.name}, {planned.job.copies} copies",
        copies=planned.job.copies,
        revision=issue_mark(planned.design_hash),
        date=planned.made.date().isoformat(),
        paper=planned.job.paper,
        said=_said(planned),
    )


def _said(planned: Planned) -> tuple[tuple[str, str], ...]:
    """What the job says besides the piece, for the cover; nothing where it does not say."""
    job = planned.job
    moisture = "" if job.moisture_now is None else f"{job.moisture_now:.1%} moisture".replace(".0%", "%")
    said = (
        ("glue", adhesive_named(job.glue).name.split(" (")[0] if job.glue else ""),
        ("finish", finish_named(job.finish).name if job.finish else ""),
        ("place", job.where),
        ("wood now", moisture.replace("%", " %")),
        ("due", job.due),
        ("shop", planned.shop.name),
        ("note", job.note),
    )
    return tuple((word, value) for word, value in said if value)


def packet_files(planned: Planned, progress: Progress = silent) -> dict[str, bytes]:
    """Every file of the packet by its name in the folder."""
    contents = contents_of(planned)
    progress("sheets", 0.5)
    files = {"plan.json": plan_as_json(planned), **list_files(planned, contents)}
    files |= _boards(contents)
    patterns = pattern_scenes(contents)
    files |= outline_files(planned, contents, patterns)
    progress("rods", 0.65)
    files |= rod_files(planned, contents, patterns)
    progress("packet", 0.75)
    files["packet.pdf"] = render_packet(make_packet(contents, patterns), planned.made).pdf
    progress("done", 1.0)
    return files


def sheet_keys(planned: Planned) -> tuple[tuple[str, str], ...]:
    """Key and title of every sheet of the packet."""
    return tuple((entry.key, entry.title) for entry in packet_entries(contents_of(planned)))


def one_sheet(planned: Planned, key: str) -> bytes | None:
    """One sheet again, as it stands in the packet; None where there is none of that key."""
    entry = next((one for one in packet_entries(contents_of(planned)) if one.key == key), None)
    return None if entry is None else render_sheet(entry.make(), planned.made).pdf


def list_files(planned: Planned, contents: Contents) -> dict[str, bytes]:
    """The lists, for spreadsheets."""
    return {
        "cutting-list.csv": render_csv(CUTTING_COLUMNS, cutting_rows(planned.cutting, contents.printing)),
        "buying-list.csv": render_csv(BUYING_COLUMNS, buying_rows(planned.cutting, planned.lumber, contents.printing)),
    }


def _boards(contents: Contents) -> dict[str, bytes]:
    lumber = contents.lumber
    if lumber is None:
        return {}
    plans = {plan.board: plan for plan in lumber.plans}
    used = [board for board in lumber.boards if board.name in plans]
    names = file_names([board.name for board in used])
    return {
        f"boards/{name}.svg": render_svg(board_scene(board, plans[board.name], lumber, contents.printing)).encode()
        for name, board in zip(names, used)
    }


def outline_files(planned: Planned, contents: Contents, patterns: Patterns) -> dict[str, bytes]:
    """The full-size outlines, each as a drawing, and all tiled on two papers."""
    files: dict[str, bytes] = {}
    for name, (scene, _) in zip(file_names([scene.name for scene, _ in patterns]), patterns):
        files[f"outlines/{name}.svg"] = render_svg(scene).encode()
        files[f"outlines/{name}.dxf"] = render_dxf(scene, DxfForm(inches=planned.inches)).encode()
    for paper in (A4, LETTER):
        _print(files, f"outlines/full-size-{paper.name}.pdf", pattern_packet(contents, paper, patterns), planned)
    return files


def rod_files(planned: Planned, contents: Contents, patterns: Patterns) -> dict[str, bytes]:
    """The rods, each as a drawing, and all with the outlines on a roll."""
    files: dict[str, bytes] = {}
    for direction in DIRECTIONS:
        scene = rod_scene(contents.made.piece, contents.made.bare_bounds, direction, contents.printing)
        files[f"rods/{direction.name}.svg"] = render_svg(scene).encode()
        files[f"rods/{direction.name}.dxf"] = render_dxf(scene, DxfForm(inches=planned.inches)).encode()
    _print(files, "rods/full-size-roll.pdf", roll_packet(contents, patterns), planned)
    return files


def _print(files: dict[str, bytes], name: str, packet: Packet | None, planned: Planned) -> None:
    if packet is not None:
        files[name] = render_packet(packet, planned.made).pdf


RESERVED = frozenset(
    {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(1, 10)), *(f"lpt{n}" for n in range(1, 10))}
)
"""Names that one system keeps for its devices."""


def file_name(name: str | KindId) -> str:
    """A name that every file system takes: letters and digits of any language, and single hyphens."""
    kept = "".join(letter if letter.isalnum() else "-" for letter in name)
    plain = "-".join(part for part in kept.split("-") if part)[:LONGEST_NAME] or "unnamed"
    return f"{plain}-file" if plain.casefold() in RESERVED else plain


def file_names(names: Sequence[str]) -> tuple[str, ...]:
    """A file name for each name, no two alike even where capitals count for nothing; later ones get a number."""
    taken: set[str] = set()
    given = []
    for name in names:
        plain = file_name(name)
        tries = (plain, *(f"{plain}-{number}" for number in range(2, len(names) + 2)))
        free = next(one for one in tries if one.casefold() not in taken)
        taken.add(free.casefold())
        given.append(free)
    return tuple(given)
