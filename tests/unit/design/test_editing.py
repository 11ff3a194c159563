"""Changes of a piece and its job, each against the text it must give; what is refused, before anything is written."""

from __future__ import annotations

import pytest

from batchwright.base.mend import Change
from batchwright.design.editing.apply import apply_changes

PIECE = """# a stool
piece: Stool
units: in
wood: white oak
hands: as seated
sizes:
  height:  {is: 17 1/4, from: 14}   # of the seat
  thick:   1 3/4
places:
  head: [5, 2, height]
parts:
  leg:
    count: pair
    box: {x: [4, 4 + thick], y: [0, thick], z: [0, head.z]}   # upright
    note: leg of the stool

  # the rail
  rail: {box: {x: [right leg, left leg], y: [0, 1], z: [8, 11]}}
  shelf: {box: {x: [right leg, left leg], y: [1, 3], z: [leg at z 4.z, 5]}}
joints:
  - {tenon: rail, into: leg}   # the first
  - tenon: [shelf, rail]
    into: leg
    except:
      - {at: left leg, length: 1}
  - {meeting in: leg, of: [rail, shelf], by: rail first}
"""
JOB = "job: Two stools\npiece: stool.piece.yaml\nspares: {leg: 1, rail: 2}\nsizes: {height: 16}\n"
P, J = "stool.piece.yaml", "two.job.yaml"


def apply(*changes: Change, piece: str = PIECE, job: str = JOB) -> tuple[str, str]:
    out, faults = apply_changes({P: piece, J: job}, P, changes)
    assert out is not None, [str(fault) for fault in faults]
    return out[P], out[J]


def refusal(*changes: Change, piece: str = PIECE) -> str:
    texts = {P: piece, J: JOB}
    out, faults = apply_changes(texts, P, changes)
    assert out is None and texts == {P: piece, J: JOB}
    assert faults[0].mend and faults[0].what
    return faults[0].code


def changed(before: str, after: str) -> list[tuple[str, str]]:
    """Lines that differ, old and new, where their number is the same."""
    return [(old, new) for old, new in zip(before.split("\n"), after.split("\n"), strict=True) if old != new]


def test_a_size_is_set_where_its_value_in_force_stands() -> None:
    piece, job = apply(Change(do="size", name="thick", text="2"))
    assert changed(PIECE, piece) == [("  thick:   1 3/4", "  thick:   2")] and job == JOB
    piece, job = apply(Change(do="size", name="height", text="18"))
    assert piece == PIECE and changed(JOB, job) == [("sizes: {height: 16}", "sizes: {height: 18}")]
    piece, job = apply(Change(do="size", name="height", text="18", file=P))
    assert job == JOB and "height:  {is: 18, from: 14}   # of the seat" in piece


def test_a_part_is_renamed_in_every_mention_and_in_no_note() -> None:
    piece, job = apply(Change(do="rename part", of="leg", name="front post"))
    assert changed(PIECE, piece) == [
        ("  leg:", "  front post:"),
        ("  rail: {box: {x: [right leg, left leg], y: [0, 1], z: [8, 11]}}",
         "  rail: {box: {x: [right front post, left front post], y: [0, 1], z: [8, 11]}}"),
        ("  shelf: {box: {x: [right leg, left leg], y: [1, 3], z: [leg at z 4.z, 5]}}",
         "  shelf: {box: {x: [right front post, left front post], y: [1, 3], z: [front post at z 4.z, 5]}}"),
        ("  - {tenon: rail, into: leg}   # the first", "  - {tenon: rail, into: front post}   # the first"),
        ("    into: leg", "    into: front post"),
        ("      - {at: left leg, length: 1}", "      - {at: left front post, length: 1}"),
        ("  - {meeting in: leg, of: [rail, shelf], by: rail first}",
         "  - {meeting in: front post, of: [rail, shelf], by: rail first}"),
    ]  # fmt: skip
    assert changed(JOB, job) == [("spares: {leg: 1, rail: 2}", "spares: {front post: 1, rail: 2}")]


