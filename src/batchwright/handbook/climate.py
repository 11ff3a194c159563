"""Moisture content that wood comes to in a place: outdoors by month, indoors by kind of room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from batchwright.base.source import Mark, Source
from batchwright.handbook.names import UnknownNameError, nearest_names, plain_name
from batchwright.handbook.shelf import Row, load_rows, source_in

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True, slots=True, kw_only=True)
class OutdoorEmc:
    """Moisture content month by month [ratio], January first, of wood sheltered from rain and sun."""

    place: str
    state: str
    country: str
    monthly: tuple[float, ...]
    source: Source
    temperature: tuple[float, ...] = ()
    """Monthly mean temperature it was worked out from [degC]; empty for a row from memory."""
    humidity: tuple[float, ...] = ()
    """Monthly mean humidity it was worked out from [ratio]; empty for a row from memory."""
    note: str = ""
    """Which other rows of the same place exist and were not used."""

    @property
    def name(self) -> str:
        """Place and state (or country outside the United States), as it is written in a job."""
        return f"{self.place} {self.state or self.country}".strip()

    @property
    def mean(self) -> float:
        """Mean of the twelve months [ratio]."""
        return sum(self.monthly) / len(self.monthly)

    @property
    def low(self) -> float:
        """Driest month [ratio]."""
        return min(self.monthly)

    @property
    def high(self) -> float:
        """Dampest month [ratio]."""
        return max(self.monthly)

    @property
    def swing(self) -> float:
        """Dampest less driest month [ratio]."""
        return self.high - self.low

    def in_month(self, month: str) -> float:
        """Moisture content in a month named by its first three letters [ratio]."""
        return self.monthly[MONTHS.index(month[:3].lower())]


def _listed(text: str, factor: float = 1.0) -> tuple[float, ...]:
    return tuple(round(float(each) * factor, 6) for each in text.split(";") if each.strip())


def _place_of(row: Row) -> OutdoorEmc:
    return OutdoorEmc(
        place=row["place"],
        state=row["state"],
        country=row["country"],
        monthly=tuple(round(float(row[month]) / 100.0, 6) for month in MONTHS),
        source=source_in(row),
        temperature=_listed(row["temperature_c"]),
        humidity=_listed(row["humidity_pct"], 0.01),
    )


@cache
def _all_places() -> tuple[OutdoorEmc, ...]:
    return tuple(_place_of(row) for row in load_rows("outdoor_emc"))


def all_places() -> tuple[OutdoorEmc, ...]:
    """Every row of the outdoor table, in file order; a place may stand there twice.

    Returns
    -------
    tuple of OutdoorEmc
        82 rows, 33 computed and 49 from memory [ratio]

    Notes
    -----
    Valid for air sheltered from rain and sun.

    Source: typical-year weather files and eq. 4-5 (computed); Wood Handbook 2010, Table 13-1 (from memory).

    Examples
    --------
    >>> len(all_places())
    82
    """
    return _all_places()


def _bare(place: str) -> str:
    """Place without what stands in brackets."""
    return place.split("(")[0].strip()


def _names_of(row: OutdoorEmc) -> tuple[str, ...]:
    """Plain names from the strictest to the loosest."""
    regions = [each for each in (row.state, row.country) if each]
    strict = [f"{row.place} {region}" for region in regions]
    loose = [f"{_bare(row.place)} {region}" for region in regions]
    return tuple(plain_name(each) for each in (*strict, row.place, *loose, _bare(row.place)))


@cache
def _index() -> Mapping[str, tuple[OutdoorEmc, ...]]:
    index: dict[str, list[OutdoorEmc]] = {}
    for row in _all_places():
        for name in dict.fromkeys(_names_of(row)):
            index.setdefault(name, []).append(row)
    return {name: tuple(rows) for name, rows in index.items()}


def _chosen(name: str, rows: tuple[OutdoorEmc, ...]) -> OutdoorEmc | None:
    """The one row a name means; of two rows for the same place the computed one."""
    exact = tuple(row for row in rows if name in (plain_name(row.name), plain_name(row.place)))
    rows = exact or rows
    if len({(row.place, row.state, row.country) for row in rows}) > 1:
        return None
    return min(rows, key=lambda row: row.source.mark is not Mark.COMPUTED)


def _others(row: OutdoorEmc) -> str:
    """Says which other rows of the same place exist."""
    rest = [
        each
        for each in _all_places()
        if each is not row and (_bare(each.place), each.state) == (_bare(row.place), row.state)
    ]
    told = "; ".join(f"{each.name}, {each.mean:.1%} over the year ({each.source.mark.value})" for each in rest)
    return f"not used: {told}" if told else ""


def find_place(name: str) -> OutdoorEmc | None:
    """Outdoor row of the place that goes by this name, or None.

    Parameters
    ----------
    name : str
        Place, or place and state or country, in any case: ``Portland ME`` [text]

    Returns
    -------
    OutdoorEmc or None
        None if no place, or more than one, goes by the name [ratio]

    Notes
    -----
    Valid for air sheltered from rain and sun; wetted wood goes higher. Where a place has a computed row and
    one from memory the computed one is used, and its note names the other.

    Source: typical-year weather files and eq. 4-5 (computed); Wood Handbook 2010, Table 13-1 (from memory).

    Examples
    --------
    >>> found = find_place("portland me")
    >>> found.high if found else None
    0.14
    """
    plain = plain_name(name)
    rows = _index().get(plain, ())
    row = _chosen(plain, rows) if rows else None
    if row is None:
        return None
    return OutdoorEmc(
        place=row.place, state=row.state, country=row.country, monthly=row.monthly, source=row.source,
        temperature=row.temperature, humidity=row.humidity, note=_others(row),
    )  # fmt: skip


def near_places(name: str) -> tuple[str, ...]:
    """Places near the one typed, for a mend line.

    Parameters
    ----------
    name : str
        As typed [text]

    Returns
    -------
    tuple of str
        At most four names, nearest first [text]

    Notes
    -----
    Valid for any text. If several places share the name, they are offered.

    Source: house rule, an unknown name is answered with the nearest known ones.

    Examples
    --------
    >>> near_places("Portland")
    ('Portland ME', 'Portland OR')
    """
    shared = _index().get(plain_name(name), ())
    if shared:
        return tuple(dict.fromkeys(row.name for row in shared))
    near = nearest_names(name, _index(), 8)
    return tuple(dict.fromkeys(row.name for plain in near for row in _index()[plain]))[:4]


def place_named(name: str) -> OutdoorEmc:
    """Outdoor row of the place that goes by this name.

    Parameters
    ----------
    name : str
        Place, or place and state or country, in any case [text]

    Returns
    -------
    OutdoorEmc
        Moisture content by month [ratio]

    Raises
    ------
    UnknownNameError
        If no place, or more than one, goes by the name; it offers near ones.

    Notes
    -----
    Valid for air sheltered from rain and sun; wetted wood goes higher.

    Source: typical-year weather files and eq. 4-5 (computed); Wood Handbook 2010, Table 13-1 (from memory).

    Examples
    --------
    >>> place_named("Las Vegas NV").in_month("jun")
    0.04
    """
    found = find_place(name)
    if found is None:
        raise UnknownNameError("place", name, near_places(name), plain_name(name) in _index())
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class IndoorRange:
    """Moisture content that wood keeps in one kind of room, as ratios: usual, lowest, highest."""

    key: str
    name: str
    usual: float
    low: float
    high: float
    source: Source
    note: str = ""


@cache
def _indoor() -> tuple[IndoorRange, ...]:
    return tuple(
        IndoorRange(
            key=row["key"], name=row["name"], source=source_in(row), note=row["note"],
            usual=float(row["usual"]) / 100.0, low=float(row["low"]) / 100.0, high=float(row["high"]) / 100.0,
        )
        for row in load_rows("indoor_mc")
    )  # fmt: skip


def indoor_ranges() -> tuple[IndoorRange, ...]:
    """Moisture content indoors by kind of room: defaults for a job that names none.

    Returns
    -------
    tuple of IndoorRange
        Usual, low and high [ratio]

    Notes
    -----
    Valid as a default only: a humidity kept by the maker's own meter comes first.

    Source: Wood Handbook 2010, Table 13-2 (from memory; averages also read on trade pages).

    Examples
    --------
    >>> indoor_ranges()[0].usual
    0.08
    """
    return _indoor()


def indoor_range(key: str = "most") -> IndoorRange:
    """Moisture content in one kind of room.

    Parameters
    ----------
    key : str
        One of ``most``, ``dry``, ``damp``, ``unheated`` [text]

    Returns
    -------
    IndoorRange
        Usual, low and high [ratio]

    Raises
    ------
    UnknownNameError
        If there is no such kind of room.

    Notes
    -----
    Valid as a default only.

    Source: Wood Handbook 2010, Table 13-2 (from memory; averages also read on trade pages).

    Examples
    --------
    >>> indoor_range("dry").low
    0.04
    """
    for each in _indoor():
        if each.key == plain_name(key):
            return each
    known = tuple(each.key for each in _indoor())
    raise UnknownNameError("kind of room", key, nearest_names(key, known) or known)
