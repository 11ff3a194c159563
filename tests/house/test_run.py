"""run.py on machines that lack something, in folders with spaces, and started twice at once. No network needed."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest
from tree import ROOT

SLOW_INSTALL = """
import importlib.util, sys, time
from pathlib import Path
spec = importlib.util.spec_from_file_location("run", sys.argv[1])
run = importlib.util.module_from_spec(spec)
spec.loader.exec_module(run)

def call(command, complaint):
    env = run.environment()
    with (env / "calls.log").open("a") as log:
        log.write(command[2] + "\\n")
    time.sleep(0.3)
    if command[2] == "venv":
        run.python_in(env).parent.mkdir(parents=True)
        run.python_in(env).write_text("")

run.call, run.works = call, lambda python: False
print(run.prepare("dev"))
"""


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> ModuleType:
    """A fresh run.py whose environment is an empty folder with a space in its name."""
    monkeypatch.setenv("BATCHWRIGHT_ENV", str(tmp_path / "an environment"))
    spec = importlib.util.spec_from_file_location("run_under_test", ROOT / "run.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_old_python_is_refused_with_a_newer_one_named(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(run, "OLDEST", (99, 1))
    monkeypatch.setattr(run.shutil, "which", lambda name: name if name == "python3.12" else None)
    assert run.main(["plan"]) == 3
    told = capsys.readouterr().err
    assert "needs Python 99.1 or newer" in told
    assert "python3.12 run.py" in told


@pytest.mark.parametrize(("lost", "mend"), [("venv", "apt install python3"), ("ensurepip", "python.org")])
def test_python_without_its_parts_is_refused(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], lost: str, mend: str
) -> None:
    monkeypatch.setitem(sys.modules, lost, None)
    monkeypatch.setattr(run.shutil, "which", lambda name: name if "apt" in mend else None)
    assert run.main([]) == 3
    told = capsys.readouterr().err
    assert f"no '{lost}'" in told
    assert mend in told


def test_a_folder_of_something_else_is_left_alone(
    run: ModuleType, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = tmp_path / "an environment" / "letter.txt"
    kept.parent.mkdir()
    kept.write_text("dear")
    assert run.main(["plan"]) == 3
    assert "not a Python environment" in capsys.readouterr().err
    assert kept.read_text() == "dear"


def test_a_failed_installation_leaves_no_stamp(
    run: ModuleType, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(run, "works", lambda python: True)
    monkeypatch.setattr(run, "python_in", lambda env: Path(sys.executable).with_name("no-such-python"))
    monkeypatch.setattr(run.subprocess, "run", lambda *_, **__: subprocess.CompletedProcess([], 1))
    assert run.main(["plan"]) == 3
    told = capfd.readouterr().err
    assert "did not go through" in told
    assert "PIP_FIND_LINKS" in told
    assert not run.is_ready(run.environment(), "", run.recipe())


def test_a_broken_environment_is_made_again(run: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    env = run.environment()
    (env / "lib").mkdir(parents=True)
    (env / "pyvenv.cfg").write_text("home = gone")
    called: list[str] = []
    monkeypatch.setattr(run, "call", lambda command, _: called.append(command[2]))
    run.prepare()
    assert called == ["venv", "pip"]
    assert not (env / "lib").exists()


def test_two_starts_at_once_install_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BATCHWRIGHT_ENV", str(tmp_path / "an environment"))
    command = [sys.executable, "-c", SLOW_INSTALL, str(ROOT / "run.py")]
    starts = [subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(3)]
    told = [start.communicate(timeout=60) for start in starts]
    assert [start.returncode for start in starts] == [0, 0, 0], told
    assert (tmp_path / "an environment" / "calls.log").read_text().split() == ["venv", "pip"]
    assert any("another start" in err for _, err in told)


def test_unknown_section_names_the_known_ones(run: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert run.main(["test", "units"]) == 3
    told = capsys.readouterr().err
    assert "'units'" in told
    assert "unit | published | property" in told


def test_a_changed_pin_is_installed_anew(run: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    before = run.recipe()
    copy = tmp_path / "a checkout"
    copy.mkdir()
    for name in ("pyproject.toml", "constraints.txt"):
        (copy / name).write_text((ROOT / name).read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.setattr(run, "ROOT", copy)
    moved = run.recipe()
    (copy / "constraints.txt").write_text("numpy==0.0\n", encoding="utf-8")
    assert len({before, moved, run.recipe()}) == 3
