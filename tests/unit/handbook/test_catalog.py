"""The catalog lists everything, answers with sources, and collects every fault in what was given."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import shlex
from importlib import resources

import pytest

import batchwright.handbook.catalog
from batchwright.app.ask import ask
from batchwright.base.fault import Fault
from batchwright.handbook.catalog import Answer, Entry, Kind, entries, evaluate, find_entry
from batchwright.handbook.catalog.entry import WORDS, Value
from printed import printed

FORMULAE = ("moisture", "movement", "density", "lumber", "grades", "strength", "beams", "fasteners")
LOOKUPS = {"grades.grades", "grades.grade_named"}


def answer(name: str, /, **values: Value) -> Answer:
    found = evaluate(name, {key.rstrip("_"): value for key, value in values.items()})
    assert isinstance(found, Answer), [str(each) for each in found]
    return found


def faults(name: str, /, **values: Value) -> list[str]:
    found = evaluate(name, {key.rstrip("_"): value for key, value in values.items()})
    assert isinstance(found, tuple)
    for each in found:
        assert isinstance(each, Fault)
        assert each.what and each.mend and each.place.file.startswith("handbook")
    return [each.code for each in found]


def value(found: Answer, start: str) -> Value | None:
    return next(each.value for each in found.results if each.name.startswith(start))


def test_every_public_formula_of_the_handbook_is_in_the_catalog() -> None:
    public = set()
    for name in FORMULAE:
        module = importlib.import_module(f"batchwright.handbook.{name}")
        public |= {
            f"{name}.{each}"
            for each, thing in inspect.getmembers(module, inspect.isfunction)
            if not each.startswith("_") and thing.__module__ == module.__name__
        }
    covered = {each for entry in entries() for each in entry.covers}
    assert public - LOOKUPS <= covered, sorted(public - LOOKUPS - covered)


def test_every_packaged_table_is_in_the_catalog() -> None:
    packaged = {
        f"tables.{each.name.removesuffix('.csv')}"
        for each in resources.files("batchwright.handbook.tables").iterdir()
        if each.name.endswith(".csv")
    }
    assert packaged == {each for entry in entries() for each in entry.covers if each.startswith("tables.")}


def test_names_are_their_own() -> None:
    assert len({each.name for each in entries()}) == len(entries())


@pytest.mark.parametrize("entry", entries(), ids=lambda entry: entry.name)
def test_every_entry_says_what_it_is(entry: Entry) -> None:
    assert entry.title and entry.source and entry.valid_for
    assert entry.example.split()[0] == entry.name
    assert find_entry(entry.name.upper().replace("_", " ")) is entry
    for each in entry.parameters:
        assert each.title
        if each.kind not in WORDS and not entry.is_table:
            assert each.limits, f"{entry.name}: {each.name} states no limits"
        if each.choices and each.default is not None:
            assert each.default in each.choices


@pytest.mark.parametrize("entry", [each for each in entries() if each.is_table], ids=lambda entry: entry.name)
def test_every_table_can_be_listed_whole(entry: Entry) -> None:
    found = answer(entry.name)
    assert found.rows
    for row in found.rows:
        assert len(row) == len(found.columns)


SAMPLES: dict[str, dict[str, Value]] = {
    "temperature": {"value": 20.0},
    "species": {"value": "white oak"},
    "grade": {"value": "FAS"},
    "gauge": {"value": 10.0},
    "slope": {"value": 0.1},
    "factor": {"value": 1.3},
    "meeting": {"value": 0.25},
    "exponent": {"value": 2.0},
    "gravity": {"value": 0.6},
    "diameter": {"value": 9.5},
    "divisor": {"value": 2.3},
    "count": {"value": 2.0},
    "surface_measure": {"value": 8.0},
    "coefficient": {"value": 0.0025},
    "shrinkage": {"value": 0.105},
}


@pytest.mark.parametrize("entry", [each for each in entries() if not each.is_table], ids=lambda entry: entry.name)
def test_every_formula_answers_with_a_source_beside_its_value(entry: Entry) -> None:
    values: dict[str, Value] = {}
    for each in entry.parameters:
        if each.needed:
            sample = SAMPLES.get(each.name, {"value": 0.1 if each.kind is Kind.RATIO else 100.0})["value"]
            values[each.name] = 0.5 if each.kind is Kind.ANGLE else sample
    if entry.name == "waste":
        values["factor"] = 1.3
    if entry.name == "board_feet":
        values["quarters"] = "8/4"
    found = evaluate(entry.name, values)
    assert isinstance(found, Answer), [str(each) for each in found]
    assert found.results[0].value is not None
    assert found.results[0].source


def test_emc_answers_with_both_models() -> None:
    """At 20 C and 65 % eq. 4-5 gives 12.0 % (worked apart from Wood Handbook 2021)."""
    found = answer("emc", temperature=20.0, humidity=0.65)
    first = value(found, "moisture content, Simpson")
    assert isinstance(first, float) and first * 100.0 == printed("12.0")
    assert len(found.results) == 2
    assert not any("outside" in note for note in found.notes)
    assert any("outside the range" in note for note in answer("emc", temperature=-20.0, humidity=0.5).notes)


def test_movement_takes_cut_across_or_ring_angle() -> None:
    flat = value(answer("movement", species="White Oak", width=300.0, from_=0.06, to=0.14), "change")
    assert flat == printed("8.76")  # Wood Handbook 2010, Table 13-5, CT 0.00365 (read)
    thick = answer("movement", species="white oak", width=300.0, from_=0.06, to=0.14, across="thickness")
    assert value(thick, "change") == printed("4.32")  # CR 0.00180 (read)
    turned = answer("movement", species="white oak", width=300.0, from_=0.06, to=0.14, ring_angle=1.5707963)
    assert value(turned, "change") == printed("4.32")


def test_board_feet_shows_the_rule_and_the_volume() -> None:
    assert answer("board_feet", width=7 * 25.4, length=10 * 304.8, quarters="8/4") == (
        found := answer("board_feet", width=7 * 25.4, length=10 * 304.8, thickness=50.8)
    )
    assert value(found, "board feet, hardwood rule") == 12.0  # 5.83 counts as 6, times 2
    assert value(found, "board feet, plain volume") == printed("11.667")


def test_waste_shows_factor_and_percent_both_ways() -> None:
    assert value(answer("waste", waste=0.3), "factor") == printed("1.43")  # trade page on waste (read)
    assert value(answer("waste", factor=1.3), "waste") == printed("0.23")


def test_species_table_shows_every_property_of_one_wood() -> None:
    found = answer("species", name="teak")
    gap = next(each for each in found.results if each.name.startswith("tension across the grain, 12"))
    assert gap.value is None and gap.source
    assert value(found, "bending strength (modulus of rupture), 12") == 100.7


def test_one_place_is_shown_month_by_month_and_says_which_row_is_used() -> None:
    found = answer("outdoor_emc", place="Chicago IL")
    assert [each.name for each in found.results][-12:] == [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ]  # fmt: skip
    assert any("used: Chicago IL (computed)" in note and "from memory" in note for note in found.notes)
    assert value(answer("outdoor_emc", place="Las Vegas NV"), "Jun") == printed("0.040")  # Table 13-1, from memory


def test_one_joint_rule_shows_the_mark_of_its_numbers() -> None:
    found = answer("joint_rules", rule="JR16")
    assert value(found, "numbers") == "6 to 10 mm (from memory)"
    assert found.results[0].source.endswith("(read)")


def test_density_of_a_wood_without_a_green_value_says_how() -> None:
    found = answer("wood_density", species="European oak", moisture=0.16)
    assert "12 % value" in next(each.note for each in found.results if each.name == "specific gravity")
    assert value(found, "density") == printed("708", slack=0.001, because="0.61 is a 12 % value: 0.61 x 1.16")


def test_grade_cuttings_notes_the_one_more_cutting() -> None:
    found = answer("grade_cuttings", grade="FAS", surface_measure=8.0)
    assert value(found, "clear cutting units") == 80.0  # NHLA rules by the AHEC summary (read)
    assert "88 units or more allow 3 cuttings" in found.notes


def test_all_faults_are_told_at_once_in_order() -> None:
    assert faults("movement", spec="oak", width=-1.0, from_=0.06, to=0.5, cut="plain") == [
        "handbook-parameter-unknown",
        "handbook-parameter-missing",
        "handbook-out-of-limits",
        "handbook-out-of-limits",
        "handbook-choice-unknown",
    ]


@pytest.mark.parametrize("entry", [each for each in entries() if not each.is_table], ids=lambda entry: entry.name)
def test_every_example_can_be_typed_as_it_stands(entry: Entry) -> None:
    name, *typed = shlex.split(entry.example)
    outcome = ask(name, tuple(typed))
    assert outcome.thing is not None, [str(each) for each in outcome.faults]
    assert outcome.thing.answer is not None


@pytest.mark.parametrize(
    ("name", "values", "code"),
    [
        ("emz", {}, "handbook-entry-unknown"),
        ("emc", {"temperature": "warm", "humidity": 0.5}, "handbook-number-wanted"),
        ("emc", {"temperature": float("nan"), "humidity": 0.5}, "handbook-number-wanted"),
        ("emc", {"temperature": 20.0, "humidity": 0.985}, "handbook-out-of-limits"),
        ("board_feet", {"width": 0.0, "length": 1.0, "thickness": 1.0}, "handbook-out-of-limits"),
        ("board_feet", {"width": 1.0, "length": 1.0}, "handbook-asked-wrongly"),
        ("board_feet", {"width": 1.0, "length": 1.0, "quarters": "7/4"}, "handbook-name-unknown"),
        ("species", {"name": "whit oak"}, "handbook-name-unknown"),
        ("species", {"name": "redwood"}, "handbook-name-shared"),
        ("outdoor_emc", {"place": "Portland"}, "handbook-name-shared"),
        ("movement", {"species": "osage orange", "width": 1.0, "from": 0.1, "to": 0.12}, "handbook-gap"),
        ("shrinkage", {"species": "osage orange", "moisture": 0.1}, "handbook-gap"),
        ("strength", {"species": "osage orange", "moisture": 0.1}, "handbook-gap"),
        ("board_feet", {"width": 1.0, "length": 1.0, "quarters": "8/4", "count": 1.5}, "handbook-asked-wrongly"),
        ("grade_cuttings", {"grade": "FAS", "surface_measure": 7.5}, "handbook-asked-wrongly"),
        ("grade_cuttings", {"grade": "FSA", "surface_measure": 7.0}, "handbook-name-unknown"),
        ("waste", {}, "handbook-asked-wrongly"),
        ("waste", {"waste": 0.2, "factor": 1.2}, "handbook-asked-wrongly"),
        ("screw_diameter", {"gauge": 13.0}, "handbook-value-refused"),
        ("joint_rules", {"rule": "JR99"}, "handbook-name-unknown"),
        ("strength_modifiers", {"topic": "slopes"}, "handbook-choice-unknown"),
    ],
)
def test_each_fault_has_its_code_and_a_mend(name: str, values: dict[str, Value], code: str) -> None:
    assert faults(name, **values) == [code]


def test_an_out_of_limits_fault_names_the_parameter_and_both_numbers() -> None:
    found = evaluate("emc", {"temperature": 20.0, "humidity": 1.2})
    assert isinstance(found, tuple)
    assert "'humidity' is 120 %" in found[0].what and "0 % to 98 %" in found[0].what
    assert "0 % to 98 %" in found[0].mend


def test_catalog_modules_document_what_they_take_and_give() -> None:
    for info in pkgutil.iter_modules(batchwright.handbook.catalog.__path__):
        module = importlib.import_module(f"batchwright.handbook.catalog.{info.name}")
        for name, thing in inspect.getmembers(module, inspect.isfunction):
            if name.startswith("_") or thing.__module__ != module.__name__:
                continue
            text = inspect.getdoc(thing) or ""
            assert all(f"{each} : " in text for each in inspect.signature(thing).parameters), name
            assert "Source:" in text and "Valid" in text and ">>>" in text, name
