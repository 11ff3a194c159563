"""The `batchwright` command and its subcommands. Each imports what it needs only when it is run."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path
from typing import Annotated

import typer

APP = typer.Typer(
    name="batchwright",
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

INTERRUPTED = 130

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
    """Start a project folder from an example.

    It gets a piece file, a job and boards. Nothing is ever written over: the folder must be new or empty.

    \b
    Examples:
      batchwright new list
      batchwright new hall-table my-table
    """
    from batchwright.cli.projects import new as run_new

    run_new(example, folder, json)


@APP.command()
def check(
    file: Annotated[Path, typer.Argument(help="A piece file (.piece.yaml) or a job (.job.yaml).")],
    json: AsJson = False,
) -> None:
    """Say all that is wrong with a piece or a job.

    Each fault with its line, column and mend; nothing is written. A job is read with its piece, shop, boards and
    defects. Where nothing is wrong, the joints are sized and what the checks found is told.

    \b
    Examples:
      batchwright check my-table/hall-table.piece.yaml
      batchwright check my-table/hall-table.job.yaml --json
    """
    from batchwright.cli.projects import check as run_check

    run_check(file, json)


@APP.command()
def plan(
    job: Annotated[Path, typer.Argument(help="The job to plan (.job.yaml).")],
    out: Out = Path("out"),
    json: AsJson = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="No progress bar.")] = False,
) -> None:
    """Plan a job and write its packet.

    Joints, lists, board plan, drawings, full-size outlines and rods: packet.pdf, plan.json, cutting-list.csv,
    buying-list.csv, boards/, outlines/ and rods/ go into the folder, all or none: a run that fails leaves the
    earlier packet as it was. Files of yours in that folder stay.

    \b
    Example:
      batchwright plan my-table/hall-table.job.yaml --out my-table/out
    """
    from batchwright.cli.planning import plan as run_plan

    run_plan(job, out, json, quiet)


@APP.command()
def cut(
    job: Annotated[Path, typer.Argument(help="The job (.job.yaml).")],
    parts: Annotated[list[str] | None, typer.Argument(help="Parts, copies or kinds that are cut.")] = None,
    undo: Annotated[bool, typer.Option("--undo", help="Take them back: they are to be made again.")] = False,
    json: AsJson = False,
) -> None:
    """Say which parts are cut already.

    They stay as they are from then on: joints keep the sizes they were cut to, and what no longer fits is told. The
    record lies beside the job. Without parts it tells what is cut.

    \b
    Examples:
      batchwright cut my-table/hall-table.job.yaml "leg" "low rail"
      batchwright cut my-table/hall-table.job.yaml "left front leg" --undo
    """
    from batchwright.cli.cutting import cut as run_cut

    run_cut(job, parts or [], undo, json)


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
    """Draw a view of a piece, or a section through a joint.

    As SVG or DXF, at true size.

    \b
    Examples:
      batchwright draw my-table/hall-table.piece.yaml --view side --out side.svg
      batchwright draw my-table/hall-table.piece.yaml --joint "low rail" --out joint.dxf
    """
    from batchwright.cli.planning import draw as run_draw

    run_draw(file, view, joint, out, json)


@APP.command()
def sheet(
    name: Annotated[str, typer.Argument(help="Key of a sheet, or `list` for all keys.")],
    job: Annotated[Path | None, typer.Argument(help="The job; default: the only one in this folder.")] = None,
    out: Out = Path("out"),
    json: AsJson = False,
) -> None:
    """Print one sheet of the packet again.

    It goes into sheets/ of the folder; everything else there is left alone.

    \b
    Examples:
      batchwright sheet list my-table/hall-table.job.yaml
      batchwright sheet rods my-table/hall-table.job.yaml --out my-table/out
    """
    from batchwright.cli.planning import sheet as run_sheet

    run_sheet(name, job, out, json)


@APP.command()
def export(
    job: Annotated[Path, typer.Argument(help="A job, or a piece file.")],
    forms: Annotated[
        list[str] | None,
        typer.Option("--as", help="glb, stl, svg, dxf, xlsx, csv or step; may be repeated. Default: all but step."),
    ] = None,
    parts: Annotated[
        list[str] | None, typer.Option("--part", help="Only this part or kind; may be repeated. Default: everything.")
    ] = None,
    out: Annotated[Path, typer.Option("--out", help="Folder to write into; made if it is not there.")] = Path("export"),
    json: AsJson = False,
) -> None:
    """Write models, drawings and lists for other programs.

    GLB and STL models of the piece and of each part; SVG and DXF of views, outlines, joints, rods and boards; XLSX
    and CSV lists; STEP where the extra `step` is installed. All files or none; other files in the folder stay.

    \b
    Examples:
      batchwright export my-table/hall-table.job.yaml --as glb --as xlsx --out my-table/export
      batchwright export my-table/hall-table.job.yaml --as stl --part leg --out my-table/export
    """
    from batchwright.cli.exporting import export as run_export

    run_export(job, forms or [], parts or [], out, json)


@APP.command()
def serve(
    job: Annotated[Path | None, typer.Argument(help="A job, a piece file, or a folder. Default: this folder.")] = None,
    port: Annotated[int | None, typer.Option("--port", help="0: any that is free. Default: 8321, or the next.")] = None,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open it in the browser.")] = False,
    within: Annotated[
        Path | None, typer.Option("--in", help="Folder the page opens and begins projects in. Default: the job's.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Open the page: the piece, its sheets and its sizes, live.

    The page is for this machine alone. Nothing reaches your files until you save there; what is not saved is kept as a
    draft. Without a job it begins with the examples and what lies in the folder. Ctrl-C ends it.

    \b
    Examples:
      batchwright serve my-table/hall-table.job.yaml
      batchwright serve --no-open --port 8400
    """
    from batchwright.cli.serving import serve as run_serve

    run_serve(job, (within, port), not no_open, json)


