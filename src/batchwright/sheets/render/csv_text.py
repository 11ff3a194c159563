"""Rows of words as CSV (RFC 4180), UTF-8 with a mark so that spreadsheets read every letter right."""

from __future__ import annotations

import csv
import io


def render_csv(columns: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> bytes:
    """A table with its heading. A cell that a spreadsheet would take for a formula is kept as words."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_inert(cell) for cell in row] for row in rows)
    return b"\xef\xbb\xbf" + stream.getvalue().encode()


def _inert(cell: str) -> str:
    number = cell.lstrip("+-").replace(".", "", 1).isdigit()
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@") and not number else cell
