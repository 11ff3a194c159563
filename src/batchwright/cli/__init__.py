"""The command line: one module per command; parsing and printing, nothing else."""

from __future__ import annotations

import os


def main() -> None:
    """Run the `batchwright` command."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small products: a second thread only waits for the first
    from batchwright.cli.commands import run

    run()
