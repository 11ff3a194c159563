"""`handbook`: every entry is listed, every entry's own example works, and wrong questions are told all at once."""

from __future__ import annotations

import shlex

import pytest

from typed import typed

ENTRIES = typed("handbook", "--json").json["result"]["entries"]


def test_every_entry_is_listed_with_its_source() -> None:
    assert len(ENTRIES) >= 15
    words = typed("handbook").out
    for entry in ENTRIES:
        assert entry["name"] in words and entry["source"]
        assert entry["mark"]


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry["name"])
def test_every_entry_is_explained_and_its_example_answered(entry: dict[str, str]) -> None:
    asked = typed("handbook", entry["name"])
    assert asked.code == 0 and entry["title"] in asked.out
    assert entry["example"], "every entry has an example"
    said = typed("handbook", *shlex.split(entry["example"]), "--json")
    assert said.code == 0, said.out
    result = said.json["result"]
    assert result["results"] or result["rows"]
    words = typed("handbook", *shlex.split(entry["example"]))
    assert words.code == 0 and "source: " in words.out


def test_the_question_of_the_readme_has_the_published_answer() -> None:
    """Wood Handbook 2021, Table 4-2, 10 C and 80 %: 16.4 % (from memory)."""
    answer = typed("handbook", "emc", "temperature=10C", "humidity=80%", "--json").json["result"]["results"][0]
    assert answer["value"] == pytest.approx(0.164, abs=0.0005)


def test_a_number_without_its_unit_is_asked_about() -> None:
    said = typed("handbook", "emc", "temperature=50", "humidity=80%", "--json")
    assert said.codes == {"handbook-value-misread"}
    assert "C" in said.json["faults"][0]["mend"]
