"""Changes made in the maker's texts, one after another; all of them or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from collections.abc import Mapping as Table
from dataclasses import dataclass, field

from batchwright.base.fault import Fault, Place
from batchwright.base.mend import Change
from batchwright.design.editing.entries import add_entry, add_item, copy_lines, no_such_entry, set_at, take_out
from batchwright.design.editing.fragment import STEP, in_block, in_flow, safe_key
from batchwright.design.editing.growing import MAKERS
from batchwright.design.editing.paper import Paper, Splice, entry, find, read_paper, says_nothing, spliced
from batchwright.design.editing.renaming import SECTION_OF, check_new_name, named_entry, renamed
from batchwright.design.editing.unjoining import part_taken_out
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.tree import Mapping, Scalar, Sequence
from batchwright.design.values.declared import SECTIONS

_ORDER = ("sizes", "numbers", "places", "parts", "joints")

Texts = Table[str, str]


def apply_changes(
    texts: Texts, piece_file: str, changes: Iterable[Change]
) -> tuple[dict[str, str] | None, tuple[Fault, ...]]:
    """The texts with all changes made, or None and why not. `texts` holds file names and what stands in the files.

    A change without a file is of the piece file. Every byte that a change is not about stays. A change that would
    break the form of a file whose form was sound is refused, and with it all of them; typing (`text`) is not.
    """
    bench = _Bench(dict(texts), piece_file)
    try:
        for change in changes:
            bench.make(change)
    except Mistake as stop:
        return None, stop.faults
    return bench.texts, ()


@dataclass(slots=True)
class _Bench:
    """The texts on their way, and what was read of them."""

    texts: dict[str, str]
    piece_file: str
    _read: dict[str, Paper] = field(default_factory=dict)

    def paper(self, file: str = "") -> Paper:
        """A file's text as it is now, read. Raises Mistake where there is no such file."""
        name = file or self.piece_file
        if name not in self.texts:
            near = offer(name, self.texts)
            mend = f"write {near}" if near else f"the files are {listed(self.texts)}"
            raise mistake("no-such-file", Place(name), f"no file called `{name}` is open.", mend)
        found = self._read.get(name)
        if found is None or found.text != self.texts[name]:
            found = self._read[name] = read_paper(self.texts[name], name)
        return found

    def jobs(self) -> list[Paper]:
        """The jobs among the files that are of this piece and can be read."""
        names = [name for name in self.texts if name != self.piece_file and name.endswith((".yaml", ".yml"))]
        papers = [self.paper(name) for name in names]
        return [paper for paper in papers if paper.tree is not None and isinstance(paper.tree.get("piece"), Scalar)]

    def make(self, change: Change) -> None:
        """One change. Raises Mistake."""
        if change.do == "text":
            self.paper(change.file)
            self.texts[change.file or self.piece_file] = change.text or ""
            return
        if change.do == "replace":
            self.put({(change.file or self.piece_file): _replaced(self.paper(change.file), change)})
            return
        verb, _, what = change.do.partition(" ")
        work = _VERBS.get(change.do) or _VERBS.get(verb)
        if work is None:
            raise mistake("not-a-change", Place(""), f"`{change.do}` is not known.", "ask for another change")
        self.put(work(self, change, what))

    def put(self, texts: dict[str, str]) -> None:
        """Takes changed texts; refuses them where the form of one is newly broken. Raises Mistake."""
        for file, text in texts.items():
            before = self.paper(file)
            after = read_paper(text, before.file)
            if after.tree is None and before.tree is not None:
                told = after.faults[0]
                raise mistake(
                    "change-breaks-form",
                    Place(before.file),
                    f"with this change the file could not be read: {told.what}",
                    told.mend,
                    "nothing was changed",
                )
            self.texts[before.file] = text
            self._read[before.file] = after


def _replaced(paper: Paper, change: Change) -> str:
    start = paper.offset(change.line, change.column)
    end = start + change.length
    if end > len(paper.text):
        raise paper.not_there(change.line, change.column + change.length)
    return spliced(paper.text, [Splice(start, end, change.text or "")])


def _made(paper: Paper, splices: list[Splice]) -> dict[str, str]:
    return {paper.file: spliced(paper.text, splices)}


def _set(bench: _Bench, change: Change, what: str) -> dict[str, str]:
    paper = bench.paper(change.file)
    if change.text is None:
        return _made(paper, take_out(paper, change.path))
    if len(change.path) == 1 and find(paper.sound_tree(), change.path) is None:
        return _made(paper, add_entry(paper, paper.sound_tree(), str(change.path[0]), change.text))
    return _made(paper, set_at(paper, change.path, change.text))


