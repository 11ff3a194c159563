"""Reading an expression: lengths, fractions, feet and inches, slopes, names, functions.

expression = term { (+|-) term }      term = sign { (*|/) sign }      sign = [-] sign | atom
atom   = number [unit] | number in number | feet | name [at AXIS sign] [.WORD]
       | FUN( expression {; expression} ) | ( expression )
number = 17 1/4 | 7/8 | 12 | 4.5      feet = 2'6" | 2' 6 1/2" | 6"
"""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache
from heapq import nsmallest

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed, offer
from batchwright.design.text.stream import Stream
from batchwright.design.text.syntax import (
    ATTRIBUTES,
    AXES,
    FUNCTIONS,
    RESERVED,
    UNITS,
    At,
    Attribute,
    Call,
    Chain,
    Coordinate,
    Expr,
    Expression,
    Name,
    Negative,
)
from batchwright.design.text.tree import Scalar
from batchwright.design.values.numerals import read_number
from batchwright.design.values.tokens import Sort, Token, tokens_of

KEPT = 2048
"""Expressions kept as read: those of a few large pieces."""
DEEPEST = 24
"""Brackets, minus signs and functions inside one another."""

_ONE_OR_TWO = ("round", "floor", "ceil")


def parse(scalar: Scalar, known: Collection[str] = frozenset(), skip: int = 0) -> Expression:
    """The expression in a scalar's text. `known` holds every name of the piece, for names that end in a number
    (`back slat 3`). Raises Mistake."""
    return _read(scalar, frozenset(known), skip)


@lru_cache(maxsize=KEPT)
def _read(scalar: Scalar, known: frozenset[str], skip: int) -> Expression:
    if not scalar.text[skip:].strip():
        raise mistake(
            "nothing-said", scalar.place, "nothing is written here.", "write a length, a number or an expression"
        )
    reader = _Reader(Stream(tokens_of(scalar, skip), scalar), known)
    root = reader.expression(0)
    left = reader.stream.peek()
    if left.sort is not Sort.END:
        raise _left_over(reader.stream, left)
    return Expression(root=root, scalar=scalar, skip=skip)


def parse_coordinate(scalar: Scalar, known: Collection[str] = frozenset()) -> Coordinate:
    """A coordinate: an expression, or `z 13` where a plain axis has that value. Raises Mistake."""
    head, _, rest = scalar.text.lstrip().partition(" ")
    axis, bracket, _ = head.partition("(")
    if axis in AXES and (rest.strip() or bracket):
        skip = scalar.text.index(axis) + 1
        return Coordinate(axis=axis, expression=parse(scalar, known, skip))
    return Coordinate(axis="", expression=parse(scalar, known))


