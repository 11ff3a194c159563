"""The pages of the guide that come with the program, as the maker can read them in the source too."""

from __future__ import annotations

from pathlib import Path

import batchwright

PAGES = ("guide/your-own-piece.md", "guide/language.md", "faults.md", "glossary.md")
"""The pages, within `docs`, in the order of reading."""


def _home() -> Path:
    """The pages inside an installed package; in a checkout, the folder `docs` at its root."""
    package = Path(batchwright.__file__).parent
    inside = package / "docs"
    return inside if inside.is_dir() else package.parents[1] / "docs"


def page_topics() -> tuple[str, ...]:
    """The topics that there are: names of pages without `.md`."""
    return tuple(Path(page).stem for page in PAGES if (_home() / page).is_file())


def load_page(topic: str) -> str | None:
    """The Markdown of a page, or None where there is no such topic."""
    page = next((page for page in PAGES if Path(page).stem == topic), None)
    if page is None or not (_home() / page).is_file():
        return None
    return (_home() / page).read_text(encoding="utf-8")
