"""A command as a maker types it: within this process, or as a process of its own."""

from __future__ import annotations

import contextlib
import io
import json
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch

from batchwright.cli import main

EXAMPLES = ("garden-settee", "hall-table", "splayed-stool", "terrace-armchair", "trestle-table")

MOMENT = "1790000000"
"""Seconds since 1970: the date printed on packets made in tests."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a command said and the exit code it left."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """Standard output as JSON: all of it, or this raises."""
        answer: dict[str, Any] = json.loads(self.out)
        return answer

    @property
    def codes(self) -> set[str]:
        """The fault codes of a refused command that was asked with --json."""
        return {fault["code"] for fault in self.json["faults"]}


@dataclass(frozen=True, slots=True)
class Planned:
    """One example: its folder, its job, where its packet lies, and what `plan` said."""

    name: str
    job: Path
    out: Path
    said: Said


def typed(*words: object) -> Said:
    """Run the command within this process."""
    out, err = io.StringIO(), io.StringIO()
    line = ["batchwright", *map(str, words)]
    environment = {"SOURCE_DATE_EPOCH": MOMENT, "BATCHWRIGHT_DEBUG": "1"}
    with (
        patch.object(sys, "argv", line),
        patch.dict(os.environ, environment),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        try:
            main()
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 1
        else:
            code = 0
    return Said(code, out.getvalue(), err.getvalue())


def own_environment(more: Mapping[str, str] | None = None) -> dict[str, str]:
    """Environment variables of a process of our own."""
    return {**os.environ, "SOURCE_DATE_EPOCH": MOMENT, "PYTHONUTF8": "1", **(more or {})}


def as_process(*words: object, folder: Path | None = None, more: Mapping[str, str] | None = None) -> Said:
    """Run the command as a process of its own, in a folder."""
    line = [sys.executable, "-m", "batchwright", *map(str, words)]
    done = subprocess.run(
        line, cwd=folder, env=own_environment(more), capture_output=True, text=True, encoding="utf-8", timeout=120
    )
    return Said(done.returncode, done.stdout, done.stderr)


def bytes_in(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, by name, without the program's own notes."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and ".batchwright" not in path.parts
    }