def _size(bench: _Bench, change: Change, what: str) -> dict[str, str]:
    """The value of a size or number: in the job where the job sets it, else in the piece."""
    for job in [] if change.file == bench.piece_file else bench.jobs():
        table = job.sound_tree().get("sizes")
        found = entry(table, change.name) if isinstance(table, Mapping) else None
        if found is not None and change.file in ("", job.file):
            return _made(job, set_at(job, found[0].way, change.text or ""))
    paper = bench.paper(change.file)
    for kind in ("size", "number"):
        table = paper.sound_tree().get(SECTION_OF[kind])
        found = entry(table, change.name) if isinstance(table, Mapping) else None
        if found is not None:
            way = (*found[0].way, "is") if isinstance(found[1], Mapping) else found[0].way
            node = find(paper.sound_tree(), way)
            return _made(paper, _same_marks(node, set_at(paper, way, change.text or "")))
    named_entry(paper, "size", change.name)
    return {}


def _same_marks(node: object, splices: list[Splice]) -> list[Splice]:
    """A value in quotation marks stays in them, so that setting it back gives the same text."""
    if not isinstance(node, Scalar) or not node.quoted or len(splices) != 1 or splices[0].text[:1] in ("'", '"'):
        return splices
    text = splices[0].text
    shown = text.replace("'", "''") if node.mark == "'" else text
    if node.mark == '"' and ('"' in text or "\\" in text):
        return splices
    return [Splice(splices[0].start, splices[0].end, f"{node.mark}{shown}{node.mark}")]


def _add(bench: _Bench, change: Change, what: str) -> dict[str, str]:
    paper = bench.paper(change.file)
    if what == "joint":
        return _added(paper, "joints", "", change)
    check_new_name(paper, change.name, what)
    return _added(paper, SECTION_OF[what], change.name, change)


def _added(paper: Paper, section: str, name: str, change: Change) -> dict[str, str]:
    """A new entry of a section, or the section with it where it is not there yet."""
    tree = paper.sound_tree()
    node = tree.get(section)
    text = change.text or ""
    if isinstance(node, Sequence) and section == "joints":
        return _made(paper, add_item(paper, node, text))
    if isinstance(node, Mapping) and section != "joints":
        return _made(paper, add_entry(paper, node, name, text, change.after))
    if not says_nothing(node):
        raise no_such_entry(paper, (section,))
    line = f"- {in_flow(text)}" if section == "joints" else f"{safe_key(name, False)}:{_value(paper, text)}"
    key = tree.key(section)
    if key is not None:
        at = paper.line_end(paper.colon(key))
        return _made(paper, [Splice(at, at, f"{paper.newline}{STEP}{line}")])
    before = [tree.key(each) for each in _ORDER[: _ORDER.index(section)]]
    above = next((found for found in reversed(before) if found is not None), tree.entries[-1][0])
    value = tree.get(above.text)
    assert value is not None
    at = paper.line_end(paper.end_of_entry(above, value))
    return _made(paper, [Splice(at, at, f"{paper.newline}{section}:{paper.newline}{STEP}{line}")])


def _value(paper: Paper, text: str) -> str:
    return in_block(text, 2 * len(STEP), paper.newline, opened=False)


def _copy(bench: _Bench, change: Change, what: str) -> dict[str, str]:
    paper = bench.paper(change.file)
    if what == "joint":
        return _copied_joint(paper, change.joint)
    table, key = named_entry(paper, what, change.of)
    check_new_name(paper, change.name, what)
    value = find(table, (key.text,))
    assert value is not None
    end = paper.end_of_entry(key, value)
    if table.flow:
        source = paper.text[paper.colon(key) : end]
        return _made(paper, [Splice(end, end, f", {safe_key(change.name, True)}{source}")])
    other = Splice(key.span.start, key.span.end, safe_key(change.name, False))
    return _made(paper, copy_lines(paper, key.span.start, end, other))


def _copied_joint(paper: Paper, number: int) -> dict[str, str]:
    item = find(paper.sound_tree(), ("joints", number))
    joints = paper.sound_tree().get("joints")
    if item is None or not isinstance(joints, Sequence):
        raise no_such_entry(paper, ("joints", number))
    if joints.flow:
        end = paper.end_of(item)
        return _made(paper, [Splice(end, end, f", {paper.text[item.span.start : end]}")])
    return _made(paper, copy_lines(paper, paper.dash(item), paper.end_of(item), None))


def _rename(bench: _Bench, change: Change, what: str) -> dict[str, str]:
    return renamed(bench.paper(), bench.jobs(), what, change.of, change.name)


def _remove(bench: _Bench, change: Change, what: str) -> dict[str, str]:
    paper = bench.paper(change.file)
    if what == "part":
        return part_taken_out(paper, bench.jobs(), change.of)
    if what == "joint":
        return _made(paper, take_out(paper, ("joints", change.joint)))
    return _made(paper, take_out(paper, named_entry(paper, what, change.of)[1].way))


def _redraw(bench: _Bench, change: Change, what: str) -> dict[str, str]:
    paper = bench.paper()
    return _made(paper, MAKERS[change.do.partition(" ")[0]](paper, change))


_VERBS: dict[str, Callable[[_Bench, Change, str], dict[str, str]]] = {
    "set": _set,
    "size": _size,
    "add": _add,
    "copy": _copy,
    "rename": _rename,
    "remove": _remove,
    "grow": _redraw,
    "move": _redraw,
}

assert {section for section, _ in SECTIONS} <= set(_ORDER)
