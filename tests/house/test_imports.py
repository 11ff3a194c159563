"""Imports go down, rooms do not know one another: the contracts of pyproject.toml hold."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_every_import_contract_holds() -> None:
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()", "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout
