"""What an installation from the wheel holds: every file of the package, and the examples to begin from."""

from __future__ import annotations

import shutil
import subprocess
import tomllib

import pytest
from tree import PACKAGE, ROOT

from batchwright.storage.starters import load_starter, starter_names


def test_no_file_of_the_package_is_ignored_by_version_control() -> None:
    command = ["git", "ls-files", "--others", "--ignored", "--exclude-standard", "--directory", str(PACKAGE)]
    if shutil.which("git") is None:
        pytest.skip("no git on this machine")
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        pytest.skip("not a git checkout")
    lost = [name for name in done.stdout.splitlines() if "__pycache__" not in name]
    assert not lost, "the wheel leaves out what version control ignores: " + ", ".join(lost)


def test_the_wheel_takes_the_examples_to_where_the_program_looks() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    taken = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert taken["examples"] == "batchwright/examples"
    assert all(within == f"batchwright/{path}" and (ROOT / path).exists() for path, within in taken.items()), taken
    for name in starter_names():
        starter = load_starter(name)
        assert starter is not None
        assert any(file.endswith(".piece.yaml") for file, _ in starter.files), name
