"""A progress bar on the terminal; nothing where no one watches."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from batchwright.app.progress import Progress, silent


@contextmanager
def progress_bar(quiet: bool) -> Iterator[Progress]:
    """Shows how far a task is, on standard error, while it lasts."""
    if quiet or not sys.stderr.isatty():
        yield silent
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    columns = (TextColumn("{task.description:<14}"), BarColumn(), TimeElapsedColumn())
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("reading", total=1.0)

        def show(what: str, share: float) -> None:
            bar.update(task, description=what, completed=share)

        yield show
