"""No word in the repository that would be a nuisance elsewhere: machine paths, registry hosts, brands."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
UNWANTED = re.compile(r"/(?:wor[k]|tm[p]|hom[e]|roo[t])/\w|pypi\.or[g]|files\.pythonhoste[d]|registry\.npm[j]s", re.I)


def tracked() -> list[Path]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout")
    return [ROOT / name for name in listed.stdout.splitlines()]


def test_no_machine_path_and_no_registry_in_any_tracked_text() -> None:
    found = []
    for path in tracked():
        if not path.exists() or path.suffix in {".ttf", ".png", ".pdf"}:
            continue
        for number, line in enumerate(path.read_text("utf-8", errors="replace").splitlines(), start=1):
            if UNWANTED.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()[:80]}")
    assert not found


def test_every_fault_code_is_explained() -> None:
    codes = set()
    for module in (ROOT / "src").rglob("*.py"):
        codes |= set(re.findall(r"""(?:code=|mistake\(\s*)["']([a-z][a-z0-9-]+)["']""", module.read_text("utf-8")))
    explained = (ROOT / "docs" / "faults.md").read_text("utf-8")
    assert len(codes) > 30
    assert not sorted(code for code in codes if f"`{code}`" not in explained)
