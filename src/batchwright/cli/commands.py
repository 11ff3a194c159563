"""The `batchwright` command and its subcommands. Each imports what it needs only when it is run."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Annotated

import typer

APP = typer.Typer(
    name="batchwright",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    help=(
        "From your own drawing as text (a piece file), a job and your shop: joints and true shoulder lengths, "
        "cutting list, board plan, drawings and a printed packet for the bench.\n\n"
        "Start with:  batchwright new terrace-armchair my-chair\n\n"
        "and then:    batchwright plan my-chair/terrace.job.yaml --out out\n\n"
        "Exit codes: 0 fine; 1 done, but findings fail; 2 faults in the input, nothing written; 3 could not do it."
    ),
)

AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON on standard output.")]
Out = Annotated[Path, typer.Option("--out", help="Folder to write into; made if it is not there.")]


@APP.callback(invoke_without_command=True)
def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        from batchwright import __version__

        typer.echo(f"batchwright {__version__}")
        raise typer.Exit
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())


@APP.command()
def new(
    example: Annotated[str, typer.Argument(help="Name of an example; `list` names them all.")],
    folder: Annotated[Path | None, typer.Argument(help="Folder to make: new, or empty. Default: its name.")] = None,
    json: AsJson = False,
) -> None:
    """Start a project folder from an example: a piece file, a job and its boards."""
    from batchwright.cli.projects import new as run_new

    run_new(example, folder, json)


@APP.command()
def check(
    file: Annotated[Path, typer.Argument(help="A piece file (.piece.yaml) or a job (.job.yaml).")],
    json: AsJson = False,
) -> None:
    """Read a piece or a job and say all that is wrong with it, with line, column and mend. Writes nothing."""
    from batchwright.cli.projects import check as run_check

    run_check(file, json)


@APP.command()
def plan(
    job: Annotated[Path, typer.Argument(help="The job to plan (.job.yaml).")],
    out: Out = Path("out"),
    json: AsJson = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="No progress bar.")] = False,
) -> None:
    """Plan a job: joints, lists, board plan, drawings, full-size outlines, rods, and the packet as PDF.

    Writes packet.pdf, plan.json, cutting-list.csv, buying-list.csv, boards/, outlines/ and rods/ into the folder, all
    or none: a run that fails leaves the earlier packet as it was.
    """
    from batchwright.cli.planning import plan as run_plan

    run_plan(job, out, json, quiet)


@APP.command()
def draw(
    file: Annotated[Path, typer.Argument(help="A piece file or a job.")],
    view: Annotated[str, typer.Option("--view", help="front, side, plan, pictorial or apart.")] = "pictorial",
    joint: Annotated[str, typer.Option("--joint", help="Section through a joint, by its name or a part of it.")] = "",
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write: .svg or .dxf. Default: standard output.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Draw one view of a piece, or a section through one of its joints, as SVG or DXF."""
    from batchwright.cli.planning import draw as run_draw

    run_draw(file, view, joint, out, json)


@APP.command()
def sheet(
    name: Annotated[str, typer.Argument(help="Key of a sheet, or `list` for all keys.")],
    job: Annotated[Path | None, typer.Argument(help="The job; default: the only one in this folder.")] = None,
    out: Out = Path("out"),
    json: AsJson = False,
) -> None:
    """Print one sheet of the packet again, into sheets/ of the folder; everything else there is left alone."""
    from batchwright.cli.planning import sheet as run_sheet

    run_sheet(name, job, out, json)


@APP.command()
def handbook(
    name: Annotated[str, typer.Argument(help="A formula or table; empty lists them all.")] = "",
    values: Annotated[list[str] | None, typer.Argument(help="name=value with its unit, as in temperature=10C.")] = None,
    json: AsJson = False,
) -> None:
    """Look a published value up, or work a published formula, with its source and limits.

    Examples: batchwright handbook;  batchwright handbook emc temperature=10C humidity=80%;
    batchwright handbook species "white oak"
    """
    from batchwright.cli.reference import handbook as run_handbook

    run_handbook(name, values or [], json)


def run() -> None:
    """Run the command named in the arguments. A fault of our own is told in words; BATCHWRIGHT_DEBUG=1 shows more."""
    try:
        APP()
    except (KeyboardInterrupt, BrokenPipeError):
        raise SystemExit(130) from None
    except Exception as problem:
        if os.environ.get("BATCHWRIGHT_DEBUG"):
            raise
        from batchwright.cli.answer import give_up

        give_up(
            f"the program itself failed ({type(problem).__name__}: {problem}).",
            "nothing of yours was changed. Run again with BATCHWRIGHT_DEBUG=1 set and report what it prints.",
            as_json="--json" in sys.argv,
        )
