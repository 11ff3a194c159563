"""Tokens read one after another."""

from __future__ import annotations

from batchwright.base.fault import Place
from batchwright.design.text.tree import Scalar
from batchwright.design.values.tokens import Sort, Token


class Stream:
    """The tokens of one expression and how far they are read."""

    def __init__(self, tokens: tuple[Token, ...], scalar: Scalar) -> None:
        self._tokens = tokens
        self._scalar = scalar
        self._at = 0

    @property
    def text(self) -> str:
        """The whole expression, for messages."""
        return self._scalar.text.strip()

    def peek(self, ahead: int = 0) -> Token:
        """The next token, or one further on."""
        return self._tokens[min(self._at + ahead, len(self._tokens) - 1)]

    def take(self) -> Token:
        """The next token, which is then behind us."""
        token = self.peek()
        self._at += 1
        return token

    def place(self, token: Token) -> Place:
        """Where a token stands in the file; the end of the text for the end token."""
        return self._scalar.place_at(token.start)

    def glued(self, ahead: int) -> bool:
        """Whether the token `ahead` touches the one after it."""
        return self.peek(ahead).end == self.peek(ahead + 1).start and self.peek(ahead + 1).sort is not Sort.END

    def between(self, start: int, end: int) -> str:
        """Characters of the text."""
        return self._scalar.text[start:end]

    def words(self, token: Token) -> str:
        """The token and the words behind it, for messages."""
        index = self._tokens.index(token)
        last = token
        for following in self._tokens[index + 1 : index + 4]:
            if following.sort is not Sort.WORD or token.sort is not Sort.WORD:
                break
            last = following
        return self.between(token.start, last.end)

    def before(self, token: Token) -> str:
        """What stands before a token: the last few words or the number, for messages."""
        index = self._tokens.index(token)
        first = index - 1
        while first > 0 and self._tokens[first - 1].sort is self._tokens[first].sort is Sort.WORD:
            first -= 1
        return self.between(self._tokens[max(first, 0)].start, self._tokens[index - 1].end) if index else ""
