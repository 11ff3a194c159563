"""`export`: every form of file of every example, read again with libraries that know nothing of us."""

from __future__ import annotations

import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections import Counter
from pathlib import Path

import ezdxf
import ezdxf.bbox
import pytest
import svgelements

from batchwright.app.exporting import step
from batchwright.sheets.scene.strokes import Stroke
from typed import Said, bytes_in, typed

FOLDER = Path(__file__).parents[2] / "examples"
LAYERS = {stroke.value for stroke in Stroke} | {"text", "0", "Defpoints"}
MILLIMETRES = {1: 25.4, 4: 1.0}
"""One drawing unit, by $INSUNITS. Source: the DXF reference, header variables."""


def piece_of(example: str) -> Path:
    return next((FOLDER / example).glob("*.piece.yaml"))


def job_of(example: str) -> Path:
    return next((FOLDER / example).glob("*.job.yaml"))


DRAWN = ("hall-table", "splayed-stool")
CARVED = ("hall-table", "terrace-armchair")
"""Examples that stand here for all five, as drawings and as STEP; docs/measurements.md tells of the others."""


@pytest.fixture(scope="module", params=DRAWN)
def drawings(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An example's drawings."""
    out = tmp_path_factory.mktemp("export") / "out"
    said = typed("export", job_of(request.param), "--as", "svg", "--as", "dxf", "--out", out)
    assert said.code in (0, 1), said.err
    return out


def test_every_drawing_comes_in_both_forms(drawings: Path) -> None:
    names = [Path(name) for name in bytes_in(drawings)]
    for folder in ("views", "outlines", "joints", "rods", "boards"):
        both = Counter(name.suffix for name in names if name.parts[0] == folder)
        assert both[".svg"] == both[".dxf"]
        assert both[".svg"] > 0 or folder == "outlines"
    assert {name.stem for name in names if name.parts[0] == "views"} == {"front", "side", "plan", "pictorial", "apart"}


def test_every_dxf_is_sound_in_its_units_with_layers_by_stroke(drawings: Path) -> None:
    for path in drawings.rglob("*.dxf"):
        document = ezdxf.readfile(path)
        audit = document.audit()
        assert not audit.errors and not audit.fixes, path.name
        assert document.header["$INSUNITS"] in MILLIMETRES
        assert {entity.dxf.layer for entity in document.modelspace()} <= LAYERS, path.name


def test_every_svg_is_in_millimetres(drawings: Path) -> None:
    for path in drawings.rglob("*.svg"):
        root = ElementTree.parse(path).getroot()
        box = root.attrib["viewBox"].split()
        assert box[:2] == ["0", "0"]
        assert (root.attrib["width"], root.attrib["height"]) == (f"{box[2]}mm", f"{box[3]}mm")


def test_svg_and_dxf_measure_the_same(drawings: Path) -> None:
    """What both draw, its words left out, is as wide and high: outlines and rods as large as the wood, others at one
    scale."""
    for path in drawings.rglob("*.dxf"):
        document = ezdxf.readfile(path)
        unit = MILLIMETRES[document.header["$INSUNITS"]]
        drawn = [one for one in document.modelspace() if one.dxftype() != "TEXT"]
        size = ezdxf.bbox.extents(drawn).size
        wide, high = size.x * unit, size.y * unit
        across, up = size_of_svg(path.with_suffix(".svg"))
        scale = across / wide
        assert up == pytest.approx(high * scale, abs=0.1), path.name
        if path.parent.name in ("outlines", "rods"):
            assert (across, up) == pytest.approx((wide, high), abs=0.1), path.name


def size_of_svg(path: Path) -> tuple[float, float]:
    picture = svgelements.SVG.parse(str(path), ppi=25.4)
    boxes = [one.bbox(with_stroke=False) for one in picture.elements() if isinstance(one, svgelements.Path)]
    return (
        max(box[2] for box in boxes) - min(box[0] for box in boxes),
        max(box[3] for box in boxes) - min(box[1] for box in boxes),
    )


def test_without_a_form_everything_is_written_that_needs_nothing_more(tmp_path: Path) -> None:
    said = typed("export", piece_of("hall-table"), "--out", tmp_path / "out", "--json")
    forms = Counter(Path(name).suffix for name in said.json["result"]["files"])
    assert set(forms) == {".glb", ".stl", ".svg", ".dxf", ".xlsx", ".csv"}
    assert sorted(said.json["result"]["files"]) == sorted(bytes_in(tmp_path / "out"))
    kinds = typed("check", piece_of("hall-table"), "--json").json["result"]["kinds"]
    assert (forms[".glb"], forms[".stl"]) == (kinds + 2, kinds + 1)


def test_only_a_part_is_written_and_the_rest_of_the_folder_stays(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "mine.txt").write_text("mine")
    words = ("export", piece_of("hall-table"), "--as", "stl", "--as", "svg", "--as", "xlsx", "--out", out)
    assert typed(*words, "--part", "back long rail").code in (0, 1)
    written = set(bytes_in(out))
    assert {name for name in written if name.endswith(".stl")} == {"models/parts/long-rail.stl"}
    assert {"mine.txt", "lists/Hall-table.xlsx", "outlines/long-rail-face-side.svg"} <= written
    assert {name.split("/")[0] for name in written} == {"mine.txt", "models", "outlines", "joints", "lists"}
    assert typed(*words, "--part", "shelf").code in (0, 1)
    assert set(bytes_in(out)) > written


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    forms = [word for form in ("glb", "stl", "xlsx", "csv") for word in ("--as", form)]
    for folder in ("one", "two"):
        typed("export", piece_of("splayed-stool"), *forms, "--out", tmp_path / folder)
    assert bytes_in(tmp_path / "one") == bytes_in(tmp_path / "two")


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--as", "obj"), "unknown-form"),
        (("--part", "front legg"), "unknown-part"),
        (("--part", ""), "unknown-part"),
    ],
)
def test_what_is_not_there_is_told_and_nothing_is_written(words: tuple[str, ...], code: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    said = typed("export", piece_of("terrace-armchair"), *words, "--out", out, "--json")
    assert (said.code, said.codes) == (2, {code})
    assert not out.exists()


def test_all_that_is_wrong_is_told_at_once_with_the_nearest_name(tmp_path: Path) -> None:
    words = ("--as", "obj", "--part", "front legg", "--part", "crest")
    said = typed("export", piece_of("terrace-armchair"), *words, "--out", tmp_path / "out", "--json")
    mends = [fault["mend"] for fault in said.json["faults"]]
    assert len(mends) == 3
    assert any("front leg" in mend for mend in mends) and any("crest rail" in mend for mend in mends)


# --- STEP


def with_step(example: str, out: Path, *more: str) -> Said:
    return typed("export", job_of(example), "--as", "step", "--out", out, "--json", *more)


@pytest.fixture
def kernel() -> object:
    """The exact kernel, in this process, to read files again."""
    why = "the extra `step` is not installed, or the system lacks libGL, libX11 or libexpat"
    pytest.importorskip("OCP.gp", reason=why, exc_type=ImportError)
    from batchwright.solids import brep_kernel

    return brep_kernel


@pytest.mark.parametrize("example", CARVED)
def test_step_comes_back_with_every_part_one_sound_solid(example: str, kernel: object, tmp_path: Path) -> None:
    from batchwright.solids import brep_kernel
    from example_packets import planned

    out = tmp_path / "out"
    said = with_step(example, out)
    assert said.code in (0, 1), said.out
    assert said.json["result"]["notes"] == []
    whole = next(out.glob("models/*.step")).read_bytes()
    assert b"AP242" in whole[:1000] and b"Batchwright" in whole[:1000]
    piece = planned(example).piece
    found = dict(brep_kernel.read(whole))
    assert set(found) == {part.id for part in piece.parts}
    for part in piece.parts:
        body = found[part.id]
        assert brep_kernel.is_sound(body) and len(brep_kernel.pieces(body)) == 1, part.id
        assert brep_kernel.volume(body) == pytest.approx(part.volume, rel=2e-3), part.id
    assert len(list(out.glob("models/parts/*.step"))) == len(piece.kinds)


def test_step_of_one_part_lies_in_its_bench_coordinates(kernel: object, tmp_path: Path) -> None:
    from batchwright.solids import brep_kernel
    from example_packets import planned

    with_step("hall-table", tmp_path, "--part", "top")
    content = (tmp_path / "models" / "parts" / "top.step").read_bytes()
    part = next(part for part in planned("hall-table").piece.parts if part.id == "top")
    ((name, body),) = brep_kernel.read(content)
    low, high = brep_kernel.box_of(body)
    sizes = sorted([part.length, part.width, part.thickness])
    assert name == "top"
    assert sorted(high - low) == pytest.approx(sizes, abs=1e-3)
    assert not list(tmp_path.glob("models/*.step"))


def test_step_without_its_extra_says_how_to_install_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(step, "LIBRARY", "no_such_library")
    said = with_step("hall-table", tmp_path / "out")
    assert (said.code, said.codes) == (2, {"step-not-installed"})
    assert "pip install 'batchwright[step]'" in said.json["faults"][0]["mend"]
    assert not (tmp_path / "out").exists()


def broken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, library: str, worker: str = "") -> Said:
    """An export with a library and, where given, a worker of our own instead."""
    (tmp_path / "OCP").mkdir()
    (tmp_path / "OCP" / "__init__.py").write_text(library)
    (tmp_path / "broken_worker.py").write_text(worker)
    monkeypatch.setenv("PYTHONPATH", f"{tmp_path}:{':'.join(path for path in sys.path if path)}")
    monkeypatch.setattr(step, "find_spec", lambda name: name)
    if worker:
        monkeypatch.setattr(step, "WORKER", "broken_worker")
    said = with_step("hall-table", tmp_path / "out", "--part", "top")
    assert said.code == 2 and not (tmp_path / "out").exists()
    return said


def test_step_whose_library_does_not_load_says_what_is_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said = broken(tmp_path, monkeypatch, "raise ImportError('libGL.so.1: cannot open shared object file')")
    assert said.codes == {"step-not-loaded"}
    assert "libGL.so.1" in said.json["faults"][0]["what"] and "libgl1" in said.json["faults"][0]["mend"]


@pytest.mark.parametrize("end", ["import os; os.abort()", "raise SystemExit(3)", "print('nonsense'); raise OSError(5)"])
def test_a_crash_of_the_exact_kernel_is_told(end: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert broken(tmp_path, monkeypatch, "", end).codes == {"step-broke-off"}


def test_an_exact_kernel_that_never_ends_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(step, "LIMIT", 0.3)
    started: list[subprocess.Popen[bytes]] = []
    real = subprocess.Popen

    def noted(*words: object, **more: object) -> object:
        started.append(real(*words, **more))  # type: ignore[call-overload]
        return started[-1]

    monkeypatch.setattr(step.subprocess, "Popen", noted)
    assert broken(tmp_path, monkeypatch, "", "import time; time.sleep(600)").codes == {"step-too-slow"}
    assert started[0].poll() is not None
