"""Reading a job file: how many copies of which piece, where it will live, which boards, which date."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from typing import TypeVar

from batchwright.base.fault import Fault, Place, in_file_order
from batchwright.design.boards import MOST_MOISTURE
from batchwright.design.milled import NOTHING_MILLED, read_as_milled
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed
from batchwright.design.text.read import read_tree
from batchwright.design.text.tree import Mapping, Node, Scalar, Sequence, form_of
from batchwright.design.values.amounts import NoNames, date_in, file_name_in, positive_length, scalar_at, share_in
from batchwright.design.values.expression import unknown_name
from batchwright.design.values.reading import count_of, scalar_of
from batchwright.design.words.known import finish_key, glue_key, place_name, species_key
from batchwright.design.words.words import check_one_of, check_words
from batchwright.model.job import Job, Override

PAPERS = ("letter", "tabloid", "A4", "A3")
_ROLL = re.compile(r"^roll\s+(.+)$")
_NARROWEST_ROLL, _WIDEST_ROLL = 250.0, 1600.0
_MOST_COPIES = 500

T = TypeVar("T")


def read_job(text: str, file: str) -> tuple[Job | None, tuple[Fault, ...]]:
    """The job in a text, and everything wrong with it. No job where its form is at fault or it names no piece.

    A value at fault is left at its default, so that the files a job names can still be read and told of with it.
    """
    tree, faults = read_tree(text, file)
    if tree is None:
        return None, faults
    reader = _Reader(tree, file, [*faults, *check_words(tree, "job", "the job")])
    job = _job(reader)
    told = in_file_order(reader.faults)
    return (job if job.piece_file else None), told


def check_job_names(job: Job, sizes: Collection[str], parts: Collection[str]) -> tuple[Fault, ...]:
    """Names in a job that its piece does not have: spares of unknown parts, unknown sizes."""
    places = dict(job.places)
    faults = [
        fault
        for name, _ in job.spares
        if name not in parts
        for fault in unknown_name(name, places.get(f"spares: {name}", job.place), parts, "part of the piece").faults
    ]
    for override in job.sizes:
        if override.name not in sizes:
            faults += unknown_name(override.name, override.place, sizes, "size or number of the piece").faults
    return in_file_order(faults)


@dataclass(slots=True)
class _Reader:
    """The tree of a job on its way to a record."""

    tree: Mapping
    file: str
    faults: list[Fault]
    places: list[tuple[str, Place]] = field(default_factory=list)

    def under(self, word: str, work: Callable[[Node], T], otherwise: T) -> T:
        """What `work` makes of the value under a word; `otherwise` where it is not written or at fault."""
        node = self.tree.get(word)
        if node is None:
            return otherwise
        self.places.append((word, node.place))
        try:
            return work(node)
        except Mistake as stop:
            self.faults.extend(stop.faults)
            return otherwise

    def text(self, word: str, work: Callable[[str, Place, str], str]) -> str:
        """A text under a word, brought to its form by `work`."""

        def of_scalar(node: Node) -> str:
            scalar = scalar_of(node, word)
            return work(scalar.text, scalar.place, word)

        return self.under(word, of_scalar, "")


def _job(reader: _Reader) -> Job:
    outdoors = _outdoors(reader)
    _check_boards(reader)
    single, milled = reader.under("as milled", lambda node: read_as_milled(node, reader.faults), NOTHING_MILLED)
    return Job(
        name=reader.text("job", _plain),
        file=reader.file,
        piece_file=reader.text("piece", file_name_in),
        copies=reader.under("copies", _copies, 1),
        spares=reader.under("spares", lambda node: _spares(node, reader), ()),
        sizes=reader.under("sizes", lambda node: _overrides(node, "sizes", reader), ()),
        where=reader.text("where", place_name),
        outdoors=outdoors,
        wood=reader.text("wood", species_key),
        humidity=reader.under("indoors", lambda node: _two_shares(node, "indoors", 1.0), None),
        moisture=reader.under("moisture", lambda node: _two_shares(node, "moisture", MOST_MOISTURE), None),
        moisture_now=reader.under("wood moisture now", _moisture_now, None),
        boards_file=reader.text("boards", file_name_in),
        defects_file=reader.text("defects", file_name_in),
        shop_file=reader.text("shop", file_name_in),
        as_milled=single,
        milled=milled,
        cut_file=reader.text("already cut", file_name_in),
        glue=reader.text("glue", glue_key),
        finish=reader.text("finish", finish_key),
        due=reader.text("due", date_in),
        print_in=reader.text("print in", _print_in),
        paper=reader.text("paper", _paper) or "letter",
        place=reader.tree.place,
        note=reader.text("note", _plain),
        places=tuple(reader.places),
    )


def _plain(text: str, place: Place, name: str) -> str:
    if len(text) <= 500:
        return text.strip()
    raise mistake("text-too-long", place, f"`{name}` has {len(text)} characters; 500 is the most.", "shorten it")


def _copies(node: Node) -> int:
    copies = count_of(node, NoNames("in"), (), "copies")
    if copies <= _MOST_COPIES:
        return copies
    raise mistake(
        "count-out-of-range",
        node.place,
        f"`copies` is {copies}; {_MOST_COPIES} is the most.",
        "plan a shorter run; the work is planned for short runs of one piece",
    )


def _table(node: Node, word: str) -> Mapping:
    if isinstance(node, Mapping):
        return node
    raise mistake(
        "table-wanted",
        node.place,
        f"`{word}` is {form_of(node)}, but names with values are wanted.",
        f"write `{word}: {{name: value}}`",
    )


def _spares(node: Node, reader: _Reader) -> tuple[tuple[str, int], ...]:
    found: list[tuple[str, int]] = []
    for key, value in _table(node, "spares").entries:
        reader.places.append((f"spares: {key.text}", key.place))
        try:
            found.append((key.text, count_of(value, NoNames("in"), (), f"spares: {key.text}", least=0)))
        except Mistake as stop:
            reader.faults.extend(stop.faults)
    return tuple(found)


def _overrides(node: Node, word: str, reader: _Reader) -> tuple[Override, ...]:
    found: list[Override] = []
    for key, value in _table(node, word).entries:
        try:
            scalar = scalar_of(value, f"{word}: {key.text}")
            found.append(Override(name=key.text, text=scalar.text, place=scalar.place_at(0)))
        except Mistake as stop:
            reader.faults.extend(stop.faults)
    return tuple(found)


def _outdoors(reader: _Reader) -> bool | None:
    """Whether it will stand outdoors: by `use`, else by `where` or `indoors`; None leaves it to the piece."""
    said = [word for word in ("where", "indoors", "moisture") if reader.tree.get(word) is not None]
    if len(said) > 1:
        place = reader.tree.key(said[1])
        reader.faults.append(
            Fault(
                code="climate-said-twice",
                place=place.place if place else reader.tree.place,
                what=f"the job says {listed(said)}: only one of them can hold.",
                mend="keep the one you are surest of",
                why="each of them says which moisture the wood will come to",
            )
        )
    use = reader.text("use", _use)
    if use or not said or said[0] == "moisture":
        return {"outdoors": True, "indoors": False}.get(use)
    return said[0] == "where"


def _use(text: str, place: Place, name: str) -> str:
    return _one_of(text, place, name, ("indoors", "outdoors"))


def _print_in(text: str, place: Place, name: str) -> str:
    return _one_of(text, place, name, ("in", "mm"))


def _one_of(text: str, place: Place, name: str, choices: tuple[str, ...]) -> str:
    fault = check_one_of(scalar_at(text, place), choices, name)
    if fault:
        raise Mistake(fault)
    return text.strip()


def _paper(text: str, place: Place, name: str) -> str:
    plain = text.strip()
    roll = _ROLL.match(plain)
    if not roll:
        return next((paper for paper in PAPERS if paper.casefold() == plain.casefold()), "") or _one_of(
            text, place, name, (*PAPERS, "roll 610 mm")
        )
    width = positive_length(scalar_at(roll.group(1), place), "mm", "paper: roll")
    if _NARROWEST_ROLL <= width <= _WIDEST_ROLL:
        return f"roll {width:g} mm"
    raise mistake(
        "roll-width",
        place,
        f"the roll of paper is {width:g} mm wide; {_NARROWEST_ROLL:g} to {_WIDEST_ROLL:g} mm can be printed.",
        "write its width with the unit: `roll 610 mm` or `roll 24 in`",
    )


def _two_shares(node: Node, word: str, most: float) -> tuple[float, float]:
    if not isinstance(node, Sequence) or len(node.items) != 2:
        raise mistake(
            "pair-wanted",
            node.place,
            f"`{word}` is {form_of(node)}, but a least and a most are wanted.",
            f"write `{word}: [9 %, 15 %]`",
        )
    low, high = (_share(item, word, most) for item in node.items)
    if low > high:
        raise mistake(
            "limits-crossed",
            node.place,
            f"`{word}` runs from {100 * low:g} % to {100 * high:g} %.",
            "write the least first",
        )
    return low, high


def _share(node: Node, word: str, most: float) -> float:
    scalar: Scalar = scalar_of(node, word)
    return share_in(scalar.text, scalar.place, word, most)


def _moisture_now(node: Node) -> float | None:
    return _share(node, "wood moisture now", MOST_MOISTURE)


def _check_boards(reader: _Reader) -> None:
    key = reader.tree.key("defects")
    if key is not None and reader.tree.get("boards") is None:
        reader.faults.append(
            Fault(
                code="defects-without-boards",
                place=key.place,
                what="the job lists defects, but no boards.",
                mend="add `boards: boards.csv`, or take `defects` out",
            )
        )
