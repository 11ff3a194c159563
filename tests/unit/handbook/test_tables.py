"""The tables of the trade: joint rules, adhesives, finishes, sizes; and that every source is written down."""

from __future__ import annotations

import csv
import re
from importlib import resources
from pathlib import Path

import pytest

from batchwright.base.source import Mark
from batchwright.handbook.adhesives import adhesive_named, adhesive_rules, adhesives
from batchwright.handbook.ergonomics import measures, measures_of
from batchwright.handbook.finishes import finish_named, finishes
from batchwright.handbook.joint_rules import joint_rule, joint_rules
from batchwright.handbook.names import UnknownNameError
from batchwright.handbook.shelf import MARKS
from batchwright.handbook.strength_tables import modifiers, proof_loads, topics

ROOT = Path(__file__).parents[3]
TABLES = sorted(
    each.name for each in resources.files("batchwright.handbook.tables").iterdir() if each.name.endswith(".csv")
)


def rows_of(name: str) -> list[dict[str, str]]:
    text = resources.files("batchwright.handbook.tables").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def test_every_source_of_every_table_stands_in_the_list_of_sources() -> None:
    keys = set(re.findall(r"^### (.+)$", (ROOT / "docs" / "sources.md").read_text("utf-8"), re.M))
    used = {
        (name, value)
        for name in TABLES
        for row in rows_of(name)
        for column, value in row.items()
        if column.endswith("source") and value
    }
    assert len(used) > 30
    assert not {each for each in used if each[1] not in keys}


@pytest.mark.parametrize("name", TABLES)
def test_every_row_of_every_table_has_a_mark_we_know(name: str) -> None:
    rows = rows_of(name)
    assert rows
    marks = [column for column in rows[0] if column.endswith("mark")]
    assert marks
    for row in rows:
        assert None not in row, f"{name} has a row with too many cells: {row}"
        for column in marks:
            assert row[column] in MARKS or (column == "coeff_mark" and row[column] == "")


@pytest.mark.parametrize("name", TABLES)
def test_a_value_that_was_read_names_its_source(name: str) -> None:
    for row in rows_of(name):
        if row.get("mark") == "read":
            assert row["source"], row


def test_joint_rules_are_numbered_without_a_gap() -> None:
    assert [each.id for each in joint_rules()] == [f"JR{number:02d}" for number in range(1, 46)]


def test_a_joint_rule_carries_its_numbers_and_marks() -> None:
    rule = joint_rule("jr16")
    assert (rule.low, rule.high, rule.unit) == (6.0, 10.0, "mm")
    assert rule.source.mark is Mark.READ
    assert rule.number_mark is Mark.MEMORY
    assert joint_rule("JR03").source.mark is Mark.COMMON_PRACTICE
    assert joint_rule("JR40").source.mark is Mark.DERIVED
    assert "numbers: from memory" in str(rule)
    with pytest.raises(UnknownNameError, match="JR16"):
        joint_rule("JR166")


def test_adhesive_ranges_run_from_low_to_high() -> None:
    for each in adhesives():
        for low, high in (each.open_time, each.assembly_time, each.clamp_time, each.cure_time, each.spread):
            assert 0.0 < low <= high
        assert each.open_time[0] <= each.assembly_time[0]
        assert each.source.mark is Mark.COMMON_PRACTICE
    assert len(adhesive_rules()) == 8


def test_adhesive_and_finish_are_found_by_key_or_name() -> None:
    assert adhesive_named("Casein glue").key == "casein"
    assert finish_named("Paste wax").key == "wax"
    with pytest.raises(UnknownNameError, match="pva_type1"):
        adhesive_named("pva type 1 glue")
    with pytest.raises(UnknownNameError, match="exterior_oil"):
        finish_named("exterior oils")


def test_finishes_leave_gaps_open() -> None:
    assert finish_named("unfinished").coverage is None
    assert finish_named("shellac").life is None
    assert {each.exposure for each in finishes()} == {"exterior", "interior"}


def test_sizes_that_fit_people_run_from_low_to_high() -> None:
    for each in measures():
        known = [value for value in (each.low, each.usual, each.high) if value is not None]
        assert known and known == sorted(known)
        assert each.unit in ("mm", "deg")
    with pytest.raises(UnknownNameError, match="dining chair"):
        measures_of("dining chiar")


def test_strength_tables_keep_what_is_not_one_number_as_text() -> None:
    assert sum(len(modifiers(topic)) for topic in topics()) == 195
    ranges = [row for row in modifiers("slope_of_grain") if row.item == "Hankinson exponent n"]
    assert ranges[0].value is None and ranges[0].value_text == "1.5-2"
    assert any(each.load is None and each.load_text == "200-300" for each in proof_loads())
