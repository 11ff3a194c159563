"""How a long task tells how far it is."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[str, float], None]
"""Called with what is being done and the share of the whole that is done, 0 to 1."""


def silent(what: str, share: float) -> None:
    """Tell nobody."""
