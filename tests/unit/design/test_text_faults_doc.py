"""docs/faults.md is true: every code of the text's reader stands there, and every example gives its fault."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from batchwright.base.fault import Fault, Place
from batchwright.design.boards import read_boards, read_defects
from batchwright.design.job import read_job
from batchwright.design.shop import read_shop
from batchwright.design.text.mistake import Mistake
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Scalar, Span
from batchwright.design.values import amounts
from batchwright.design.values.declared import declare
from batchwright.design.values.evaluate import evaluate
from batchwright.design.values.expression import parse, unknown_name
from batchwright.design.values.sizes import evaluate_sizes
from batchwright.design.values.values import Value, angle, length, number
from batchwright.model.stock import Board

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "faults.md").read_text(encoding="utf-8")
TEXT_HALF = [
    "amounts",
    "boards",
    "cells",
    "declared",
    "evaluate",
    "expression",
    "job",
    "known",
    "names",
    "numerals",
    "order",
    "read",
    "reading",
    "shop",
    "shop_words",
    "sizes",
    "tokens",
    "values",
    "words",
    "write",
]
CODE = re.compile(r"^[a-z0-9]+(-[a-z0-9]+)*$")
RAISERS = {"mistake", "_fault", "fault", "add", "Fault", "refuse"}
ROW = re.compile(r"^\| `([a-z0-9-]+)` \| (.+?) \| (.+) \|$")


def rows() -> list[tuple[str, str, str]]:
    """(section, code, example) of every row of the page."""
    found = []
    section = ""
    for line in PAGE.split("\n"):
        if line.startswith("## "):
            section = line[3:]
        elif line.startswith("Defects, beside"):
            section = "Defects"
        elif row := ROW.match(line):
            found.append((section, row.group(1), row.group(3)))
    return found


def codes_raised() -> set[str]:
    found = {"unknown-glue", "unknown-finish"}  # made in one place for both
    for name in TEXT_HALF:
        (module,) = (ROOT / "src/batchwright/design").rglob(f"{name}.py")
        tree = ast.parse(module.read_text(encoding="utf-8"))
        for call in ast.walk(tree):
            if not isinstance(call, ast.Call):
                continue
            called = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
            given = [keyword.value for keyword in call.keywords if keyword.arg == "code"] + call.args[:2]
            texts = [each.value for each in given if isinstance(each, ast.Constant) and isinstance(each.value, str)]
            if called in RAISERS and texts and CODE.match(texts[0]):
                found.add(texts[0])
    return found


def test_every_code_is_documented_and_there_are_many() -> None:
    raised = codes_raised()
    documented = {code for _, code, _ in rows()}
    assert not raised - documented, sorted(raised - documented)
    assert len(raised) > 90


def test_every_code_stands_in_one_row() -> None:
    codes = [code for _, code, _ in rows()]
    assert sorted(codes) == sorted(set(codes))


class Bench(amounts.NoNames):
    names = {"width": length(254.0), "rake": angle(0.1), "boards": number(4)}

    def lookup(self, name: str, place: Place) -> Value:
        if name not in self.names:
            raise unknown_name(name, place, self.names)
        return self.names[name]


def expression_faults(text: str) -> tuple[Fault, ...]:
    scalar = Scalar(text=text, place=Place("f", 1, 1), span=Span(0, len(text)))
    try:
        evaluate(parse(scalar), Bench("in"))
    except Mistake as stop:
        return stop.faults
    return ()


def size_faults(text: str) -> tuple[Fault, ...]:
    tree, faults = read_tree(text, "f")
    assert tree is not None
    declared = declare(tree)
    return (*faults, *declared.faults, *evaluate_sizes(declared, "in").faults)


W1 = Board(name="W1", species="white_oak", length=3048.0, width=203.2, far_width=203.2, thickness=25.4)

TRIED = {
    "The form of a file": lambda text: read_tree(text, "f")[1],
    "Expressions": expression_faults,
    "Names, sizes and numbers": size_faults,
    "A job": lambda text: read_job(f"job: a\npiece: b\n{text}\n", "f")[1],
    "A shop": lambda text: read_shop(f"units: in\n{text}\n", "f")[1],
    "Boards and their defects": lambda text: read_boards(text, "f", "in")[1],
    "Defects": lambda text: read_defects(text, "f", "in", (W1,))[1],
}


def tried() -> list[tuple[str, str, str]]:
    """Rows whose example is a text to be read; examples in words are left to the tests of their modules."""
    return [
        (section, code, example[1:-1])
        for section, code, example in rows()
        if section in TRIED and example.startswith("`") and example.endswith("`") and example.count("`") == 2
    ]


@pytest.mark.parametrize(("section", "code", "example"), tried(), ids=lambda value: value if CODE.match(value) else "")
def test_every_example_gives_its_fault(section: str, code: str, example: str) -> None:
    text = example.replace(" ⏎ ", "\n").replace("␉", "\t").replace("␇", "\x07")
    found = TRIED[section](text)
    assert code in [fault.code for fault in found], found
    for fault in found:
        assert fault.place.file == "f" and fault.what and fault.mend


def test_most_examples_are_tried() -> None:
    assert len(tried()) > 85
