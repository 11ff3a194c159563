"""The `handbook` command."""

from __future__ import annotations

from batchwright.app.ask import all_entries, ask, entry_as_plain
from batchwright.cli.answer import answer, refuse


def handbook(name: str, values: list[str], as_json: bool) -> None:
    """List the handbook, or ask it."""
    if not name:
        entries = all_entries()
        answer(
            {"entries": [entry_as_plain(one) for one in entries]},
            as_json=as_json,
            words=[*_listing("Formulae", False), "", *_listing("Tables", True)],
        )
    outcome = ask(name, tuple(values))
    if outcome.thing is None:
        refuse(outcome.faults, as_json=as_json)
    answer(outcome.thing.as_plain(), as_json=as_json, words=outcome.thing.words())


def _listing(title: str, tables: bool) -> list[str]:
    chosen = [one for one in all_entries() if one.is_table is tables]
    width = max(len(one.name) for one in chosen)
    lines = [title]
    for one in chosen:
        mark = "" if one.mark.value in one.source else f"; {one.mark.value}"
        lines.append(f"  {one.name.ljust(width)}  {one.title} [{one.source}{mark}]")
    return lines
