"""The page in a browser, for the browser tests: a desk, opening it, and finding things on it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Locator, Page, expect

WAIT = 20_000
"""How long a condition of the page may take on a busy machine [ms]."""
OLD = re.compile(r"\bold\b")
"""The class of an answer that is older than the text."""


@dataclass(frozen=True, slots=True)
class Desk:
    """A server over a folder of its own."""

    address: str
    folder: Path


def opened(page: Page, address: str) -> Page:
    """The page at an address, once its sizes can be changed."""
    page.goto(address)
    expect(page.locator(".size").first).to_be_attached(timeout=WAIT)
    expect(page.locator(".figure-parts")).not_to_have_class(OLD, timeout=WAIT)
    return page


def at_rest(page: Page) -> None:
    """Waits until sheets and boards are those of the text."""
    expect(page.locator(".top-state")).to_have_text("all worked out", timeout=2 * WAIT)


def size_row(page: Page, name: str) -> Locator:
    """The row of one size."""
    return page.locator(".size", has=page.get_by_text(name, exact=True))