class _Reader:
    """Recursive descent over one stream of tokens."""

    def __init__(self, stream: Stream, known: Collection[str]) -> None:
        self.stream = stream
        self.known = known

    def expression(self, depth: int) -> Expr:
        return self._chain(("+", "-"), depth)

    def _chain(self, marks: tuple[str, str], depth: int) -> Expr:
        sum_of = marks == ("+", "-")
        first = self._chain(("*", "/"), depth) if sum_of else self._sign(depth, after="")
        rest: list[tuple[str, Expr]] = []
        while self.stream.peek().sort is Sort.MARK and self.stream.peek().text in marks:
            mark = self.stream.take().text
            rest.append((mark, self._chain(("*", "/"), depth) if sum_of else self._sign(depth, after=mark)))
        if not rest:
            return first
        return Chain(first=first, rest=tuple(rest), start=first.start, end=rest[-1][1].end)

    def _sign(self, depth: int, after: str) -> Expr:
        self._check_depth(depth)
        token = self.stream.peek()
        if token.is_mark("-"):
            self.stream.take()
            inside = self._sign(depth + 1, after)
            return Negative(of=inside, start=token.start, end=inside.end)
        return self._atom(depth, after)

    def _atom(self, depth: int, after: str) -> Expr:
        token = self.stream.peek()
        if token.sort is Sort.NUMBER:
            return read_number(self.stream, after)
        if token.is_mark("("):
            return self._brackets(depth)
        if token.sort is Sort.WORD:
            if self._calls(0):
                return self._call(depth)
            return self._name(depth)
        raise _missing(self.stream, token)

    def _brackets(self, depth: int) -> Expr:
        opening = self.stream.take()
        inside = self.expression(depth + 1)
        closing = self.stream.peek()
        if not closing.is_mark(")"):
            raise _not_closed(self.stream, opening)
        self.stream.take()
        return inside

    def _calls(self, ahead: int) -> bool:
        return self.stream.peek(ahead).text in FUNCTIONS and self.stream.peek(ahead + 1).is_mark("(")

    def _call(self, depth: int) -> Expr:
        word, opening = self.stream.take(), self.stream.take()
        arguments = [self.expression(depth + 1)]
        while self.stream.peek().is_mark(";"):
            self.stream.take()
            arguments.append(self.expression(depth + 1))
        closing = self.stream.peek()
        if not closing.is_mark(")"):
            raise _not_closed(self.stream, opening)
        self.stream.take()
        most = 2 if word.text in _ONE_OR_TWO else 1
        if word.text not in ("min", "max") and len(arguments) > most:
            raise mistake(
                "too-many-arguments",
                self.stream.place(word),
                f"`{word.text}( )` is given {len(arguments)} arguments; it takes {most}.",
                f"write `{word.text}( )` with {'one or two arguments' if most == 2 else 'one argument'}",
            )
        return Call(function=word.text, arguments=tuple(arguments), start=word.start, end=closing.end)

    def _name(self, depth: int) -> Expr:
        first = self.stream.peek()
        if first.text == "place":
            return self._own_place()
        name, last = self._words()
        if not name:
            raise _reserved_word(self.stream, first)
        if self.stream.peek().is_word("at"):
            return self._at(name, first, depth)
        word = self._dot()
        if word is not None:
            return Attribute(name=name, word=word.text, start=first.start, end=word.end)
        return Name(name=name, start=first.start, end=last.end)

    def _words(self) -> tuple[str, Token]:
        """The longest run of words that can be a name, and its last token."""
        words: list[str] = []
        last = self.stream.peek()
        while self.stream.peek().sort is Sort.WORD and self.stream.peek().text not in RESERVED and not self._calls(0):
            last = self.stream.take()
            words.append(last.text)
        following = self.stream.peek()
        if words and following.whole and " ".join([*words, following.text]) in self.known:
            last = self.stream.take()
            words.append(last.text)
        return " ".join(words), last

    def _own_place(self) -> Expr:
        first = self.stream.take()
        word = self._dot()
        if word is None or word.text not in AXES:
            raise mistake(
                "place-alone",
                self.stream.place(first),
                "`place` is the place of this copy, and needs an axis.",
                "write `place.x`, `place.y` or `place.z`",
            )
        return Attribute(name="place", word=word.text, start=first.start, end=word.end)

    def _at(self, name: str, first: Token, depth: int) -> Expr:
        at = self.stream.take()
        axis = self.stream.peek()
        if axis.sort is not Sort.WORD or axis.text not in AXES:
            raise mistake(
                "at-without-axis",
                self.stream.place(at),
                f"`{name} at` is not followed by an axis.",
                f"write `{name} at z 24`: an axis (x, y or z) and a length",
            )
        self.stream.take()
        by = self._sign(depth + 1, after="")
        word = self._dot()
        end = word.end if word else by.end
        return At(name=name, axis=axis.text, by=by, word=word.text if word else "", start=first.start, end=end)

    def _dot(self) -> Token | None:
        """The word behind a point, where there is one."""
        if not self.stream.peek().is_mark("."):
            return None
        point = self.stream.take()
        word = self.stream.peek()
        if word.sort is Sort.WORD and word.text in ATTRIBUTES:
            return self.stream.take()
        raise mistake(
            "unknown-word-behind-point",
            self.stream.place(point),
            f"`.{word.text}` is not known.",
            f"behind a point write one of {listed(ATTRIBUTES)}",
        )

    def _check_depth(self, depth: int) -> None:
        if depth > DEEPEST:
            raise mistake(
                "expression-too-deep",
                self.stream.place(self.stream.peek()),
                f"more than {DEEPEST} brackets or signs stand inside one another.",
                "give parts of it names under `sizes` and use those",
            )


