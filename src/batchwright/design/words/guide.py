"""The reference of the language, made from the same table of words that the reader uses."""

from __future__ import annotations

from batchwright.design.boards import BOARD_COLUMNS, DEFECT_COLUMNS
from batchwright.design.text.cells import Column
from batchwright.design.text.syntax import ATTRIBUTES, AXES, FUNCTIONS, RESERVED, UNITS
from batchwright.design.words.word import Table, Word
from batchwright.design.words.words import MACHINES, TABLES

_PIECE = (
    "piece", "size", "place", "part", "box", "section", "taper", "strip", "outline item", "outline file", "also sawn",
    "plane", "cut", "edge", "shaped", "repeat",
)  # fmt: skip
_JOINTS = (
    "tenon", "loose tenon", "dowel", "meeting", "housing", "groove", "halving", "notch", "rest", "screw", "button",
    "glue", "except", "shoulders", "pegs", "tusk", "slips",
)  # fmt: skip
_JOB = ("job", "as milled", "cut file", "cut part", "cut joint")
_SHOP = (
    "shop", "machine", "cutter", "chisel", "guide", "clamp", "allowances", "fits", "tolerances", "walls",
)  # fmt: skip

CHAPTERS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("A piece file", "One piece to a file, `NAME.piece.yaml`.", _PIECE),
    (
        "Joints",
        "Each line of `joints` begins with one of the words below, and covers every copy that it fits.",
        _JOINTS,
    ),
    ("A job file", "`NAME.job.yaml`, beside the piece. What a job says wins over what the piece says.", _JOB),
    ("A shop file", "`shop.yaml`, beside the job. Lists are replaced whole, everything else word by word.", _SHOP),
)


def reference_text() -> str:
    """The whole reference as Markdown."""
    parts = ["# The words of the language", _INTRODUCTION, _expressions()]
    for title, says, keys in CHAPTERS:
        parts += [f"## {title}", says, *(_table(TABLES[key]) for key in keys)]
        if title == "A shop file":
            parts.append(_machines())
    parts += [_columns("Boards", BOARD_COLUMNS), _columns("Defects", DEFECT_COLUMNS)]
    return "\n\n".join(parts) + "\n"


_INTRODUCTION = (
    "This page is made from the table that the reader of the files uses; a test holds the two together. Words in "
    "*italics* must be there. How it all goes together is told in [Your own piece](your-own-piece.md); every fault has "
    "its line in [Faults](../faults.md)."
)


def _expressions() -> str:
    rows = [
        ("numbers", "`12`, `4.5`, `7/8`, `17 1/4`; after `*` or `/` a mixed fraction needs brackets"),
        ("units", f"{_listed(UNITS)}; a number without one is in the file's `units`"),
        ("feet and inches", '`2\'6"`, `2\' 6 1/2"`, `6"`'),
        ("slopes", "`1 in 8`: the angle that rises one in eight"),
        ("sums and products", "`+ - * /` and round brackets; a unit belongs to the number before it"),
        (
            "functions",
            f"{_listed(FUNCTIONS)}; arguments are parted by semicolons; `round`, `floor` and `ceil` take a step",
        ),
        ("a coordinate of a thing", f"`NAME.` and one of {_listed(ATTRIBUTES)}"),
        ("a place on a line or part", f"`NAME at` {_listed(AXES)} and a length: `back line at z 24`"),
        ("this copy's own place", "`place.x`, `place.y`, `place.z`, within a `repeat`"),
        ("names", f"words of letters and digits, single spaces, no hyphens; never {_listed(sorted(RESERVED))}"),
    ]
    lines = ["## Lengths, angles and numbers", "", "| what | how it is written |", "| --- | --- |"]
    return "\n".join([*lines, *(f"| {what} | {how} |" for what, how in rows)])


def _table(table: Table) -> str:
    lines = [f"### {table.title}", ""]
    if table.says:
        lines += [table.says, ""]
    lines += ["| word | meaning | where it is not said | example |", "| --- | --- | --- | --- |"]
    return "\n".join([*lines, *(_row(word) for word in table.words)])


def _row(word: Word) -> str:
    name = f"*`{word.word}`*" if word.required else f"`{word.word}`"
    return f"| {name} | {word.says} | {word.default} | `{word.example}` |"


def _machines() -> str:
    lines = ["### Kinds of machine", "", "| word | what it does |", "| --- | --- |"]
    return "\n".join([*lines, *(f"| `{kind}` | {does} |" for kind, does in MACHINES)])


def _columns(title: str, columns: tuple[Column, ...]) -> str:
    lines = [
        f"## {title}",
        "",
        "A table with a line of headings, parted by commas or semicolons. A heading may say its unit, `length [ft]`, "
        "and a cell its own, `10'2\"`; a length without either is in the job's `print in`. Columns of your own are "
        "kept and not used.",
        "",
        "| column | meaning | example |",
        "| --- | --- | --- |",
    ]
    named = ((f"*`{each.word}`*" if each.required else f"`{each.word}`", each) for each in columns)
    return "\n".join([*lines, *(f"| {name} | {each.says} | `{_shown(each.example)}` |" for name, each in named)])


def _shown(example: str) -> str:
    return example.strip("`")


def _listed(words: tuple[str, ...] | list[str]) -> str:
    return ", ".join(f"`{word}`" for word in words)
