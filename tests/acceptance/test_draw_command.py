"""`draw`: every view and a joint of every example, as SVG and as DXF."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from pathlib import Path

import ezdxf
import pytest

from typed import EXAMPLES, typed

FOLDER = Path(__file__).parents[2] / "examples"
VIEWS = ("front", "side", "plan", "pictorial", "apart")


@pytest.mark.parametrize("example", EXAMPLES)
@pytest.mark.parametrize("view", VIEWS)
def test_every_view_of_every_example_is_drawn(example: str, view: str, tmp_path: Path) -> None:
    piece = next((FOLDER / example).glob("*.piece.yaml"))
    for form in ("svg", "dxf"):
        out = tmp_path / f"{view}.{form}"
        assert typed("draw", piece, "--view", view, "--out", out).code == 0
    assert len(list(ElementTree.parse(tmp_path / f"{view}.svg").getroot().iter())) > 20
    drawing = ezdxf.readfile(tmp_path / f"{view}.dxf")
    assert not drawing.audit().errors
    assert len(drawing.modelspace()) > 20


@pytest.mark.parametrize("example", EXAMPLES)
def test_a_joint_of_every_example_is_drawn(example: str, tmp_path: Path) -> None:
    piece = next((FOLDER / example).glob("*.piece.yaml"))
    listed = typed("draw", piece, "--joint", "no such joint", "--json").json["faults"][0]["mend"]
    name = listed.split(": ", 1)[1].split(";")[0]
    for form in ("svg", "dxf"):
        assert typed("draw", piece, "--joint", name, "--out", tmp_path / f"a.{form}").code == 0
    assert ElementTree.parse(tmp_path / "a.svg").getroot().tag.endswith("svg")
    assert not ezdxf.readfile(tmp_path / "a.dxf").audit().errors


def test_a_dxf_is_at_true_size(tmp_path: Path) -> None:
    """The hall table's top is 43 3/4 in wide over its overhangs: 42 and twice 7/8."""
    piece = FOLDER / "hall-table" / "hall-table.piece.yaml"
    assert typed("draw", piece, "--view", "front", "--out", tmp_path / "a.dxf").code == 0
    drawing = ezdxf.readfile(tmp_path / "a.dxf")
    ends = [point for line in drawing.modelspace().query("LINE") for point in (line.dxf.start, line.dxf.end)]
    level = [(a, b) for a, b in zip(ends[::2], ends[1::2], strict=True) if abs(a.y - b.y) < 1e-6]
    lengths = {round(abs(a.x - b.x), 2) for a, b in level}
    assert round(43.75 * 25.4, 2) in lengths


def test_draw_without_out_writes_the_drawing_to_standard_output(project: Path) -> None:
    said = typed("draw", project / "frame.piece.yaml", "--view", "front")
    assert said.code == 0 and said.err == ""
    assert ElementTree.fromstring(said.out).tag.endswith("svg")
    as_json = typed("draw", project / "frame.piece.yaml", "--view", "front", "--json").json
    assert as_json["result"]["drawing"] == said.out
