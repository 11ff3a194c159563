"""The `serve` command."""

from __future__ import annotations

import json
import sys
import webbrowser
from pathlib import Path

from batchwright.base.fault import Fault, Place
from batchwright.cli.answer import give_up, refuse

SUFFIXES = (".job.yaml", ".piece.yaml")
COMMAND = "batchwright serve"


def serve(job: Path | None, port: int | None, browser: bool, as_json: bool) -> None:
    """Open the page of a job, a piece, or a folder."""
    root, first = _what(job, as_json)
    from batchwright.web.serving import Wish
    from batchwright.web.serving import serve as listen

    def told(address: str) -> None:
        if as_json:
            sys.stdout.write(json.dumps({"ok": True, "address": address, "folder": str(root), "file": first}) + "\n")
        else:
            print(f"{first or root}: {address}\nCtrl-C ends it; what is not saved is kept as a draft.")
        sys.stdout.flush()
        if browser:
            webbrowser.open(address)

    try:
        listen(Wish(root=root, first=first, port=port), told)
    except OSError as problem:
        what = f"nothing can listen on port {port}: {problem.strerror or problem}."
        give_up(what, "name another with --port, or leave it out: a free one is then found.", as_json=as_json)


def _what(job: Path | None, as_json: bool) -> tuple[Path, str]:
    """The folder to serve, and the file in it to open first."""
    path = Path() if job is None else job
    if path.is_dir():
        return path.absolute(), ""
    if path.is_file() and path.name.endswith(SUFFIXES):
        return path.absolute().parent, path.name
    there = path.exists()
    fault = Fault(
        code="file-kind" if there else "file-missing",
        place=Place(COMMAND),
        what=f"'{path}' is neither a piece nor a job by its name." if there else f"there is no file '{path}'.",
        mend="name a job (.job.yaml), a piece (.piece.yaml) or a folder.",
    )
    refuse((fault,), as_json=as_json)
