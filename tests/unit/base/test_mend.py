"""Changes and mends: their plain values and back, and a fault for whatever is no change."""

from __future__ import annotations

import json

import pytest

from batchwright.base.asked import MOST_CHANGES, read_change, read_changes
from batchwright.base.fault import Fault, Place
from batchwright.base.mend import KEYS, Change, Mend, replace_text, set_text

EACH: tuple[dict[str, object], ...] = (
    {"do": "text", "file": "a.piece.yaml", "text": "piece: A\r\n"},
    {"do": "size", "name": "seat height", "text": "17 1/4"},
    {"do": "size", "name": "seat height", "text": "17 1/4", "file": "a.job.yaml"},
    {"do": "set", "path": ["joints", 4, "length"], "text": "36"},
    {"do": "set", "path": ["joints", 4, "length"], "text": None},
    {"do": "replace", "line": 3, "column": 5, "length": 0, "text": "x"},
    {"do": "add part", "name": "shelf", "text": "{box: {}}", "after": "leg"},
    {"do": "copy part", "part": "leg", "name": "post"},
    {"do": "rename part", "part": "leg", "name": "post"},
    {"do": "remove part", "part": "leg"},
    {"do": "grow part", "part": "leg", "side": "back", "text": "3/8 in"},
    {"do": "move part", "part": "leg", "side": "top", "text": "-5 mm"},
    {"do": "add joint", "text": "{rest: leg, on: top}"},
    {"do": "copy joint", "joint": 0},
    {"do": "remove joint", "joint": 7},
    {"do": "add size", "name": "width", "text": "15"},
    {"do": "rename size", "size": "width", "name": "breadth"},
    {"do": "remove size", "size": "width"},
    {"do": "add number", "name": "slats", "text": "7"},
    {"do": "rename number", "number": "slats", "name": "bars"},
    {"do": "remove number", "number": "slats"},
    {"do": "add place", "name": "head", "text": "[0, 0, 1]"},
    {"do": "rename place", "place": "head", "name": "crown"},
    {"do": "remove place", "place": "head"},
)


@pytest.mark.parametrize("raw", EACH, ids=[f"{n}-{each['do']}" for n, each in enumerate(EACH)])
def test_a_change_goes_out_as_it_came_in(raw: dict[str, object]) -> None:
    change = read_change(raw)
    assert isinstance(change, Change)
    assert json.loads(json.dumps(change.as_json())) == raw


def test_every_sort_of_change_is_tried() -> None:
    assert {each["do"] for each in EACH} == set(KEYS)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (7, "a table is wanted"),
        ({}, "nothing, which is not known"),
        ({"do": "paint"}, "`paint`, which is not known"),
        ({"do": "size", "name": "width"}, "says no `text`"),
        ({"do": "size", "name": "width", "text": 5}, "`5`, but a text is wanted"),
        ({"do": "size", "name": "width", "text": None}, "nothing, but a text is wanted"),
        ({"do": "set", "path": "parts", "text": "5"}, "a text, but a list is wanted"),
        ({"do": "set", "path": [], "text": "5"}, "a list, but a list is wanted"),
        ({"do": "set", "path": ["joints", -1], "text": "5"}, "-1"),
        ({"do": "set", "path": ["joints", True], "text": "5"}, "`True` in it"),
        ({"do": "set", "path": ["a"] * 30, "text": "5"}, "30 steps deep"),
        ({"do": "remove joint", "joint": "2"}, "a whole number is wanted"),
        ({"do": "remove joint", "joint": True}, "a whole number is wanted"),
        ({"do": "replace", "line": 0, "column": 1, "length": 0, "text": ""}, "0, which is none"),
        ({"do": "remove part", "part": "leg", "name": "x"}, "has a key `name`"),
        ({"do": "text", "file": "a", "text": "x" * 400_001}, "too long"),
    ],
)
def test_what_is_no_change_is_a_fault(raw: object, says: str) -> None:
    fault = read_change(raw)
    assert isinstance(fault, Fault)
    assert fault.code == "not-a-change" and says in fault.what and fault.mend


def test_a_list_tells_each_fault_with_its_number() -> None:
    changes, faults = read_changes([EACH[0], {"do": "paint"}, 5, EACH[1]])
    assert len(changes) == 2
    assert [fault.what.split(" is", 1)[0] for fault in faults] == ["change 2", "change 3"]
    assert read_changes({})[1] and read_changes([EACH[0]] * (MOST_CHANGES + 1))[1]


def test_a_mend_travels_with_its_fault() -> None:
    mend = Mend(say="write `leg`", changes=(replace_text(("f", 1, 2), 3, "leg"), set_text(("joints", 0, "end"), None)))
    fault = Fault(code="a", place=Place("f"), what="w.", mend="write `leg`", mends=(mend,))
    assert json.loads(json.dumps(fault.as_json()))["mends"] == [
        {
            "say": "write `leg`",
            "changes": [
                {"do": "replace", "line": 1, "column": 2, "length": 3, "text": "leg", "file": "f"},
                {"do": "set", "path": ["joints", 0, "end"], "text": None},
            ],
        }
    ]
