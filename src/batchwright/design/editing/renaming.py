"""Another name for a part, size, number or place: the key and every mention, in the piece and in its job."""

from __future__ import annotations

from collections.abc import Iterator

from batchwright.base.fault import Fault, Place
from batchwright.design.editing.fragment import safe_key
from batchwright.design.editing.paper import Paper, Splice, entry, read_paper, spliced
from batchwright.design.editing.references import Mention, keys_named, mentions, names_of_part, within
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.names import check_name, spelled
from batchwright.design.text.near import offer
from batchwright.design.text.tree import Mapping, Scalar, Span
from batchwright.design.values.declared import SECTIONS

SECTION_OF = {what: section for section, what in SECTIONS}
"""`sizes` for a size, and so on."""

_JOB_TABLES = ("spares", "sizes", "as milled")


def every_name(paper: Paper) -> dict[str, str]:
    """Every name of a piece, copies of its parts too, and what bears it: size, number, place, part or a copy."""
    tree = paper.sound_tree()
    found: dict[str, str] = {}
    for section, what in SECTIONS:
        table = tree.get(section)
        for key, _ in table.entries if isinstance(table, Mapping) else ():
            found.setdefault(spelled(key.text), what)
            if what == "part":
                for name in names_of_part(paper, key.text):
                    found.setdefault(name, f"copy of `{key.text}`")
    return found


def check_new_name(paper: Paper, name: str, what: str, instead_of: str = "") -> None:
    """Whether a name can be given. Raises Mistake where the rules of names refuse it or something bears it."""
    place = Place(paper.file)
    scalar = Scalar(text=name, place=place, span=Span(0, len(name)))
    wrong = check_name(scalar, what)
    if wrong:
        raise Mistake(wrong)
    taken = every_name(paper)
    own = set(names_of_part(paper, instead_of)) if what == "part" and instead_of else set()
    bearer = taken.get(spelled(name))
    if bearer and spelled(name) not in own:
        raise mistake(
            "name-taken",
            place,
            f"`{name}` is already the name of a {bearer}.",
            "choose another name",
            "sizes, numbers, places and parts share one set of names, so that a name means one thing",
        )


def named_entry(paper: Paper, what: str, name: str) -> tuple[Mapping, Scalar]:
    """The table and the key of something named. Raises Mistake with the nearest names."""
    table = paper.sound_tree().get(SECTION_OF[what])
    found = entry(table, name) if isinstance(table, Mapping) else None
    if not isinstance(table, Mapping) or found is None:
        near = offer(name, table.words() if isinstance(table, Mapping) else ())
        mend = f"write {near}" if near else "look at the text again: it has changed meanwhile"
        raise mistake("unknown-name", Place(paper.file), f"no {what} is called `{name}`.", mend)
    return table, found[0]


def renamed(piece: Paper, jobs: list[Paper], what: str, old: str, new: str) -> dict[str, str]:
    """The texts with another name, by file. Raises Mistake where the name cannot be given."""
    table, key = named_entry(piece, what, old)
    check_new_name(piece, new, what, old)
    old, new = spelled(key.text), spelled(new)
    if old == new:
        return {}
    names = names_of_part(piece, old) if what == "part" else (old,)
    _check_copies(piece, old, new, names)
    known = frozenset(every_name(piece))
    splices = [Splice(key.span.start, key.span.end, _as_key(key, new, table.flow))]
    splices += [made for each in mentions(piece, known) if (made := _changed(each, names, old, new))]
    texts = {piece.file: spliced(piece.text, splices)}
    _check_meaning(piece, texts[piece.file], what, len(splices), (old, new))
    for job in jobs:
        changed = [*_in_job(job, names, known, old, new)]
        if changed:
            texts[job.file] = spliced(job.text, changed)
    return texts


def _as_key(key: Scalar, new: str, flow: bool) -> str:
    return f"{key.mark}{new}{key.mark}" if key.quoted else safe_key(new, flow)


def _changed(mention: Mention, names: tuple[str, ...], old: str, new: str) -> Splice | None:
    return within(mention, old, new) if mention.name in names else None


def _in_job(job: Paper, names: tuple[str, ...], known: frozenset[str], old: str, new: str) -> Iterator[Splice]:
    """What changes in a job: spares of a part, sizes set, sizes and parts as milled."""
    tree = job.sound_tree()
    for word in _JOB_TABLES:
        table = tree.get(word)
        for key in keys_named(table, names):
            text = spelled(key.text)
            words = text.replace(old, new, 1) if text != old else new
            yield Splice(key.span.start, key.span.end, _as_key(key, words, isinstance(table, Mapping) and table.flow))
    for mention in mentions(job, known):
        made = _changed(mention, names, old, new)
        if made:
            yield made


def _check_copies(piece: Paper, old: str, new: str, names: tuple[str, ...]) -> None:
    """A part's copies are named after it: none of their new names may be taken. Raises Mistake."""
    taken = {name: what for name, what in every_name(piece).items() if name not in names}
    for name in names[1:]:
        copy = name.replace(old, new, 1)
        if copy in taken:
            raise mistake(
                "name-taken",
                Place(piece.file),
                f"a copy would be called `{copy}`, which is already the name of a {taken[copy]}.",
                "choose another name",
                "a name means one thing",
            )


def _check_meaning(piece: Paper, text: str, what: str, count: int, names: tuple[str, str]) -> None:
    """Every mention written must be read as one: `front` behind `drawn in` would be the view. Raises Mistake."""
    old, new = names
    paper = read_paper(text, piece.file)
    mine = names_of_part(paper, new) if what == "part" else (new,)
    known = frozenset(every_name(paper))
    if 1 + sum(1 for each in mentions(paper, known) if _changed(each, mine, new, old)) < count:
        raise Mistake(
            Fault(
                code="name-misread",
                place=Place(piece.file),
                what=f"`{new}` would be read as something else in a place where `{old}` stands now.",
                why="it is a word of the language there",
                mend="choose another name",
            )
        )
