"""The command line: one module per command; parsing and printing, nothing else."""

from __future__ import annotations


def main() -> None:
    """Run the `batchwright` command."""
    from batchwright.cli.commands import run

    run()
