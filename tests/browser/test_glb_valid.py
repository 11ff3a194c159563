"""Every GLB file of every example against the Khronos Group's validator of glTF 2.0: no error, no warning."""

from __future__ import annotations

import base64
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from batchwright.app.export import export_files
from example_packets import JOBS, planned

VALIDATOR = Path(__file__).parent / "vendor" / "gltf-validator.js"
Report = dict[str, Any]


@pytest.fixture
def validate(page: Page) -> Callable[[bytes], Report]:
    """The validator in a page of its own."""
    page.evaluate("globalThis.exports = {}")
    page.add_script_tag(content=VALIDATOR.read_text("utf-8"))

    def asked(content: bytes) -> Report:
        script = "text => exports.validateBytes(Uint8Array.from(atob(text), one => one.charCodeAt(0)), {maxIssues: 20})"
        report: Report = page.evaluate(script, base64.b64encode(content).decode())
        return report

    return asked


@pytest.mark.parametrize("name", sorted(JOBS))
def test_every_glb_is_valid(name: str, validate: Callable[[bytes], Report]) -> None:
    files = export_files(planned(name), ["glb"])
    assert len(files) == len(planned(name).piece.kinds) + 2
    for file, content in files.items():
        issues = validate(content)["issues"]
        assert issues["numErrors"] == issues["numWarnings"] == 0, (file, issues["messages"])


def test_the_validator_sees_what_is_wrong(validate: Callable[[bytes], Report]) -> None:
    content = next(iter(export_files(planned("hall-table"), ["glb"], ["shelf"]).values()))
    assert validate(content)["issues"]["numErrors"] == 0
    assert validate(content.replace(b'"VEC3"', b'"VEC2"', 1))["issues"]["numErrors"] > 0
    assert validate(content[:-8])["issues"]["numErrors"] > 0
