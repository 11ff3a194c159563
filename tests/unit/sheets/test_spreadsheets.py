"""Workbooks and lists, read again with openpyxl: numbers are numbers, and no name is ever a formula."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from functools import cache
from typing import Any

import openpyxl
import pytest

from batchwright.app.export import export_files
from batchwright.base.length import INCH
from batchwright.sheets.render.xlsx import WorkbookForm, render_workbook
from batchwright.sheets.scene.grid import Field, Grid
from batchwright.sheets.views.naming import lettered
from example_packets import JOBS, planned

FORM = WorkbookForm(title="Trial", made=datetime(2024, 5, 1, 12, 0, tzinfo=UTC), paper="A4")
EVIL = ("=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "{=A1}", "http://example.org", "12", "\t=1")


def workbook(content: bytes) -> Any:
    return openpyxl.load_workbook(io.BytesIO(content))


@cache
def lists(name: str, unit: str) -> dict[str, bytes]:
    plan = planned(name)
    return export_files(replace(plan, job=replace(plan.job, print_in=unit)), ["xlsx", "csv"])


@cache
def sheets(name: str, unit: str = "in") -> dict[str, list[dict[str, Any]]]:
    """Each sheet's rows, by the titles of its columns."""
    content = next(content for file, content in lists(name, unit).items() if file.endswith(".xlsx"))
    found = {}
    for sheet in workbook(content).worksheets:
        rows = list(sheet.iter_rows(min_row=3, values_only=True))
        found[sheet.title] = [dict(zip(rows[0], row, strict=True)) for row in rows[1:]]
    return found


def test_words_stay_words_whatever_they_look_like() -> None:
    grid = Grid(name="Parts", title="parts", fields=(Field(title="=A1"),), rows=tuple((one,) for one in EVIL))
    content = render_workbook([grid], FORM)
    sheet = workbook(content)["Parts"]
    assert [sheet.cell(row, 1).value for row in range(4, 4 + len(EVIL))] == list(EVIL)
    assert {cell.data_type for row in sheet.iter_rows() for cell in row if cell.value is not None} == {"s"}
    assert all(cell.hyperlink is None for row in sheet.iter_rows() for cell in row)
    inner = zipfile.ZipFile(io.BytesIO(content)).read("xl/worksheets/sheet1.xml")
    assert b"<f>" not in inner and b"<hyperlink" not in inner


def test_numbers_are_numbers_with_their_digits_and_gaps_stay_empty() -> None:
    fields = (Field(title="What"), Field(title="Length, in", digits=3), Field(title="Count", digits=0))
    grid = Grid(name="a", title="b", fields=fields, rows=(("x", 12.3456, 3.0), ("y", None, None)))
    sheet = workbook(render_workbook([grid], FORM))["a"]
    assert (sheet["B4"].value, sheet["B4"].number_format, sheet["B4"].data_type) == (12.3456, "0.000", "n")
    assert (sheet["C4"].value, sheet["C4"].number_format) == (3, "0")
    assert sheet["B5"].value is None and sheet["C5"].value is None


def test_a_sheet_is_ready_to_print() -> None:
    grid = Grid(name="a", title="list", fields=(Field(title="What", wide=33),), rows=(("x",),))
    sheet = workbook(render_workbook([grid], FORM))["a"]
    assert sheet["A1"].value == "Trial: list"
    assert sheet.freeze_panes == "A4"
    assert sheet.print_title_rows in ("3:3", "$3:$3")
    assert sheet.page_setup.orientation == "landscape" and sheet.page_setup.paperSize in (9, "9")
    assert sheet.page_setup.fitToHeight in (0, "0") and sheet.sheet_properties.pageSetUpPr.fitToPage
    assert sheet.column_dimensions["A"].width == pytest.approx(33, abs=1.0)


def test_the_same_lists_give_the_same_bytes() -> None:
    grid = Grid(name="a", title="list", fields=(Field(title="What"),), rows=(("x",),))
    assert render_workbook([grid], FORM) == render_workbook([grid], FORM)
    later = replace(FORM, made=datetime(2025, 1, 1, tzinfo=UTC))
    assert workbook(render_workbook([grid], later)).properties.created.date() == later.made.date()


@pytest.mark.parametrize("name", sorted(JOBS))
def test_the_cutting_list_holds_every_kind_in_its_true_size(name: str) -> None:
    plan = planned(name)
    rows = sheets(name)["Cutting list"]
    assert [row["Part"] for row in rows] == [row.label for row in plan.cutting.rows]
    for row, wanted in zip(rows, plan.cutting.rows, strict=True):
        assert row["Length, in"] * INCH == pytest.approx(wanted.finished.length, abs=1e-4)
        assert row["Thickness, in"] * INCH == pytest.approx(wanted.finished.thickness, abs=1e-4)
        assert row["Make"] == wanted.total and isinstance(row["Make"], int)


@pytest.mark.parametrize("name", sorted(JOBS))
def test_a_fraction_says_its_number_to_a_thirty_second(name: str) -> None:
    """Half of a thirty-second is the most that rounding may take."""
    pairs = 0
    for rows in sheets(name).values():
        for row in rows:
            for title, number in row.items():
                if not title.endswith(", in") or number is None:
                    continue
                text = row[title.removesuffix(", in") + ", fraction"]
                words = text.removesuffix(" in").replace("−", "-").split()
                sign = -1 if words[0].startswith("-") else 1
                value = sign * sum(Fraction(word.lstrip("-")) for word in words)
                assert float(value) == pytest.approx(number, abs=1 / 64 + 1e-6), (title, row)
                pairs += 1
    assert pairs > 50


@pytest.mark.parametrize("name", sorted(JOBS))
def test_setting_out_lies_on_the_part_and_every_joint_is_listed(name: str) -> None:
    plan, found = planned(name), sheets(name)
    assert len(found["Joints"]) == sum(len(joint.tenons) for joint in plan.piece.joints)
    lengths = {row["Part"]: row["Length, in"] for row in found["Cutting list"]}
    marked = 0
    for row in found["Setting out"]:
        for title in ("From reference end, in", "To, in"):
            assert -0.3 < row[title] < lengths[row["Part"]] + 0.3, row
        marked += 1
    kinds = [plan.piece.part(kind.parts[0]) for kind in plan.piece.kinds]
    assert marked == sum(len(lettered(part, plan.piece)) for part in kinds)


def test_metric_lists_are_in_millimetres_and_have_no_fractions() -> None:
    rows = sheets("hall-table", "mm")["Cutting list"]
    wanted = planned("hall-table").cutting.rows
    assert [row["Length, mm"] for row in rows] == pytest.approx([row.finished.length for row in wanted], abs=1e-4)
    assert not any("fraction" in title or title.endswith(", in") for title in rows[0])


def test_csv_lists_are_there_and_no_fraction_becomes_a_date() -> None:
    files = lists("terrace-armchair", "in")
    names = {name.removeprefix("lists/") for name in files if name.endswith(".csv")}
    assert names == {
        "cutting-list.csv", "buying-list.csv", "hardware.csv", "joints.csv", "setting-out.csv", "fixings.csv"
    }  # fmt: skip
    hardware = files["lists/hardware.csv"].decode("utf-8-sig").splitlines()
    assert hardware[0] == 'What,"Diameter, in","Diameter, fraction",Count'
    assert any(",1/4 in," in line for line in hardware)