def test_a_size_and_a_place_are_renamed_in_every_expression() -> None:
    piece, _ = apply(Change(do="rename size", of="thick", name="leg thick"))
    assert "  leg thick:   1 3/4" in piece and "x: [4, 4 + leg thick], y: [0, leg thick]" in piece
    piece, job = apply(Change(do="rename size", of="height", name="seat height"))
    assert "head: [5, 2, seat height]" in piece and "sizes: {seat height: 16}" in job
    piece, _ = apply(Change(do="rename place", of="head", name="crown"))
    assert "  crown: [5, 2, height]" in piece and "z: [0, crown.z]" in piece


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (Change(do="rename part", of="leg", name="rail"), "name-taken"),
        (Change(do="rename part", of="leg", name="thick"), "name-taken"),
        (Change(do="rename size", of="thick", name="left leg"), "name-taken"),
        (Change(do="rename part", of="leg", name="set in"), "reserved-word"),
        (Change(do="rename part", of="leg", name="front-post"), "bad-name"),
        (Change(do="rename part", of="lag", name="post"), "unknown-name"),
        (Change(do="add part", name="leg", text="{}"), "name-taken"),
        (Change(do="add size", name="5 feet", text="5"), "bad-name"),
        (Change(do="copy part", of="leg", name="right leg"), "name-taken"),
        (Change(do="size", name="hight", text="5"), "unknown-name"),
        (Change(do="remove part", of="stile"), "unknown-name"),
        (Change(do="remove joint", joint=3), "no-such-entry"),
        (Change(do="copy joint", joint=9), "no-such-entry"),
        (Change(do="set", path=("joints", 9, "length"), text="1"), "no-such-entry"),
        (Change(do="set", path=("parts", "stile", "note"), text=None), "no-such-entry"),
        (Change(do="replace", line=99, column=1, length=1, text=""), "no-such-entry"),
        (Change(do="replace", line=7, column=99, length=1, text=""), "no-such-entry"),
        (Change(do="replace", line=1, column=1, length=99999, text=""), "no-such-entry"),
        (Change(do="replace", line=7, column=12, length=1, text=""), "change-breaks-form"),
        (Change(do="set", path=("sizes", "thick"), text="1\nx: {"), "change-breaks-form"),
        (Change(do="set", path=("sizes", "thick"), text="1", file="other.yaml"), "no-such-file"),
    ],
)
def test_what_cannot_be_done_is_refused_and_nothing_written(change: Change, code: str) -> None:
    good = Change(do="size", name="thick", text="2")
    assert refusal(good, change) == code


def test_a_name_that_would_be_read_as_a_word_is_refused() -> None:
    piece = PIECE.replace("  rail: {box", "  rail: {drawn in: lean, box").replace(
        "  head:", "  lean: [1, 2, 3]\n  head:"
    )
    assert refusal(Change(do="rename place", of="lean", name="side"), piece=piece) == "name-misread"


def test_a_part_goes_with_what_names_it() -> None:
    piece, job = apply(Change(do="remove part", of="rail"))
    assert piece == PIECE.replace("  rail: {box: {x: [right leg, left leg], y: [0, 1], z: [8, 11]}}\n", "").replace(
        "  - {tenon: rail, into: leg}   # the first\n", ""
    ).replace("[shelf, rail]", "[shelf]").replace("  - {meeting in: leg, of: [rail, shelf], by: rail first}\n", "")
    assert job == JOB.replace("leg: 1, rail: 2", "leg: 1")


def test_new_entries_take_the_form_of_their_neighbours() -> None:
    new = "{box: {x: [0, 1], y: [0, 1], z: [0, 1]}, count: pair}"
    piece, _ = apply(Change(do="add part", name="foot", text=new, after="leg"))
    opened = "    note: leg of the stool\n  foot:\n    box: {x: [0, 1], y: [0, 1], z: [0, 1]}\n    count: pair\n\n"
    assert opened in piece
    piece, _ = apply(Change(do="add part", name="foot", text=new))
    assert f"z: [leg at z 4.z, 5]}}}}\n  foot: {new}\njoints:" in piece
    piece, _ = apply(Change(do="add size", name="wide", text="12"), Change(do="add number", name="slats", text="7"))
    assert "  thick:   1 3/4\n  wide:    12\nnumbers:\n  slats: 7\nplaces:" in piece


