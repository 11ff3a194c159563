"""Text to tree: every scalar text, every place right, everything refused that the language refuses."""

from __future__ import annotations

import pytest

from batchwright.design.text.read import DEEPEST, LONGEST_TEXT, MOST_NODES, read_bytes, read_tree
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence

PIECE = """piece: Step stool   # a remark
units: in
use: [indoors, standing load 1]
sizes:
  width: {is: 15, from: 12}
  on: 007
  tall: 2'6"
  said: 'it''s'
"""


def scalars(node: Node) -> list[Scalar]:
    match node:
        case Scalar():
            return [node]
        case Sequence(items=items):
            return [scalar for item in items for scalar in scalars(item)]
        case Mapping(entries=entries):
            return [scalar for key, value in entries for scalar in (key, *scalars(value))]


def codes(text: str) -> list[str]:
    return [fault.code for fault in read_tree(text, "a.piece.yaml")[1]]


def test_every_scalar_is_text() -> None:
    tree, faults = read_tree(PIECE, "a.piece.yaml")
    assert not faults and tree is not None
    sizes = tree.get("sizes")
    assert isinstance(sizes, Mapping)
    assert [value.text for _, value in sizes.entries if isinstance(value, Scalar)] == ["007", "2'6\"", "it's"]
    assert sizes.words() == ("width", "on", "tall", "said")


def test_places_and_spans_lead_back_to_the_text() -> None:
    tree, _ = read_tree(PIECE, "a.piece.yaml")
    assert tree is not None
    lines = PIECE.split("\n")
    for scalar in scalars(tree):
        raw = PIECE[scalar.span.start : scalar.span.end]
        assert lines[scalar.place.line - 1][scalar.place.column - 1 :].startswith(raw)
        assert raw == (scalar.text if not scalar.quoted else "'it''s'")


def test_place_at_counts_the_quotation_mark() -> None:
    tree, _ = read_tree("a: '12 34'\nb: 12 34\n", "f")
    assert tree is not None
    quoted, plain = (value for _, value in tree.entries)
    assert isinstance(quoted, Scalar) and isinstance(plain, Scalar)
    assert (quoted.place.column, quoted.place_at(3).column) == (4, 8)
    assert plain.place_at(3).column == 7


def test_windows_line_ends_and_a_byte_order_mark_keep_their_places() -> None:
    data = b"\xef\xbb\xbfpiece: a\r\nunits: mm\r\n"
    text, tree, faults = read_bytes(data, "f")
    assert not faults and tree is not None and text is not None
    units = tree.get("units")
    assert isinstance(units, Scalar)
    assert (units.place.line, units.place.column) == (2, 8)
    assert text[units.span.start : units.span.end] == "mm"
    assert text.encode() == data


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("a: &x 3\n", "anchor", 1, 4),
        ("a: 1\nb: *x\n", "alias", 2, 4),
        ("a: !!python/object:os.system x\n", "tag", 1, 4),
        ("a: 1\nb: 2\na: 3\n", "word-given-twice", 3, 1),
        ("a: 1\n<<: {b: 2}\n", "merge-key", 2, 1),
        ("a: 1\n---\nb: 2\n", "second-document", 2, 1),
        ("%YAML 1.1\n---\na: 1\n", "directive", 2, 1),
        ("a:\n\tb: 1\n", "tab", 2, 1),
        ("a: x\x07y\n", "control-character", 1, 5),
        ("a: \u202ex\n", "control-character", 1, 4),
        ("? [1, 2]\n: 3\n", "key-not-a-word", 1, 3),
        ("a: [1, 2\nb: 3\n", "broken-form", 2, 2),
        ("a: {b: 1\n", "broken-form", 2, 1),
        ("a: b: c\n", "broken-form", 1, 5),
        ("a: 'x\n", "broken-form", 2, 1),
        ("a: @x\n", "broken-form", 1, 4),
        ("- a\n- b\n", "no-words", 1, 1),
        ("", "empty-file", 0, 0),
        ("# only a remark\n", "empty-file", 0, 0),
        ("[" * 300, "too-deep", 1, DEEPEST + 1),
    ],
)
def test_what_is_refused_is_told_with_its_place(text: str, code: str, line: int, column: int) -> None:
    found = [fault for fault in read_tree(text, "a.piece.yaml")[1] if fault.code == code]
    assert found, codes(text)
    assert (found[0].place.file, found[0].place.line, found[0].place.column) == ("a.piece.yaml", line, column)
    assert found[0].mend and found[0].what


def test_a_word_given_twice_names_both_lines() -> None:
    fault = read_tree("a: 1\nb: 2\na: 3\n", "f")[1][0]
    assert "line 1" in fault.what and "line 3" in fault.what


def test_several_faults_are_told_at_once_in_file_order() -> None:
    assert codes("a: &x 3\nb: *x\nc: !t 3\na: 2\n<<: 3\n") == [
        "anchor",
        "alias",
        "tag",
        "word-given-twice",
        "merge-key",
    ]


def test_bytes_that_are_not_utf8_name_line_and_column() -> None:
    text, tree, faults = read_bytes("a: 1\nb: café".encode("latin-1"), "f")
    assert text is None and tree is None
    assert (faults[0].code, faults[0].place.line, faults[0].place.column) == ("not-utf-8", 2, 7)


def test_too_long_and_too_many_are_refused() -> None:
    assert codes("a: " + "x" * LONGEST_TEXT) == ["too-long"]
    assert read_bytes(b"a" * (5 * LONGEST_TEXT), "f")[2][0].code == "too-long"
    assert codes("a: [" + "1," * MOST_NODES + "1]\n") == ["too-many-values"]


def test_what_breaks_off_never_gives_a_traceback() -> None:
    for end in range(len(PIECE)):
        tree, faults = read_tree(PIECE[:end], "f")
        assert tree is not None or faults
