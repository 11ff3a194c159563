"""Names looked up in the handbook: woods, places, glues, finishes. Each answers with the handbook's own name or key."""

from __future__ import annotations

from batchwright.base.fault import Place
from batchwright.design.text.mistake import Mistake, mistake
from batchwright.design.text.near import listed
from batchwright.handbook.adhesives import adhesives
from batchwright.handbook.climate import find_place, near_places
from batchwright.handbook.finishes import finishes
from batchwright.handbook.names import nearest_names, plain_name
from batchwright.handbook.species import find_species, near_species


def species_key(text: str, place: Place, name: str = "wood") -> str:
    """The key of a wood. Raises Mistake with the nearest woods."""
    found = find_species(text)
    if found is None:
        raise unknown_species(text, place)
    return found.key


def unknown_species(text: str, place: Place) -> Mistake:
    """The fault of a wood that the handbook does not know, with the nearest that it does. Raise it."""
    near = listed(near_species(text))
    mend = f"write one of {near}" if near else "write it as `batchwright handbook species` lists it"
    return mistake("unknown-species", place, f"the handbook has no wood called `{text}`, or more than one.", mend)


def place_name(text: str, place: Place, name: str = "where") -> str:
    """The name of a place of the outdoor table. Raises Mistake with the nearest places."""
    found = find_place(text)
    if found is not None:
        return found.name
    near = listed(near_places(text))
    mend = f"write one of {near}, or the nearest town in your climate"
    raise mistake(
        "unknown-place",
        place,
        f"the outdoor table of the handbook has no place called `{text}`, or more than one.",
        mend if near else "write the nearest town that it lists, or `moisture: [9 %, 15 %]`",
    )


def glue_key(text: str, place: Place, name: str = "glue") -> str:
    """The key of a glue. Raises Mistake."""
    return _row(text, place, "glue", [(each.key, each.name) for each in adhesives()])


def finish_key(text: str, place: Place, name: str = "finish") -> str:
    """The key of a finish. Raises Mistake."""
    return _row(text, place, "finish", [(each.key, each.name) for each in finishes()])


def _row(text: str, place: Place, what: str, rows: list[tuple[str, str]]) -> str:
    """The key of the row that is called so, or the only one whose name holds every word written."""
    plain = plain_name(text)
    exact = [key for key, name in rows if plain in (plain_name(key), plain_name(name))]
    words = set(plain.split())
    holding = [key for key, name in rows if words and words <= set(plain_name(name).split())]
    if exact or len(holding) == 1:
        return (exact or holding)[0]
    names = dict(rows)
    sharing = [key for key, name in rows if words & set(plain_name(name).split())]
    near = [names[key] for key in holding or sharing] or list(nearest_names(text, names.values()))
    mend = f"write one of {listed(near)}, or its key" if near else f"write one of {listed(names)}"
    how_many = "more than one" if holding else "no"
    raise mistake(f"unknown-{what}", place, f"the handbook has {how_many} {what} called `{text}`.", mend)
