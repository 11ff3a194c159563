"""Catalog entries that are tables: the whole table in rows, or one row in full by its name."""

from __future__ import annotations

from collections.abc import Callable

from batchwright.base.source import Mark
from batchwright.handbook import adhesives, climate, ergonomics, finishes, grades, joint_rules, lumber_sizes
from batchwright.handbook import strength_tables as strong
from batchwright.handbook.catalog.entry import Answer, Entry, Kind, Parameter, Result, Values, shown, words
from batchwright.handbook.published import Published
from batchwright.handbook.shelf import load_rows, source_in
from batchwright.handbook.species import PROPERTIES, Species, all_species, decay_class, species_named, value_of

_KIND_OF_UNIT = {"MPa": Kind.STRESS, "N": Kind.FORCE, "mm": Kind.LENGTH}


def _result(name: str, published: Published, kind: Kind | None = None) -> Result:
    """A published value as a result, its unit telling its kind."""
    found = kind or _KIND_OF_UNIT.get(published.unit, Kind.NUMBER)
    unit = "" if published.unit == "-" else published.unit
    return Result(
        name=name, value=published.value, kind=found, unit=unit, source=str(published.source), note=published.note
    )


def _text(name: str, value: str | None, source: object = "", note: str = "") -> Result:
    return Result(name=name, value=value or None, kind=Kind.TEXT, source=str(source), note=note)


def _span(ends: tuple[float | None, float | None] | None, unit: str = "") -> str:
    """A range in words; a missing end is left open, a missing range is a gap."""
    low, high = ends or (None, None)
    if low is None and high is None:
        return "—"
    if low is None or high is None:
        return f"{'at most' if low is None else 'at least'} {high if low is None else low:g} {unit}".strip()
    return (f"{low:g} {unit}" if low == high else f"{low:g} to {high:g} {unit}").strip()


def _species(values: Values) -> Answer:
    name = words(values, "name")
    if name:
        return _one_species(species_named(name))
    columns = ("wood", "SG 12 %", "bending 12 %", "CR", "CT", "heartwood decay")
    shown_names = ("sg_12", "mor_12", "movement_radial", "movement_tangential")
    rows = []
    for each in all_species():
        found = [value_of(each, column).value for column in shown_names]
        cells = ["—" if value is None else f"{value:g}" for value in found]
        rows.append((each.name, *cells, decay_class(each).value or "—"))
    notes = ("— is a gap in the source; ask for one wood to see every value with its source and mark",)
    return Answer(columns=columns, rows=tuple(rows), notes=notes)


def _one_species(wood: Species) -> Answer:
    resists = decay_class(wood)
    head = [
        _text("wood", wood.name),
        _text("botanical name", wood.botanical_name),
        _text("type", f"{wood.wood_type}, {wood.origin}"),
        _text("heartwood decay", resists.value, resists.source, resists.note),
    ]
    for each in PROPERTIES.values():
        kind = Kind.RATIO if each.family == "shrink" else None
        head.append(_result(each.title, value_of(wood, each.name), kind))
    notes = ["means of small clear straight-grained specimens, not design values"]
    if wood.note:
        notes.append(wood.note)
    return Answer(results=tuple(head), notes=tuple(notes))


def _outdoor(values: Values) -> Answer:
    name = words(values, "place")
    if not name:
        rows = tuple(
            (each.name, f"{each.mean:.1%}", f"{each.low:.1%}", f"{each.high:.1%}", each.source.mark.value)
            for each in climate.all_places()
        )
        notes = ("a place that stands twice has a computed row, which is used, and one from memory",)
        return Answer(columns=("place", "mean", "driest", "dampest", "mark"), rows=rows, notes=notes)
    place = climate.place_named(name)
    source = str(place.source)
    results = [_text("place", place.name, source)]
    for label, value in (("mean", place.mean), ("driest month", place.low), ("dampest month", place.high)):
        results.append(Result(name=label, value=value, kind=Kind.RATIO, source=source))
    for month, value in zip(climate.MONTHS, place.monthly, strict=True):
        results.append(Result(name=month.capitalize(), value=value, kind=Kind.RATIO, source=source))
    told = ["for wood sheltered from rain and sun; wetted wood goes higher"]
    if place.note:
        told.append(f"more than one row for this place; used: {place.name} ({place.source.mark.value}); {place.note}")
    return Answer(results=tuple(results), notes=tuple(told))


def _indoor(values: Values) -> Answer:
    rows = tuple(
        (each.key, each.name, f"{each.usual:.0%}", f"{each.low:.0%}", f"{each.high:.0%}", str(each.source))
        for each in climate.indoor_ranges()
    )
    return Answer(columns=("key", "room", "usual", "low", "high", "source"), rows=rows)


