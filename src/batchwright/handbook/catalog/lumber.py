"""Catalog entries on measuring lumber."""

from __future__ import annotations

from batchwright.base.source import Mark
from batchwright.handbook import grades
from batchwright.handbook import lumber as measuring
from batchwright.handbook.catalog.entry import (
    Answer,
    AskedWronglyError,
    Entry,
    Kind,
    Parameter,
    Result,
    Values,
    number,
    told_of,
    words,
)
from batchwright.handbook.catalog.plain import plain_entry
from batchwright.handbook.lumber_sizes import thickness_named

WIDTH = Parameter(name="width", kind=Kind.LENGTH, title="width of the board", unit="mm", low=0.0, above=True)
LENGTH = Parameter(name="length", kind=Kind.LENGTH, title="length of the board", unit="mm", low=0.0, above=True)
QUARTERS = Parameter(name="quarters", kind=Kind.TEXT, title="rough thickness it is sold by, such as 8/4", optional=True)
THICKNESS = Parameter(
    name="thickness", kind=Kind.LENGTH, title="rough thickness, instead of quarters", unit="mm",
    low=0.0, above=True, optional=True,
)  # fmt: skip
COUNT = Parameter(name="count", kind=Kind.NUMBER, title="how many such boards", low=1.0, high=10_000.0, default=1.0)


def _thickness(values: Values) -> float:
    """Rough thickness, by its name in quarters or as a length."""
    given = [name for name in ("quarters", "thickness") if name in values]
    if len(given) != 1:
        raise AskedWronglyError(
            f"board_feet takes one of 'quarters' and 'thickness', not {'both' if given else 'neither'}",
            "give quarters=8/4, or thickness=2in.",
        )
    if given == ["quarters"]:
        return thickness_named(words(values, "quarters")).rough
    return number(values, "thickness")


def _board_feet(values: Values) -> Answer:
    width, length = number(values, "width"), number(values, "length")
    thickness, count = _thickness(values), number(values, "count")
    if count != int(count):
        raise AskedWronglyError(f"'count' is {count:g}, but boards come whole", "give a whole number of boards.")
    board = measuring.BoardSize(width=width, length=length, thickness=thickness)
    bundle = measuring.tally([board] * int(count))
    exact = measuring.board_feet_of_volume(width, length, thickness) * count
    rule = told_of(measuring.tally).source
    feet = sum(bundle.board_feet)
    results = (
        Result(name="surface measure", value=float(sum(bundle.surface_measures)), kind=Kind.NUMBER,
               unit="ft^2", source=rule),
        Result(name="board feet, hardwood rule", value=feet, kind=Kind.NUMBER, unit="board ft", source=rule),
        Result(name="board feet, plain volume", value=exact, kind=Kind.NUMBER, unit="board ft",
               source=told_of(measuring.board_feet_of_volume).source),
        Result(name="volume", value=width * length * thickness * count / 1e9, kind=Kind.NUMBER, unit="m3",
               source="definition"),
    )  # fmt: skip
    notes = ["the hardwood rule drops part feet of length and rounds the surface measure; a yard charges by it"]
    if count > 1:
        notes.append(f"a bundle is rounded once: {bundle.total} board ft; exact halves go up and down in turn")
    if thickness < measuring.INCH:
        notes.append("less than 1 in counts as 1 in")
    return Answer(results=results, notes=tuple(notes))


def _waste(values: Values) -> Answer:
    given = [name for name in ("waste", "factor") if name in values]
    if len(given) != 1:
        raise AskedWronglyError(
            f"waste takes one of 'waste' and 'factor', not {'both' if given else 'neither'}",
            "give waste=… (of what is bought) or factor=… (on the net amount).",
        )
    if given == ["waste"]:
        waste = number(values, "waste")
        factor = measuring.factor_of_waste(waste)
    else:
        factor = number(values, "factor")
        waste = measuring.waste_of_factor(factor)
    source = told_of(measuring.factor_of_waste).source
    return Answer(
        results=(
            Result(name="waste, of what is bought", value=waste, kind=Kind.RATIO, source=source),
            Result(name="factor on the net amount", value=factor, kind=Kind.NUMBER, source=source),
            Result(name="to add to the net amount", value=factor - 1.0, kind=Kind.RATIO, source=source),
        )
    )


