"""Completion in half-written files: the cursor is the bar; what is offered is held against the reader's own words."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from batchwright.design.complete import Completion, complete, hover
from batchwright.design.completion.choices import VALUES
from batchwright.design.drawing.asks import CHOICES
from batchwright.design.words.words import JOINT_KINDS, TABLES, words_in

EXAMPLES = Path(__file__).parents[3] / "examples"
HEAD = """sizes:
  leg thick: {is: 1 3/4, from: 1}
  width: 15
numbers:
  slats: 7
places:
  back line: {view: side, line: [[0, 0], [1, 2]]}
parts:
  leg:
    count: four
    box: {x: [0, 1]}
  rail: {count: pair}
"""


def at(text: str, file: str = "a.piece.yaml", others: dict[str, str] | None = None) -> tuple[Completion, str]:
    """What is offered at the bar, and what of the text before it the offers take the place of."""
    n = text.index("|")
    text = text.replace("|", "", 1)
    start = text.rfind("\n", 0, n) + 1
    column = n - start + 1
    found = complete(text, file, text.count("\n", 0, n) + 1, column, others)
    return found, text[start + found.from_column - 1 : n]


def labels(text: str, file: str = "a.piece.yaml", others: dict[str, str] | None = None) -> list[str]:
    return [item.label for item in at(text, file, others)[0].items]


def without(context: str, *present: str) -> list[str]:
    return [word for word in words_in(context) if word not in present]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("|", without("piece")),
        ("piece: A\n|\nwood: oak\n", without("piece", "piece", "wood")),
        ("sizes:\n  a: {is: 3, |", without("size", "is")),
        ("sizes:\n  a:\n    is: 3\n    |\n", without("size", "is")),
        ("parts:\n  leg:\n    box: {}\n    |\n    count: pair\n", without("part", "box", "count")),
        ("parts:\n  leg:\n    box: {x: [0, 1], |\n    count: pair\n", ["y", "z"]),
        ("parts:\n  leg: {stick: [a, b], taper: {to: 1, |}}\n", without("taper", "to")),
        ("parts:\n  leg:\n    cut:\n      - {level: 0, |\n", without("cut", "level")),
        ("parts:\n  leg:\n    also sawn:\n      on: edge\n      strip: {|\n", without("strip")),
        ("joints:\n  - |\n", [*JOINT_KINDS, "meeting in"]),
        ("joints:\n  - {|\n  - {rest: a, on: b}\n", [*JOINT_KINDS, "meeting in"]),
        ("joints:\n  - {tenon: rail, |\n", without("tenon", "tenon")),
        ("joints:\n- tenon: rail\n  |\n", without("tenon", "tenon")),
        ("joints:\n  - {meeting in: leg, |}\n", without("meeting", "meeting in")),
        ("joints:\n  - {tenon: rail, pegs: {|", without("pegs")),
        ("joints:\n  - tenon: rail\n    except:\n      - {at: leg, |\n", without("except", "at")),
        ("places:\n  a: {view: side, |\n", without("place", "view")),
    ],
)
def test_words_that_may_stand_there_and_do_not_yet(text: str, wanted: list[str]) -> None:
    found, _ = at(text)
    assert [item.label for item in found.items] == wanted
    assert all(item.insert == f"{item.label}: " and item.help for item in found.items)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("units: |", ["in", "mm"]),
        ("hands: f|", ["from the front"]),
        ("parts:\n  leg:\n    count: |\n", ["pair", "front and back", "four"]),
        ("parts:\n  leg:\n    ends: [level, |\n", ["square", "level", "upright"]),
        ("parts:\n  leg: {cut: [{level: 0, keep: |", ["above", "below", "front", "back"]),
        ("joints:\n  - {tenon: a, end: |", list(CHOICES["end"])),
        ("joints:\n  - tenon: a\n    except: [{at: b, shoulder: |", list(CHOICES["shoulder"])),
        ("joints:\n  - {screw: a, slotted: |", ["yes", "no"]),
        ("wood: black w|", ["black walnut"]),
    ],
)
def test_choices(text: str, wanted: list[str]) -> None:
    assert labels(text)[: len(wanted)] == wanted


def test_every_choice_is_one_that_the_words_speak_of_or_the_reader_takes() -> None:
    for (context, word), choices in VALUES.items():
        if context in TABLES and (entry := TABLES[context].word(word)):
            loose = entry.says.replace("`", "").lower() + entry.example
            assert any(choice.split()[0].split("-")[0] in loose for choice in choices), (context, word)


@pytest.mark.parametrize(
    ("text", "wanted", "typed"),
    [
        (HEAD + "  foot: {box: {x: [0, le|", ["leg thick", "leg", "left leg", "left rail"], "le"),
        (HEAD + "  foot: {box: {x: [0, width - leg |", ["leg thick"], "leg "),
        (HEAD + "joints:\n  - {tenon: ra|", ["rail", "left rail", "right rail"], "ra"),
        (HEAD + "joints:\n  - tenon: rail\n    into: [|", ["leg", "rail", "left leg"], ""),
        (HEAD + "joints:\n  - {meeting in: leg, of: [rail, leg], by: r|", ["rail first"], "r"),
        (HEAD + "    drawn in: b|", ["back line"], "b"),
        (HEAD + "  foot: {repeat: {on: |", ["back line"], ""),
        ("sizes:\n  leg thick: 2\n  width: 3*le|\n", ["leg thick"], "le"),
        ("sizes:\n  width: 3 |\n", ["in", "ft", "mm", "cm", "m", "deg"], ""),
        ("sizes:\n  width: mi|\n", ["min"], "mi"),
    ],
)
def test_names_in_values(text: str, wanted: list[str], typed: str) -> None:
    found, replaced = at(text)
    offered = [item.label for item in found.items]
    assert [each for each in offered if each in wanted][: len(wanted)] and set(wanted) <= set(offered), offered
    assert replaced == typed


def test_a_size_is_not_offered_to_itself_and_a_name_brings_its_value() -> None:
    found, _ = at("sizes:\n  width: |\n  depth: {is: 12 1/2}\n")
    assert "width" not in [item.label for item in found.items]
    assert next(item.help for item in found.items if item.label == "depth") == "a size: 12 1/2"


def test_a_job_offers_its_words_and_the_names_of_its_piece() -> None:
    others = {"a.piece.yaml": HEAD}
    assert labels("job: A\n|", "a.job.yaml") == without("job", "job")
    assert labels("sizes: {|", "a.job.yaml", others) == ["leg thick", "width", "slats"]
    assert labels("spares:\n  leg: 1\n  |", "a.job.yaml", others) == ["rail"]
    assert "Portland ME" in labels("where: Portl|", "a.job.yaml")


def test_a_shop_offers_its_words() -> None:
    assert labels("shop: A\n|", "shop.yaml") == without("shop", "shop")
    assert "planer" in labels("machines:\n  |", "shop.yaml")
    assert labels("machines:\n  planer: {most width: 13, |", "shop.yaml") == without("machine", "most width")


def test_nothing_is_offered_where_names_of_the_makers_own_stand() -> None:
    assert not labels("sizes:\n  |")
    assert not labels("parts:\n  leg: {box: {}}\n  |")
    assert not labels("note: my |")


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*/*.yaml")), ids=lambda path: path.name)
def test_quick_and_without_a_crash_anywhere_in_a_file_cut_off_there(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    lines = text.split("\n")
    took = []
    for n in range(0, len(text), 97):
        line = text.count("\n", 0, n)
        column = n - (text.rfind("\n", 0, n) + 1) + 1
        start = time.perf_counter()
        complete(text, path.name, line + 1, column)
        took.append(time.perf_counter() - start)
        complete(text[:n], path.name, line + 1, column)
        hover(text, path.name, line + 1, column)
    assert sorted(took)[len(took) // 2] < 0.02
    assert len(lines) > 5


def test_help_of_a_word_and_of_a_name() -> None:
    says = TABLES["part"].word("count")
    assert says is not None and hover(HEAD, "a.piece.yaml", 10, 6).startswith(says.says)
    assert hover("sizes:\n  leg thick: 3\n  a: 2*leg thick - 1\n", "a.piece.yaml", 3, 12) == "leg thick: a size: 3"
    assert hover("sizes:\n  leg thick: 3\n", "a.piece.yaml", 2, 14) == ""


def test_bug_a_file_that_is_a_list_has_nothing_to_offer_and_no_crash() -> None:
    found, _ = at("[|]")
    assert all(item.label for item in found.items)