def _rules(values: Values) -> Answer:
    wanted = words(values, "rule")
    if not wanted:
        rows = tuple((each.id, each.topic, each.rule, each.source.mark.value) for each in joint_rules.joint_rules())
        return Answer(columns=("rule", "topic", "says", "mark"), rows=rows)
    rule = joint_rules.joint_rule(wanted)
    source = str(rule.source)
    numbers = f"{_span((rule.low, rule.high), rule.unit)} ({rule.number_mark.value})"
    results = (
        _text("rule", f"{rule.id}, {rule.topic}", source),
        _text("says", rule.rule, source),
        _text("expression", rule.expression, source),
        _text("numbers", numbers, source),
    )
    return Answer(results=results, notes=(rule.note,) if rule.note else ())


def _adhesives(values: Values) -> Answer:
    name = words(values, "name")
    chosen = (adhesives.adhesive_named(name),) if name else adhesives.adhesives()
    columns = ("key", "kind", "water", "open", "to pressure", "clamped", "at least", "mark")
    rows = tuple(
        (
            each.key, each.name, each.water, _span(each.open_time, "min"), _span(each.assembly_time, "min"),
            _span(each.clamp_time, "min"), shown(each.least_temperature, Kind.TEMPERATURE), each.source.mark.value,
        )
        for each in chosen
    )  # fmt: skip
    notes = ["at 21 C and 50 % humidity; the label on the bottle comes first"]
    notes += [each.note for each in chosen if name and each.note]
    return Answer(columns=columns, rows=rows, notes=tuple(notes))


def _glue_rules(values: Values) -> Answer:
    rows = tuple((each.name, each.rule, str(each.source)) for each in adhesives.adhesive_rules())
    return Answer(columns=("about", "rule", "source"), rows=rows)


def _finishes(values: Values) -> Answer:
    name = words(values, "name")
    chosen = (finishes.finish_named(name),) if name else finishes.finishes()
    columns = ("key", "kind", "where", "one coat", "coats", "again after", "mark of that")
    rows = tuple(
        (
            each.key, each.name, each.exposure, _span(each.coverage, "m2/L"), _span(each.coats),
            _span(each.life, "years"), each.life_source.mark.value,
        )
        for each in chosen
    )  # fmt: skip
    notes = ["coverage and coats are common practice; the label on the tin comes first"]
    notes += [each.note for each in chosen if name and each.note]
    return Answer(columns=columns, rows=rows, notes=tuple(notes))


def _people(values: Values) -> Answer:
    item = words(values, "item")
    chosen = ergonomics.measures_of(item) if item else ergonomics.measures()
    rows = tuple(
        (
            each.item, each.measure, _span((each.low, each.high), each.unit),
            "—" if each.usual is None else f"{each.usual:g} {each.unit}", str(each.source), each.note,
        )
        for each in chosen
    )  # fmt: skip
    return Answer(columns=("thing", "size", "range", "usual", "source", "note"), rows=rows)


def _thickness(values: Values) -> Answer:
    name = words(values, "name")
    chosen = (lumber_sizes.thickness_named(name),) if name else lumber_sizes.thicknesses()
    rows = tuple(
        (
            each.name, f"{each.rough:.4g} mm", _mm(each.surfaced_one), _mm(each.surfaced_two),
            str(each.surfaced_two.source), each.note,
        )
        for each in chosen
    )  # fmt: skip
    columns = ("name", "rough", "surfaced one side", "surfaced two sides", "source", "note")
    return Answer(columns=columns, rows=rows, notes=("measure each board before relying on it",))


def _mm(published: Published) -> str:
    return "—" if published.value is None else f"{published.value:.4g} mm"


def _softwood(values: Values) -> Answer:
    rows = tuple(
        (each.kind, f"{each.nominal} in", _mm(each.dry), each.dry.source.mark.value, _mm(each.green),
         each.green.source.mark.value)
        for each in lumber_sizes.softwood_sizes()
    )  # fmt: skip
    return Answer(columns=("size", "nominal", "dressed dry", "mark", "dressed green", "mark"), rows=rows)


def _grades(values: Values) -> Answer:
    rows = tuple(
        (
            each.name, f"{each.board_width / 25.4:g} in x {each.board_length / 304.8:g} ft", each.cuttings,
            f"{each.least_yield:.1%}", each.face, str(each.source),
        )
        for each in grades.grades()
    )  # fmt: skip
    columns = ("grade", "least board", "least cutting", "clear", "graded on the face", "source")
    return Answer(columns=columns, rows=rows)


def _lumber_rules(values: Values) -> Answer:
    rows = tuple((row["topic"], row["rule"], str(source_in(row)), row["note"]) for row in load_rows("lumber_rules"))
    return Answer(columns=("about", "rule", "source", "note"), rows=rows)


def _loads(values: Values) -> Answer:
    rows = tuple(
        (each.standard, each.item, each.test, each.load_text, each.second_load_text, each.cycles_text,
         f"{each.source.mark.value}, {each.confidence}")
        for each in strong.proof_loads()
    )  # fmt: skip
    columns = ("standard", "thing", "test", "load, N", "second load, N", "times", "mark, confidence")
    return Answer(columns=columns, rows=rows, notes=("for planning only: buy and follow the standard itself",))


