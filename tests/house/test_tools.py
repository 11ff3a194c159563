"""The linters, run as everyone runs them: `python3 run.py test lint` and `... types` start the same tools."""

from __future__ import annotations

import subprocess
import sys

import pytest
from tree import ROOT

TOOLS = {
    "ruff": ["-m", "ruff", "check", "."],
    "mypy": ["-m", "mypy"],
    "imports": ["-c", "import sys; from importlinter.cli import lint_imports_command as go; sys.exit(go())"],
}


@pytest.mark.parametrize("tool", TOOLS)
def test_tool_finds_nothing(tool: str) -> None:
    done = subprocess.run([sys.executable, *TOOLS[tool]], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{tool}:\n{done.stdout[-6000:]}\n{done.stderr[-2000:]}"
