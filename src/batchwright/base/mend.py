"""A change of the maker's files, and a mend: what would put a fault or a finding right, ready to be made.

A change says what is to become of the text; `design.editing` makes it. Its keys, and which of them each sort of change
has, are in `KEYS`; the reading of one that came from outside is in `base.asked`.
"""

from __future__ import annotations

from dataclasses import dataclass

Step = str | int
"""One step of a path into a file: a word, or the number of an item, from 0."""

KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "text": (("file", "text"), ()),
    "size": (("name", "text"), ("file",)),
    "set": (("path",), ("text", "file")),
    "replace": (("line", "column", "length", "text"), ("file",)),
    "add part": (("name", "text"), ("after",)),
    "copy part": (("part", "name"), ()),
    "rename part": (("part", "name"), ()),
    "remove part": (("part",), ()),
    "grow part": (("part", "side", "text"), ()),
    "move part": (("part", "side", "text"), ()),
    "add joint": (("text",), ()),
    "copy joint": (("joint",), ()),
    "remove joint": (("joint",), ()),
    "add size": (("name", "text"), ("after",)),
    "rename size": (("size", "name"), ()),
    "remove size": (("size",), ()),
    "add number": (("name", "text"), ("after",)),
    "rename number": (("number", "name"), ()),
    "remove number": (("number",), ()),
    "add place": (("name", "text"), ("after",)),
    "rename place": (("place", "name"), ()),
    "remove place": (("place",), ()),
}
"""Every sort of change: the keys it must have, and those it may have. `file` left out is the piece file."""

WHOLE_NUMBERS = ("line", "column", "length", "joint")
_OF = ("part", "size", "number", "place")


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of a file's text. Which of its fields speak depends on `do`: see `KEYS`.

    `line` and `column` count from 1, `joint` and the numbers in `path` from 0. `text` None in a `set` takes the entry
    out. `of` is the part, size, number or place that is copied, renamed, removed, drawn larger or moved; `side` is one
    of front, back, left, right, top and bottom of the piece, on the copy that is drawn.
    """

    do: str
    file: str = ""
    name: str = ""
    of: str = ""
    after: str = ""
    side: str = ""
    text: str | None = None
    path: tuple[Step, ...] = ()
    line: int = 0
    column: int = 0
    length: int = 0
    joint: int = 0

    def as_json(self) -> dict[str, object]:
        """The change as plain values, with the keys of its sort only."""
        must, may = KEYS[self.do]
        shape: dict[str, object] = {"do": self.do}
        for key in (*must, *may):
            value = self._under(key)
            if key in must or (value not in ("", None)):
                shape[key] = value
        if self.do == "set":
            shape["text"] = self.text
        return shape

    def _under(self, key: str) -> object:
        if key in _OF:
            return self.of
        if key == "path":
            return list(self.path)
        return getattr(self, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """What can be done about a fault or a finding with one press: in words, and as changes of the files."""

    say: str
    changes: tuple[Change, ...]

    def as_json(self) -> dict[str, object]:
        """The mend as plain values."""
        return {"say": self.say, "changes": [change.as_json() for change in self.changes]}


def set_text(path: tuple[Step, ...], text: str | None, file: str = "") -> Change:
    """The change that writes a value under a path of words and item numbers, or with None takes it out."""
    return Change(do="set", path=path, text=text, file=file)


def replace_text(where: tuple[str, int, int], length: int, text: str) -> Change:
    """The change that puts `text` in place of `length` characters. `where` is file, line and column."""
    file, line, column = where
    return Change(do="replace", file=file, line=line, column=column, length=length, text=text)
