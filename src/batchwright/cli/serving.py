"""The `serve` command."""

from __future__ import annotations

import json
import sys
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from batchwright.base.fault import Fault, Place
from batchwright.cli.answer import give_up, refuse

SUFFIXES = (".job.yaml", ".piece.yaml")
COMMAND = "batchwright serve"
HIGHEST_PORT = 65_535


def serve(job: Path | None, where: tuple[Path | None, int | None], browser: bool, as_json: bool) -> None:
    """Open the page of a job, a piece, or a folder; `where` is the folder it may go about in, and the port."""
    within, port = where
    if port is not None and not 0 <= port <= HIGHEST_PORT:
        fault = Fault(
            code="no-such-port",
            place=Place(COMMAND),
            what=f"there is no port {port}.",
            mend=f"name one from 1 to {HIGHEST_PORT}, or leave it out.",
        )
        refuse((fault,), as_json=as_json)
    root, first = _what(job, within, as_json)

    def told(address: str) -> None:
        if as_json:
            sys.stdout.write(json.dumps({"ok": True, "address": address, "folder": str(root), "file": first}) + "\n")
        else:
            print(f"{first or root}: {address}\nCtrl-C ends it; what is not saved is kept as a draft.")
        sys.stdout.flush()
        if browser:
            webbrowser.open(address)

    with suppress(KeyboardInterrupt):
        _listen((root, first, port), told, as_json)


def _listen(what: tuple[Path, str, int | None], told: Callable[[str], None], as_json: bool) -> None:
    """Serve until it is interrupted."""
    from batchwright.web.serving import Wish, serve

    root, first, port = what
    try:
        serve(Wish(root=root, first=first, port=port), told)
    except OSError as problem:
        where = "any port" if port is None else f"port {port}"
        mend = "name another with --port, or leave it out: a free one is then found."
        give_up(f"nothing can listen on {where}: {problem.strerror or problem}.", mend, as_json=as_json)


def _what(job: Path | None, within: Path | None, as_json: bool) -> tuple[Path, str]:
    """The folder to serve, and the file in it to open first."""
    path = Path() if job is None else job
    if path.is_dir() and (within is None or job is None):
        return (within or path).absolute(), ""
    if not (path.is_file() and path.name.endswith(SUFFIXES)):
        there = path.exists()
        what = f"'{path}' is neither a piece nor a job by its name." if there else f"there is no file '{path}'."
        refuse((_fault("file-kind" if there else "file-missing", what),), as_json=as_json)
    root = (within or path.parent).absolute()
    if not root.is_dir() or not path.absolute().is_relative_to(root):
        refuse((_fault("file-outside-project", f"'{path}' does not lie in the folder '{within}'."),), as_json=as_json)
    return root, path.absolute().relative_to(root).as_posix()


def _fault(code: str, what: str) -> Fault:
    mend = "name a job (.job.yaml), a piece (.piece.yaml) or a folder; a file must lie in the folder of --in."
    return Fault(code=code, place=Place(COMMAND), what=what, mend=mend)
