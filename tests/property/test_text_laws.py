"""Laws of the text: no bytes make the reader stumble or hang; a saved size changes its own characters alone."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.design.text.read import read_bytes, read_tree
from batchwright.design.values.declared import declare
from batchwright.design.values.sizes import evaluate_sizes
from batchwright.design.values.write import Change, save_sizes, text_hash

names = st.from_regex(r"[a-wé][a-wé]{2,6}( [a-wñ]{3,5})?", fullmatch=True).filter(
    lambda name: not {"deg", "place"} & set(name.split())
)
spaces = st.text(" ", max_size=3)
remarks = st.sampled_from(["", " # a remark", "  # ä: {x: 1}, 'q'", "   "])
values = st.sampled_from(["15", "17 1/4", "4.5", "2'6\"", "6 mm", '"7/8"', "'3 in'", "-3/8", "1 1/2 in"])
ends = st.sampled_from(["\n", "\r\n"])


@st.composite
def files(draw: st.DrawFn) -> tuple[str, list[str]]:
    end = draw(ends)
    found = draw(st.lists(names, min_size=1, max_size=6, unique=True))
    lines = []
    for name in found:
        before, after, value, remark = draw(spaces), draw(spaces), draw(values), draw(remarks)
        if draw(st.booleans()):
            value = "{is:" + before + " " + value + ", note: 'n " + draw(st.sampled_from(["ä", "\u2033", ","])) + "'}"
        lines.append(f"  {name}{before}: {after}{value}{remark}")
    bom = draw(st.sampled_from(["", "\ufeff"]))
    head = f"{bom}piece: a{end}units: in{end}sizes:{end}"
    return head + end.join(lines) + draw(st.sampled_from(["", end, end + "# end" + end])), found


@given(files(), st.data())
@settings(max_examples=120, deadline=None)
def test_saving_gives_the_new_values_and_keeps_every_other_byte(
    file: tuple[str, list[str]], data: st.DataObject
) -> None:
    text, found = file
    chosen = data.draw(st.lists(st.sampled_from(found), unique=True, max_size=3))
    changes = [Change(name, data.draw(st.integers(-2000, 6000)) * 25.4 / 64) for name in chosen]
    saved = save_sizes(text, "f", changes, text_hash(text))
    assert saved.text is not None, saved.faults
    before, after = _values(text), _values(saved.text)
    wanted = {change.name: change.value for change in changes}
    for name, value in after.items():
        exact = wanted.get(name, before[name])
        assert abs(value - exact) <= 0.0005 if name in wanted else value == exact
    assert _without_values(text) == _without_values(saved.text)


def _values(text: str) -> dict[str, float]:
    tree, faults = read_tree(text, "f")
    assert tree is not None and not faults, faults
    book = evaluate_sizes(declare(tree), "in")
    assert not book.faults, book.faults
    return {value.name: value.value for value in book.values}


def _without_values(text: str) -> str:
    """The text with the characters of each size's value taken out, found through the tree."""
    tree, _ = read_tree(text, "f")
    assert tree is not None
    kept, at = [], 0
    sizes = tree.get("sizes")
    for _, node in sizes.entries:  # type: ignore[union-attr]
        scalar = node.get("is") if hasattr(node, "entries") else node
        kept.append(text[at : scalar.span.start])
        at = scalar.span.end
    return "".join([*kept, text[at:]])


@given(
    st.one_of(
        st.binary(max_size=200),
        st.text(alphabet="ab:-[]{},&*!|>'\"%@`#?\\ \n\r\t01é\x00\u2028", max_size=80).map(str.encode),
    )
)
@settings(max_examples=400, deadline=None)
def test_any_bytes_give_a_tree_or_faults(data: bytes) -> None:
    _, tree, faults = read_bytes(data, "f")
    assert tree is not None or faults
    for fault in faults:
        assert fault.place.file == "f" and fault.what and fault.mend
    if tree is not None:
        evaluate_sizes(declare(tree), "mm")
