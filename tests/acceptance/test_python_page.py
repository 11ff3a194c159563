"""docs/python.md is true: its examples run, its names are those there are."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

import batchwright
from batchwright.app.new import start_project

PAGE = (Path(__file__).parents[2] / "docs" / "python.md").read_text("utf-8")
EXAMPLES = re.findall(r"```python\n(.*?)```", PAGE, re.DOTALL)
RECORDS = ("Opened", "Drawing", "Plan", "Size")


def test_every_example_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    start_project("hall-table", tmp_path / "my-table")
    monkeypatch.chdir(tmp_path)
    before = Path("my-table/hall-table.piece.yaml").read_bytes()
    known: dict[str, object] = {}
    for example in EXAMPLES:
        exec(example, known)
    said = capsys.readouterr().out
    assert said.startswith("Hall table in\n")
    assert "outside-limits" in said
    assert (tmp_path / "out" / "packet.pdf").read_bytes().startswith(b"%PDF")
    after = Path("my-table/hall-table.piece.yaml").read_bytes()
    lines = [(old, new) for old, new in zip(before.splitlines(), after.splitlines(), strict=True) if old != new]
    assert [(b"is: 42" in old, b"is: 48 1/2" in new) for old, new in lines[:1]] == [(True, True)]
    assert [(b"is: 30 1/2" in old, b"is: 31" in new) for old, new in lines[1:]] == [(True, True)]


def test_the_page_names_what_there_is_and_nothing_else() -> None:
    table = PAGE[PAGE.index("## Names") :]
    told = set(re.findall(r"`([A-Za-z_]+(?:\.[a-z_]+)?)(?:\([a-z, ]*\))?`", table)) - {"in", "mm"}
    there = {name for name in batchwright.__all__ if name not in (*RECORDS, "__version__", "InputError")}
    there |= {"InputError.faults"}
    there |= {f"{name}.{each}" for name in RECORDS for each in _public(getattr(batchwright, name))}
    assert told - set(RECORDS) == there


def _public(record: type) -> set[str]:
    assert is_dataclass(record)
    names = {each.name for each in fields(record)} | set(vars(record))
    return {name for name in names if not name.startswith("_")}


def test_stub_and_module_offer_the_same_names() -> None:
    stub = (Path(batchwright.__file__).parent / "__init__.pyi").read_text("utf-8")
    listed = re.search(r"__all__ = \[(.*?)\]", stub, re.DOTALL)
    assert listed is not None
    assert sorted(re.findall(r'"(\w+)"', listed[1])) == sorted(batchwright.__all__)
    for name in batchwright.__all__:
        assert getattr(batchwright, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'chisel'"):
        batchwright.chisel  # noqa: B018


def test_a_piece_and_a_drawing_show_themselves_as_pictures(tmp_path: Path) -> None:
    start_project("splayed-stool", tmp_path / "stool")
    stool = batchwright.open(tmp_path / "stool" / "splayed-stool.piece.yaml")
    assert stool._repr_svg_().startswith("<svg")
    assert stool.draw("front")._repr_svg_() != stool.draw("side")._repr_svg_()


def test_everything_wrong_is_told_at_once(tmp_path: Path) -> None:
    file = tmp_path / "odd.piece.yaml"
    file.write_text("piece: Odd\nunits: in\nwood: wite oak\nuse: [indoors]\nhands: as seated\nparts: {}\n", "utf-8")
    with pytest.raises(batchwright.InputError) as wrong:
        batchwright.open(file)
    assert wrong.value.faults and all(fault.code in str(wrong.value) for fault in wrong.value.faults)
    with pytest.raises(batchwright.InputError, match="there is no view called 'below'"):
        start_project("splayed-stool", tmp_path / "stool")
        batchwright.open(tmp_path / "stool" / "stool.job.yaml").draw("below")


def test_saving_refuses_a_file_that_was_broken_meanwhile(tmp_path: Path) -> None:
    start_project("splayed-stool", tmp_path / "stool")
    file = tmp_path / "stool" / "splayed-stool.piece.yaml"
    stool = batchwright.open(file)
    name = next(name for name, size in stool.sizes.items() if size.free and size.high is not None)
    changed = stool.change({name: stool.sizes[name].high or 0.0})
    file.write_text("piece: [", "utf-8")
    with pytest.raises(batchwright.InputError):
        changed.save()
    assert file.read_text("utf-8") == "piece: ["