def test_a_word_is_set_in_the_form_that_stands_there() -> None:
    piece, _ = apply(
        Change(do="set", path=("joints", 0, "length"), text="1 1/8"),
        Change(do="set", path=("joints", 1, "pegs", "count"), text="2"),
        Change(do="set", path=("joints", 1, "except", "+"), text="{at: right leg, end: through}"),
        Change(do="set", path=("sizes", "thick", "to"), text="2"),
        Change(do="set", path=("parts", "leg", "note"), text="best: of # all, [really]"),
        Change(do="set", path=("parts", "rail", "note"), text="a, b"),
    )
    assert "  - {tenon: rail, into: leg, length: 1 1/8}   # the first\n" in piece
    assert "      - {at: left leg, length: 1}\n      - {at: right leg, end: through}\n    pegs: {count: 2}\n" in piece
    assert "  thick:   {is: 1 3/4, to: 2}\n" in piece
    assert "    note: 'best: of # all, [really]'\n" in piece and "note: 'a, b'}" in piece


def test_taking_out_takes_its_own_lines_and_remark() -> None:
    piece, _ = apply(
        Change(do="set", path=("joints", 1, "except"), text=None),
        Change(do="set", path=("sizes", "height", "from"), text=None),
        Change(do="set", path=("parts", "leg", "box"), text=None),
    )
    assert "    into: leg\n  - {meeting in" in piece and "{is: 17 1/4}   # of the seat" in piece
    assert "    count: pair\n    note: leg of the stool\n\n  # the rail\n" in piece


def test_typing_is_taken_as_it_is_and_a_broken_file_can_be_mended_by_characters() -> None:
    broken = PIECE.replace("{is: 17 1/4, from: 14}", "{is: 17 1/4, from: 14")
    piece, _ = apply(Change(do="text", file=P, text=broken))
    assert piece == broken
    mended, _ = apply(Change(do="replace", line=7, column=33, length=0, text="}"), piece=broken)
    assert mended == PIECE
    assert refusal(Change(do="size", name="thick", text="2"), piece=broken) == "broken-form"


def test_a_tab_is_refused_and_can_be_replaced() -> None:
    tab = PIECE.replace("   # of the seat", "\t# of the seat")
    assert refusal(Change(do="size", name="thick", text="2"), piece=tab) == "tab"
    assert apply(Change(do="replace", line=7, column=34, length=1, text="   "), piece=tab)[0] == PIECE


@pytest.mark.parametrize("quoted", ["'1 3/4'", '"1 3/4"'])
def test_quotation_marks_stay_where_they_stood(quoted: str) -> None:
    piece = PIECE.replace("1 3/4", quoted)
    once, _ = apply(Change(do="size", name="thick", text="2"), piece=piece)
    assert once == piece.replace("1 3/4", "2")
    assert apply(Change(do="size", name="thick", text="1 3/4"), piece=once)[0] == piece


def test_a_file_with_crlf_and_a_byte_order_mark_keeps_both() -> None:
    piece = "\ufeff" + PIECE.replace("\n", "\r\n")
    out, _ = apply(Change(do="add joint", text="{rest: rail, on: shelf}"), piece=piece)
    assert out == piece + "  - {rest: rail, on: shelf}\r\n"
    out, _ = apply(Change(do="replace", line=1, column=1, length=1, text="##"), piece=piece)
    assert out == piece.replace("# a", "## a", 1)


def test_flow_lists_and_tables_grow_and_shrink_inside_their_brackets() -> None:
    piece = "piece: A\nsizes: {a: 1, b: 2}\nparts: {p: {note: x}}\njoints: [{rest: p, on: q}]\n"
    out, _ = apply(
        Change(do="add size", name="c", text="3"),
        Change(do="remove size", of="a"),
        Change(do="copy part", of="p", name="q"),
        Change(do="copy joint", joint=0),
        Change(do="add joint", text="tenon: p\ninto: q\n"),
        piece=piece,
    )
    assert out == (
        "piece: A\nsizes: {b: 2, c: 3}\nparts: {p: {note: x}, q: {note: x}}\n"
        "joints: [{rest: p, on: q}, {rest: p, on: q}, {tenon: p, into: q}]\n"
    )


def test_bug_a_word_without_a_colon_behind_it_is_refused() -> None:
    assert (
        refusal(Change(do="add number", name="slats", text="7"), piece=PIECE + "numbers:\n  ? x\n") == "form-not-kept"
    )


def test_bug_a_colon_may_stand_off_its_word() -> None:
    piece, _ = apply(
        Change(do="set", path=("sizes", "thick"), text="2"), piece=PIECE.replace("thick:   1", "thick :  1")
    )
    assert "  thick :  2\n" in piece