def _grade(values: Values) -> Answer:
    grade = grades.grade_named(words(values, "grade"))
    measure = number(values, "surface_measure")
    if measure != int(measure):
        what = f"'surface_measure' is {measure:g}, but it comes in whole square feet"
        raise AskedWronglyError(what, "round it first; `handbook board_feet` works it out.")
    source = str(grade.source)
    units = grades.cutting_units(grade, int(measure))
    count = grades.cuttings_allowed(grade, int(measure))
    more = grades.cuttings_allowed(grade, int(measure), extra=True)
    allowed = "any number" if count is None else f"{count}"
    notes = [f"cuttings of at least {grade.cuttings}", f"graded on the {grade.face} face"]
    if more is not None and count is not None and more > count and grade.extra_units is not None:
        notes.append(f"{grade.extra_units * int(measure)} units or more allow {more} cuttings")
    return Answer(
        results=(
            Result(name="clear cutting units needed", value=float(units), kind=Kind.NUMBER,
                   unit=f"of {12 * int(measure)}", source=source),
            Result(name="cuttings allowed", value=allowed, kind=Kind.TEXT, source=source),
        ),
        notes=tuple(notes),
    )  # fmt: skip


ENTRIES = (
    Entry(
        name="board_feet", title="Board feet of hardwood, by surface measure and as a plain volume",
        is_table=False, parameters=(WIDTH, LENGTH, QUARTERS, THICKNESS, COUNT), mark=Mark.READ,
        source=told_of(measuring.tally).source, valid_for=told_of(measuring.board_feet).valid_for,
        covers=("lumber.board_feet", "lumber.tally", "lumber.surface_measure", "lumber.whole_feet",
                "lumber.board_feet_of_volume"),
        work=_board_feet, example="board_feet width=7in length=10ft quarters=8/4",
    ),
    plain_entry(
        measuring.softwood_board_feet,
        Result(name="board feet", value=None, kind=Kind.NUMBER, unit="board ft"),
        (
            Parameter(name="width", kind=Kind.LENGTH, title="nominal width", unit="mm", low=0.0, above=True),
            LENGTH,
            Parameter(name="thickness", kind=Kind.LENGTH, title="nominal thickness", unit="mm", low=0.0,
                      above=True),
        ),
        "softwood_board_feet width=6in length=8ft thickness=2in",
    ),
    Entry(
        name="waste", title="Waste as a share of what is bought, and as a factor on the net amount",
        is_table=False,
        parameters=(
            Parameter(name="waste", kind=Kind.RATIO, title="share of what is bought that is lost", low=0.0,
                      high=0.95, optional=True),
            Parameter(name="factor", kind=Kind.NUMBER, title="factor on the net amount; add 30 % is 1.3",
                      low=1.0, high=20.0, optional=True),
        ),
        mark=Mark.DERIVED, source=told_of(measuring.factor_of_waste).source,
        valid_for=told_of(measuring.factor_of_waste).valid_for,
        covers=("lumber.factor_of_waste", "lumber.waste_of_factor"), work=_waste, example="waste waste=30%",
    ),
    Entry(
        name="grade_cuttings", title="Clear cuttings a board must give to make a hardwood grade",
        is_table=False,
        parameters=(
            Parameter(name="grade", kind=Kind.TEXT, title="grade, such as FAS or No. 1 Common"),
            Parameter(name="surface_measure", kind=Kind.NUMBER, title="surface measure of the board",
                      unit="ft^2", low=1.0, high=60.0),
        ),
        mark=Mark.READ, source=told_of(grades.cutting_units).source,
        valid_for=told_of(grades.cutting_units).valid_for,
        covers=("grades.cutting_units", "grades.cuttings_allowed"), work=_grade,
        example="grade_cuttings grade=FAS surface_measure=8",
    ),
)  # fmt: skip
