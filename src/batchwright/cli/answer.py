"""What every command says in the end, in words or as JSON, and the exit code that goes with it."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Mapping
from enum import IntEnum
from typing import NoReturn

from batchwright.base.fault import Fault, Level, Place
from batchwright.base.finding import Finding, Grade


def command_name() -> str:
    """How this program is called here: run.py says so where it was started from a checkout."""
    return os.environ.get("BATCHWRIGHT_AS") or "batchwright"


class Exit(IntEnum):
    """Exit codes, the same for every command."""

    FINE = 0
    FINDINGS = 1
    FAULTS = 2
    COULD_NOT = 3


def answer(
    result: Mapping[str, object],
    *,
    as_json: bool,
    words: Iterable[str],
    findings: tuple[Finding, ...] = (),
    faults: tuple[Fault, ...] = (),
) -> NoReturn:
    """Say what was done. The exit code is 1 where a finding fails, else 0. `faults` here are warnings only."""
    failing = any(finding.grade is Grade.FAILS for finding in findings)
    code = Exit.FINDINGS if failing else Exit.FINE
    if as_json:
        shape: dict[str, object] = {"ok": True, "exit": int(code), "result": dict(result)}
        shape["findings"] = [finding.as_json() for finding in findings]
        shape["warnings"] = [fault.as_json() for fault in faults]
        _write_json(shape)
    else:
        for fault in faults:
            print(fault, file=sys.stderr)
        for line in words:
            print(line)
    raise SystemExit(int(code))


def refuse(faults: tuple[Fault, ...], *, as_json: bool) -> NoReturn:
    """Say what is wrong with the input; nothing was written."""
    if as_json:
        _write_json({"ok": False, "exit": int(Exit.FAULTS), "faults": [fault.as_json() for fault in faults]})
    else:
        for fault in faults:
            print(fault, file=sys.stderr)
        errors = sum(fault.level is Level.ERROR for fault in faults)
        print(f"{errors} fault{'s' if errors != 1 else ''}; nothing was written.", file=sys.stderr)
    raise SystemExit(int(Exit.FAULTS))


def give_up(what: str, mend: str, *, as_json: bool) -> NoReturn:
    """Say that it could not be done, though the input may be right (disk, folder in use)."""
    if as_json:
        _write_json({"ok": False, "exit": int(Exit.COULD_NOT), "problem": {"what": what, "mend": mend}})
    else:
        print(f"could not do it: {what}\n    mend: {mend}", file=sys.stderr)
    raise SystemExit(int(Exit.COULD_NOT))


def misused(misuse: Exception, *, as_json: bool) -> NoReturn:
    """Say that the words of the command do not go together, and where its help is."""
    context = getattr(misuse, "ctx", None)
    command = "batchwright" if context is None else str(context.command_path)
    told = getattr(misuse, "format_message", lambda: str(misuse))().strip()
    fault = Fault(
        code="command-misused",
        place=Place(command),
        what=f"{told[:1].lower()}{told[1:].rstrip('.')}." if told else "a word is missing.",
        mend=f"`{command} --help` tells what it takes, with an example.",
    )
    refuse((fault,), as_json=as_json)


def finding_words(findings: tuple[Finding, ...]) -> list[str]:
    """Findings for reading: what fails first, then what is near a limit, then a count of notes."""
    lines = [str(one) for grade in (Grade.FAILS, Grade.NEAR) for one in findings if one.grade is grade]
    counts = {grade: sum(one.grade is grade for one in findings) for grade in Grade}
    lines.append(f"findings: {counts[Grade.FAILS]} fail, {counts[Grade.NEAR]} near a limit, {counts[Grade.NOTE]} notes")
    return lines


def _write_json(shape: dict[str, object]) -> None:
    sys.stdout.write(json.dumps(shape, indent=1, ensure_ascii=False) + "\n")
