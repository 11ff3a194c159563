"""Species: properties of small, clear, straight-grained wood. Means of tests, not design values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Mark, Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.published import Published, PublishedText
from batchwright.handbook.shelf import Row, load_rows, number_in, source_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """One column of the species table: what it is, its house unit, and how the printed number becomes it."""

    name: str
    title: str
    unit: str
    column: str
    factor: float = 1.0
    family: str = "strength"


def _both(name: str, title: str, unit: str, column: str, factor: float = 1.0) -> tuple[Property, Property]:
    """The green and the 12 % column of one property."""
    green, dry = f"{column}_green", f"{column}_12"
    return (
        Property(name=f"{name}_green", title=f"{title}, green", unit=unit, column=green, factor=factor),
        Property(name=f"{name}_12", title=f"{title}, 12 % MC", unit=unit, column=dry, factor=factor),
    )


def _shrinkage(way: str) -> Property:
    title = f"{way} shrinkage, green to oven-dry, of the green size"
    column = f"shrink_{way}_pct"
    return Property(name=f"shrink_{way}", title=title, unit="-", column=column, factor=0.01, family="shrink")


def _movement(way: str, symbol: str) -> Property:
    title = f"{way} movement ({symbol.upper()}) for 1 % MC, 6 to 14 % MC"
    column = f"dim_coeff_{way}_{symbol}"
    return Property(name=f"movement_{way}", title=title, unit="1/%", column=column, family="movement")


_GRAVITY = "specific gravity, oven-dry mass over volume"
_ALL: tuple[Property, ...] = (
    *_both("sg", _GRAVITY, "-", "sg"),
    *_both("mor", "bending strength (modulus of rupture)", "MPa", "mor_mpa"),
    *_both("moe", "modulus of elasticity along the grain", "MPa", "moe_gpa", 1000.0),
    *_both("work", "work to maximum load", "kJ/m3", "work_to_max_load_kj_m3"),
    *_both("compression_parallel", "compression along the grain", "MPa", "compression_parallel_mpa"),
    *_both("compression_across", "compression across the grain at the proportional limit", "MPa",
           "compression_perp_mpa"),
    *_both("shear", "shear along the grain", "MPa", "shear_parallel_mpa"),
    *_both("tension_across", "tension across the grain", "MPa", "tension_perp_mpa"),
    *_both("hardness", "side hardness", "N", "side_hardness_n"),
    _shrinkage("radial"),
    _shrinkage("tangential"),
    _shrinkage("volumetric"),
    _movement("radial", "cr"),
    _movement("tangential", "ct"),
)  # fmt: skip
PROPERTIES: Mapping[str, Property] = {each.name: each for each in _ALL}


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """One row of the species table. Numbers are reached through `value_of`, so that each keeps its source."""

    key: str
    name: str
    also: tuple[str, ...]
    botanical_name: str
    wood_type: str
    origin: str
    note: str
    row: Row

    def __hash__(self) -> int:
        return hash(self.key)


def _species_of(row: Row) -> Species:
    also = tuple(each.strip() for each in row["also"].split(";") if each.strip())
    return Species(
        key=row["key"], name=row["common_name"], also=also, botanical_name=row["botanical_name"],
        wood_type=row["wood_type"], origin=row["origin"], note=row["note"], row=row,
    )  # fmt: skip


@cache
def _all_species() -> tuple[Species, ...]:
    return tuple(_species_of(row) for row in load_rows("species"))


def all_species() -> tuple[Species, ...]:
    """Every species of the handbook, in table order.

    Returns
    -------
    tuple of Species
        All 44 rows [-]

    Notes
    -----
    Valid for this release's table.

    Source: Wood Handbook 2021, Tables 5-3b and 5-5b, and the sources each row names.

    Examples
    --------
    >>> len(all_species())
    44
    """
    return _all_species()


@cache
def _index() -> Mapping[str, tuple[Species, ...]]:
    """Species by every plain name that means them."""
    index: dict[str, dict[str, Species]] = {}
    for each in _all_species():
        for name in (each.key, each.name, *each.also, each.botanical_name):
            index.setdefault(plain_name(name), {})[each.key] = each
    return {name: tuple(found.values()) for name, found in index.items()}


def find_species(name: str) -> Species | None:
    """Species that goes by this name alone, or None.

    Parameters
    ----------
    name : str
        Key, common name or botanical name, in any case [text]

    Returns
    -------
    Species or None
        None if no species, or more than one, goes by the name [-]

    Notes
    -----
    Valid for the names of the table; a name shared by two rows finds neither.

    Source: house rule, one name must mean one wood.

    Examples
    --------
    >>> found = find_species("WHITE OAK")
    >>> found.key if found else None
    'white_oak'
    """
    found = _index().get(plain_name(name), ())
    return found[0] if len(found) == 1 else None


def near_species(name: str) -> tuple[str, ...]:
    """Common names near the one typed, for a mend line.

    Parameters
    ----------
    name : str
        As typed [text]

    Returns
    -------
    tuple of str
        At most four common names, nearest first [text]

    Notes
    -----
    Valid for any text. If two rows share the name, both are offered.

    Source: house rule, an unknown name is answered with the nearest known ones.

    Examples
    --------
    >>> near_species("redwood")
    ('Redwood (old growth)', 'Redwood (young growth)')
    """
    shared = _index().get(plain_name(name), ())
    if shared:
        return tuple(each.name for each in shared)
    near = nearest_names(name, _index())
    return tuple(dict.fromkeys(each.name for plain in near for each in _index()[plain]))[:4]


def species_named(name: str) -> Species:
    """Species that goes by this name.

    Parameters
    ----------
    name : str
        Key, common name or botanical name, in any case [text]

    Returns
    -------
    Species
        The row [-]

    Raises
    ------
    UnknownNameError
        If no species, or more than one, goes by the name; it offers near ones.

    Notes
    -----
    Valid for the names of the table.

    Source: house rule, one name must mean one wood.

    Examples
    --------
    >>> species_named("Quercus alba").name
    'White oak'
    """
    found = find_species(name)
    if found is None:
        raise UnknownNameError("species", name, near_species(name), plain_name(name) in _index())
    return found


def value_of(species: Species, name: str) -> Published:
    """One property of a species with its unit, source and mark. A gap stays a gap.

    Parameters
    ----------
    species : Species
        The row [-]
    name : str
        One of the keys of `PROPERTIES`, such as ``mor_12`` [text]

    Returns
    -------
    Published
        The value in house units, None where the source is silent [as its `unit` says]

    Raises
    ------
    UnknownNameError
        If there is no such property.

    Notes
    -----
    Valid for small clear straight-grained specimens: means, not design values. The printed modulus of
    elasticity comes from a centre-loaded test at span/depth 14; add 10 % for a shear-free value.

    Source: Wood Handbook 2021, Tables 4-3, 4-4, 5-3b, 5-5b; Wood Handbook 2010, Table 13-5; see each value.

    Examples
    --------
    >>> print(value_of(species_named("white oak"), "mor_12"))
    104.8 MPa [Wood Handbook 2021, Table 5-3b (read)]
    >>> print(value_of(species_named("teak"), "tension_across_12"))
    not published [Wood Handbook 2021, Table 5-5b (read)]
    """
    wanted = PROPERTIES.get(name)
    if wanted is None:
        raise UnknownNameError("property", name, nearest_names(name, PROPERTIES))
    printed = number_in(species.row[wanted.column])
    value = None if printed is None else round(printed * wanted.factor, 9)
    source, note = _source(species, wanted), _note(species, wanted)
    return Published(value=value, unit=wanted.unit, source=source, note=note)


def _source(species: Species, wanted: Property) -> Source:
    row = species.row
    if wanted.family == "shrink":
        return source_in(row, "shrink_")
    if wanted.family == "movement":
        listed = bool(row["coeff_mark"])
        mark = row["coeff_mark"] or "memory"
        where = "Table 13-5" if listed else "not listed in Table 13-5"
        return source_in({"source": "Wood Handbook 2010", "where": where, "mark": mark})
    if wanted.name == "sg_12" and row["sg_12_mark"] == "derived":
        return Source(text="Wood Handbook 2021", mark=Mark.DERIVED, where="eq. 4-13")
    return source_in(row, "strength_")


def _note(species: Species, wanted: Property) -> str:
    row = species.row
    if wanted.family == "shrink":
        return row["shrink_note"]
    if wanted.family == "movement":
        return row["coeff_note"]
    if wanted.name == "sg_12" and row["sg_12_note"]:
        return row["sg_12_note"]
    return row["strength_note"]


def decay_class(species: Species) -> PublishedText:
    """Resistance of the heartwood to decay. Sapwood of every species is not resistant.

    Parameters
    ----------
    species : Species
        The row [-]

    Returns
    -------
    PublishedText
        Class in words; a second, European class stands in the note where known [text]

    Notes
    -----
    Valid for heartwood only.

    Source: FPL decay list; Wood Handbook 2010, Table 14-1; EN 350; see each value's mark.

    Examples
    --------
    >>> print(decay_class(species_named("northern red oak")))
    slightly or nonresistant [FPL decay list (read); heartwood only; EN 350 class 4 (from memory)]
    """
    row = species.row
    notes = ["heartwood only"]
    if row["decay_note"]:
        notes.append(row["decay_note"])
    if row["decay_class_en350"]:
        notes.append(f"EN 350 class {row['decay_class_en350']} ({Mark.MEMORY.value})")
    return PublishedText(value=row["decay_class_fpl"] or None, source=source_in(row, "decay_"), note="; ".join(notes))