def _modifiers(values: Values) -> Answer:
    chosen = strong.modifiers(words(values, "topic"))
    rows = tuple(
        (each.item, each.condition, f"{each.value_text} {each.unit}".strip(), each.formula, str(each.source))
        for each in chosen
    )
    return Answer(columns=("what", "when", "value", "formula", "source"), rows=rows)


_BOOK, _MIXED = (
    "Wood Handbook 2021 and 2010 (each value marked read or from memory)",
    "the books and papers each row names (each marked read or from memory)",
)


_ASKED = {
    "species": '"white oak"',
    "outdoor_emc": '"Portland ME"',
    "joint_rules": "JR10",
    "adhesives": "pva_type1",
    "finishes": "semi_stain",
    "ergonomics": '"dining chair"',
    "hardwood_thickness": "8/4",
    "strength_modifiers": "slope_of_grain",
}
"""What is asked for in the example of a table that can be asked for one thing."""


def _one(name: str, title: str) -> Parameter:
    return Parameter(name=name, kind=Kind.TEXT, title=title, optional=True)


def _table(
    name: str, title: str, work: Callable[[Values], Answer], said: tuple[str, Mark, str], *ones: Parameter
) -> Entry:
    source, mark, valid_for = said
    example = f"{name} {ones[0].name}={_ASKED[name]}" if ones else name
    return Entry(
        name=name, title=title, is_table=True, parameters=ones, source=source, mark=mark, valid_for=valid_for,
        covers=(f"tables.{name}",), work=work, example=example,
    )  # fmt: skip


_CLEAR = "for small clear straight-grained wood: means, not design values"
_SHELTER = "for wood sheltered from rain and sun"
_DEFAULT = "as defaults that the piece, the job or the shop may override"
_PLAN = "for planning only"
ENTRIES = (
    _table("species", "Woods and their properties", _species, (_BOOK, Mark.READ, _CLEAR),
           _one("name", "one wood, in full")),
    _table("outdoor_emc", "Moisture content of wood outdoors, month by month", _outdoor,
           ("typical-year weather files (computed); Wood Handbook 2010, Table 13-1 (from memory)",
            Mark.COMPUTED, _SHELTER), _one("place", "one place, month by month")),
    _table("indoor_mc", "Moisture content of wood indoors", _indoor,
           ("Wood Handbook 2010, Table 13-2 (from memory)", Mark.MEMORY, "as defaults only")),
    _table("joint_rules", "Rules of joint sizes", _rules, (_MIXED, Mark.READ, _DEFAULT),
           _one("rule", "one rule, such as JR13")),
    _table("adhesives", "Adhesives by kind", _adhesives,
           ("common practice, no source", Mark.COMMON_PRACTICE, "at 21 C and 50 % humidity"),
           _one("name", "one kind, by its key")),
    _table("adhesive_rules", "Rules of gluing", _glue_rules,
           ("Wood Handbook 2010, ch. 10, and common practice (each marked read or from memory)",
            Mark.READ, "as guidance")),
    _table("finishes", "Finishes by kind", _finishes,
           ("common practice, no source; lives from Wood Handbook 2010, Table 16-5 (read)",
            Mark.COMMON_PRACTICE, "on upright faces"),
           _one("name", "one kind, by its key")),
    _table("ergonomics", "Sizes that fit people", _people, (_MIXED, Mark.READ, "for adults, as guidance"),
           _one("item", "one thing, such as dining chair")),
    _table("hardwood_thickness", "Hardwood thickness, rough and surfaced", _thickness,
           ("Hardwood thickness pages (read); NHLA rules (from memory)", Mark.READ, "for the grading standard"),
           _one("name", "one thickness, such as 8/4")),
    _table("softwood_sizes", "Softwood sizes, nominal and dressed", _softwood,
           ("PS 20, Table 3 (each marked read or from memory)", Mark.READ, "as the least dressed sizes")),
    _table("hardwood_grades", "Hardwood grades", _grades,
           ("AHEC grade guide, after the NHLA rules (read)", Mark.READ, "as a summary for planning")),
    _table("lumber_rules", "Rules of measuring and buying lumber", _lumber_rules,
           ("NHLA rules, PS 20, common practice (each marked read or from memory)", Mark.READ, "as guidance")),
    _table("furniture_loads", "Loads that furniture is tested with", _loads,
           ("the standards each row names (each marked read or from memory)", Mark.MEMORY, _PLAN)),
    _table("strength_modifiers", "What raises or lowers strength", _modifiers,
           ("Wood Handbook 2021 and 2010, NDS 2018, ASTM D245, ASTM D2555 (each marked read or from memory)",
            Mark.READ, _PLAN),
           Parameter(name="topic", kind=Kind.CHOICE, title="topic", default="slope_of_grain",
                     choices=strong.topics())),
)  # fmt: skip