@APP.command()
def handbook(
    name: Annotated[str, typer.Argument(help="A formula or table; empty lists them all.")] = "",
    values: Annotated[list[str] | None, typer.Argument(help="name=value with its unit, as in temperature=10C.")] = None,
    json: AsJson = False,
) -> None:
    """Look up a published value, or work a formula.

    With source and limits. Without a name it lists everything there is; with a name alone it says what must be given.

    \b
    Examples:
      batchwright handbook
      batchwright handbook emc temperature=10C humidity=80%
      batchwright handbook species "white oak"
    """
    from batchwright.cli.reference import handbook as run_handbook

    run_handbook(name, values or [], json)


def run() -> None:
    """Run the command named in the arguments. A fault of our own is told in words; BATCHWRIGHT_DEBUG=1 shows more."""
    as_json = "--json" in sys.argv[1:]
    try:
        code = _answered()
    except (KeyboardInterrupt, BrokenPipeError, typer.Abort):
        _let_go_of_the_pipe()
        raise SystemExit(INTERRUPTED) from None
    except typer.TyperException as misuse:
        from batchwright.cli.answer import misused

        misused(misuse, as_json=as_json)
    except Exception as problem:
        if os.environ.get("BATCHWRIGHT_DEBUG"):
            raise
        from batchwright.cli.answer import give_up

        give_up(
            f"the program itself failed ({type(problem).__name__}: {problem}).",
            "nothing of yours was changed. Run again with BATCHWRIGHT_DEBUG=1 set and report what it prints.",
            as_json=as_json,
        )
    raise SystemExit(code if isinstance(code, int) else 0)


def _answered() -> object:
    """Run the command and bring out all it said, so that a reader who has gone is noticed here and not at the end."""
    try:
        return APP(standalone_mode=False, prog_name="batchwright")
    finally:
        sys.stdout.flush()


def _let_go_of_the_pipe() -> None:
    """Whoever read our output has gone: keep the interpreter from complaining of it at its end."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