def _missing(stream: Stream, token: Token) -> Mistake:
    place = stream.place(token)
    if token.is_mark("+"):
        return mistake("unexpected", place, "`+` stands before nothing that it could be added to.", "take the `+` out")
    if token.sort is Sort.END:
        return mistake(
            "unexpected", place, f"`{stream.text}` breaks off.", "write what follows, or take the last mark out"
        )
    return mistake(
        "unexpected",
        place,
        f"`{token.text}` stands where a number, a name or a bracket is wanted.",
        "write what is missing before it, or take it out",
    )


def _not_closed(stream: Stream, opening: Token) -> Mistake:
    found = stream.peek()
    if found.sort not in (Sort.END, Sort.MARK):
        return _left_over(stream, found)
    return mistake(
        "bracket-not-closed",
        stream.place(opening),
        f"the bracket in `{stream.text}` is not closed.",
        "add `)` where it ends",
    )


def _reserved_word(stream: Stream, token: Token) -> Mistake:
    place = stream.place(token)
    if token.text in UNITS:
        return mistake(
            "unit-without-number",
            place,
            f"the unit `{token.text}` has no number before it.",
            f"write a number before the unit, for example `2 {token.text}`",
            "units stand behind numbers only, never behind names or brackets",
        )
    return mistake(
        "unexpected",
        place,
        f"`{token.text}` cannot begin a name here.",
        "write a name before it, or take it out",
        f"no name contains {listed(sorted(RESERVED))}",
    )


def _left_over(stream: Stream, token: Token) -> Mistake:
    """What stands behind a complete expression, with nothing between."""
    place = stream.place(token)
    if token.is_mark(")"):
        return mistake(
            "bracket-not-opened", place, f"`{stream.text}` has a `)` too many.", "take it out, or open it with `(`"
        )
    if token.is_mark(";"):
        return mistake(
            "unexpected", place, "`;` stands outside a function.", "semicolons part the arguments of a function only"
        )
    if token.sort is Sort.WORD and token.text in UNITS:
        return mistake(
            "unit-without-number",
            place,
            f"the unit `{token.text}` stands behind something that is not a number.",
            "take the unit out: names and brackets carry their own units",
        )
    if token.sort is Sort.MARK and token.text in ("'", '"'):
        return mistake(
            "unexpected",
            place,
            f"`{token.text}` does not follow a number.",
            "write feet and inches as `2'6\"`, or `2' 6 1/2\"`",
        )
    return mistake(
        "nothing-between",
        place,
        f"`{stream.words(token)}` follows `{stream.before(token)}` with nothing between them.",
        "write `+`, `-`, `*` or `/` between them, or correct the name",
    )


@lru_cache(maxsize=4)
def _first_of(known: frozenset[str]) -> str:
    """The first dozen as a phrase: a file may have thousands of names, and as many slips."""
    first = listed(nsmallest(12, known))
    return first if len(known) <= 12 else f"{first} and {len(known) - 12} more"


def unknown_name(name: str, place: Place, known: Collection[str], what: str = "size, number, place or part") -> Mistake:
    """A name that nothing bears, with the nearest names that something does. Raise it."""
    near = offer(name, known)
    if near:
        mend = f"write {near}"
    else:
        mend = f"write one of {_first_of(frozenset(known))}" if known else "define it first"
    return mistake("unknown-name", place, f"no {what} is called `{name}`.", mend)
