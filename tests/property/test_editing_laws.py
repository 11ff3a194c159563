"""Changes are splices: undone they give the same bytes, and lines they are not about stay as they were."""

from __future__ import annotations

import re
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from batchwright.base.mend import Change
from batchwright.design.editing.apply import apply_changes
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Mapping, Scalar, Sequence

ROOT = Path(__file__).parents[2] / "examples"
FOLDERS = sorted(folder for folder in ROOT.iterdir() if folder.is_dir())

REMARKS = st.sampled_from(["", "   # größer, später"])
FORMS = st.tuples(st.booleans(), st.booleans(), REMARKS)
"""Line ends in CRLF, no line end at the end, a remark behind every line that is not in the midst of a text."""


@st.composite
def projects(draw: st.DrawFn) -> tuple[dict[str, str], str]:
    """The files of an example in one of many forms, and the name of its piece file."""
    folder = draw(st.sampled_from(FOLDERS))
    texts = {path.name: path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.yaml"))}
    crlf, cut, remark = draw(FORMS)
    for name, text in texts.items():
        remarked = [f"{line}{remark}" if line.strip() and "#" not in line else line for line in text.split("\n")]
        text = "\n".join(remarked)
        text = text.rstrip("\n") if cut else text
        texts[name] = text.replace("\n", "\r\n") if crlf else text
    return texts, next(name for name in texts if name.endswith("piece.yaml"))


def names(text: str, section: str) -> list[str]:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    table = tree.get(section)
    return list(table.words()) if isinstance(table, Mapping) else []


def count_of_joints(text: str) -> int:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    joints = tree.get("joints")
    return len(joints.items) if isinstance(joints, Sequence) else 0


def made(texts: dict[str, str], piece: str, *changes: Change) -> dict[str, str]:
    out, faults = apply_changes(texts, piece, changes)
    assert out is not None, [str(fault) for fault in faults]
    return out


def lines(text: str) -> list[str]:
    return re.split(r"\r\n|\n", text)


@settings(max_examples=8, deadline=None)
@given(projects(), st.data())
def test_a_name_changed_and_changed_back_gives_the_same_bytes(project: tuple[dict[str, str], str], data) -> None:  # type: ignore[no-untyped-def]
    texts, piece = project
    what = data.draw(st.sampled_from([w for w in ("part", "size", "place") if names(texts[piece], f"{w}s")]))
    old = data.draw(st.sampled_from(names(texts[piece], f"{what}s")))
    new = data.draw(st.sampled_from(["neuer Name", "Ämter", "q", "long name of four words"]))
    once = made(texts, piece, Change(do=f"rename {what}", of=old, name=new))
    assert once != texts
    assert made(once, piece, Change(do=f"rename {what}", of=new, name=old)) == texts


@settings(max_examples=8, deadline=None)
@given(projects(), st.data())
def test_a_size_set_and_set_back_gives_the_same_bytes(project: tuple[dict[str, str], str], data) -> None:  # type: ignore[no-untyped-def]
    texts, piece = project
    size = data.draw(st.sampled_from(names(texts[piece], "sizes")))
    once = made(texts, piece, Change(do="size", name=size, text="7 77/100"))
    assert (
        sum(old != new for name in texts for old, new in zip(lines(texts[name]), lines(once[name]), strict=True)) == 1
    )
    (where,) = [name for name in texts if texts[name] != once[name]]
    assert made(once, piece, Change(do="size", name=size, text=value_of(texts[where], size))) == texts


def value_of(text: str, size: str) -> str:
    tree, _ = read_tree(text, "f")
    assert tree is not None
    sizes = tree.get("sizes")
    assert isinstance(sizes, Mapping)
    node = sizes.get(size)
    node = node.get("is") if isinstance(node, Mapping) else node
    assert isinstance(node, Scalar)
    return node.text


NEW = st.sampled_from([
    ("part", "{box: {x: [0, 1], y: [0, 1], z: [0, 9]}, note: neu}"),
    ("part", "box: {x: [0, 1], y: [0, 1], z: [0, 9]}\ncount: pair\nnote: neu\n"),
    ("size", "17 1/4"),
    ("size", "{is: 4 deg, from: 0 deg, note: 'a, b: c'}"),
    ("number", "7"),
    ("place", "[0, 1, 2]"),
    ("place", "{view: side, line: [[0, 0], [1, 2]]}"),
])  # fmt: skip


@settings(max_examples=10, deadline=None)
@given(projects(), NEW, st.data())
def test_what_is_added_and_removed_gives_the_same_bytes(
    project: tuple[dict[str, str], str],
    new: tuple[str, str],
    data,  # type: ignore[no-untyped-def]
) -> None:
    texts, piece = project
    what, text = new
    after = data.draw(st.sampled_from(["", *names(texts[piece], f"{what}s")]))
    once = made(texts, piece, Change(do=f"add {what}", name="ganz neu", text=text, after=after))
    assert "ganz neu" in names(once[piece], f"{what}s")
    kept = list(lines(once[piece]))
    for line in lines(texts[piece]):
        kept.remove(line)
    assert kept and all("ganz neu" in kept[0] or kept[0] == f"{what}s:" for _ in "x")
    assert made(once, piece, Change(do=f"remove {what}", of="ganz neu")) == texts


@settings(max_examples=8, deadline=None)
@given(projects(), st.data())
def test_joints_added_and_copied_and_removed_give_the_same_bytes(project: tuple[dict[str, str], str], data) -> None:  # type: ignore[no-untyped-def]
    texts, piece = project
    count = count_of_joints(texts[piece])
    added = made(texts, piece, Change(do="add joint", text="{rest: a, on: b}"))
    assert count_of_joints(added[piece]) == count + 1
    assert made(added, piece, Change(do="remove joint", joint=count)) == texts
    which = data.draw(st.integers(0, count - 1))
    copied = made(texts, piece, Change(do="copy joint", joint=which))
    assert count_of_joints(copied[piece]) == count + 1
    assert made(copied, piece, Change(do="remove joint", joint=which + 1)) == texts


@settings(max_examples=8, deadline=None)
@given(projects(), st.data())
def test_a_part_copied_and_removed_gives_the_same_bytes(project: tuple[dict[str, str], str], data) -> None:  # type: ignore[no-untyped-def]
    texts, piece = project
    part = data.draw(st.sampled_from(names(texts[piece], "parts")))
    once = made(texts, piece, Change(do="copy part", of=part, name="noch einer"))
    assert made(once, piece, Change(do="remove part", of="noch einer")) == texts


@settings(max_examples=8, deadline=None)
@given(projects(), st.data())
def test_a_removed_part_leaves_every_other_line(project: tuple[dict[str, str], str], data) -> None:  # type: ignore[no-untyped-def]
    texts, piece = project
    part = data.draw(st.sampled_from(names(texts[piece], "parts")))
    once = made(texts, piece, Change(do="remove part", of=part))
    assert part not in names(once[piece], "parts")
    before = lines(texts[piece])
    left = iter(before)
    for line in lines(once[piece]):
        if line in before:
            assert any(line == other for other in left), line
        else:
            words = line.split("[")[0].split(":")[0]
            assert any(other.startswith(words) and part in other for other in before), line


@settings(max_examples=8, deadline=None)
@given(projects(), st.data())
def test_a_word_set_in_a_joint_and_taken_out_gives_the_same_bytes(project: tuple[dict[str, str], str], data) -> None:  # type: ignore[no-untyped-def]
    texts, piece = project
    which = data.draw(st.integers(0, count_of_joints(texts[piece]) - 1))
    way = ("joints", which, "clearance")
    once = made(texts, piece, Change(do="set", path=way, text="1/64"))
    assert once != texts
    assert made(once, piece, Change(do="set", path=way, text=None)) == texts
