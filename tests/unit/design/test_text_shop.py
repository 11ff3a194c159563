"""Shop files: the packaged shop complete, the maker's words over it, each value marked with who decided."""

# ruff: noqa: E501 - tables of examples read best one under another
from __future__ import annotations

import pytest

from batchwright.base.fault import Fault
from batchwright.base.trace import By
from batchwright.design.shop import packaged_shop, packaged_text, read_shop
from batchwright.design.words.words import MACHINES
from batchwright.model.shop import Allowances, Fits, Shop, Tolerances

INCH = 25.4


def shop(text: str) -> Shop:
    found, faults = read_shop(text, "shop.yaml")
    assert not faults, faults
    return found


def faults(line: str) -> list[Fault]:
    return list(read_shop(f"units: in\n{line}\n", "shop.yaml")[1])


def test_the_packaged_shop_is_complete_and_all_default() -> None:
    found = packaged_shop()
    assert [machine.kind for machine in found.machines] == [kind for kind, _ in MACHINES]
    sized = [
        getattr(group, name) for group in (found.allowances, found.fits, found.tolerances) for name in group.__slots__
    ]
    sized += [found.widest_board, found.waste, found.wall_indoors, found.wall_outdoors]
    sized += [value for _, value in (*found.rates, *found.times)]
    sized += [machine.kerf for machine in found.machines if machine.kerf]
    assert all(value.trace.by is By.DEFAULT for value in sized) and len(sized) > 35
    assert all(cutter.by is By.DEFAULT for cutter in found.cutters)
    assert all(machine.positions for machine in found.machines)
    assert found.clamps and found.glues and found.guides and found.quarters


def test_the_packaged_shop_agrees_with_the_records_own_defaults() -> None:
    found, base = packaged_shop(), Shop()
    for mine, theirs in ((found.allowances, Allowances()), (found.fits, Fits()), (found.tolerances, Tolerances())):
        for name in mine.__slots__:
            assert getattr(mine, name).value == pytest.approx(getattr(theirs, name).value), name
            assert getattr(mine, name).trace == getattr(theirs, name).trace
    assert (found.widest_board.value, found.waste.value) == pytest.approx((base.widest_board.value, base.waste.value))
    assert (found.wall_indoors.value, found.wall_outdoors.value) == pytest.approx((6.35, 7.9))
    assert found.quarters == base.quarters


@pytest.mark.parametrize(
    "inches",
    [1 / 4, 5 / 16, 3 / 8, 1 / 2, 5 / 8, 3 / 4, 6 / INCH, 8 / INCH, 10 / INCH, 12 / INCH, 16 / INCH, 20 / INCH],
)
def test_bits_and_chisels_of_the_usual_widths_are_there(inches: float) -> None:
    fitting = [cutter for cutter in packaged_shop().cutters if cutter.width == pytest.approx(inches * INCH)]
    assert {cutter.round_ends for cutter in fitting} == {True, False}
    assert all(cutter.reach > cutter.width for cutter in fitting)


def test_every_line_of_the_packaged_shop_is_explained() -> None:
    text = packaged_text()
    assert text.count("#") > 60 and "default" in text.split("shop:")[0]


def test_the_makers_words_stand_over_the_packaged_ones_key_by_key() -> None:
    found = shop(
        "units: mm\nshop: The shed\nmachines:\n  planer: {least length: 200, name: the green one}\nfits: {depth: 2}\nwaste: 25 %\n"
    )
    planer = found.machine("planer")
    assert planer is not None and planer.least_length is not None and planer.most_width is not None
    assert (planer.least_length.value, planer.least_length.trace.by) == (200.0, By.SHOP)
    assert (planer.most_width.value, planer.most_width.trace.by) == (pytest.approx(12 * INCH), By.DEFAULT)
    assert (found.fits.depth.value, found.fits.depth.trace.by, found.fits.ends.trace.by) == (2.0, By.SHOP, By.DEFAULT)
    assert found.fits.depth.trace.source == "shop.yaml:5:15"
    assert (found.name, found.waste.value, planer.name) == ("The shed", 0.25, "the green one")


def test_lists_are_replaced_whole() -> None:
    found = shop(
        "units: in\ncutters: [{diameter: 3/8, reach: 2}]\nclamps: [{length: 36, count: 4}]\nglues: [waterproof PVA]\nquarters: [8/4, 4/4]\n"
    )
    bits = [cutter for cutter in found.cutters if cutter.round_ends]
    assert [(cutter.width, cutter.by) for cutter in bits] == [(pytest.approx(9.525), By.SHOP)]
    assert (found.clamps, found.glues, found.quarters) == (((pytest.approx(914.4), 4),), ("pva_type1",), ("4/4", "8/4"))


def test_a_machine_that_is_not_owned_is_not_there_nor_its_packaged_cutters() -> None:
    found = shop("units: in\nmachines: {hollow-chisel mortiser: {owned: no}}\n")
    assert found.machine("hollow-chisel mortiser") is None
    assert found.cutters and all(cutter.round_ends for cutter in found.cutters)


@pytest.mark.parametrize(
    ("line", "code", "column"),
    [
        ("machins: {}", "unknown-word", 1),
        ("machines: {plane: {kerf: 1}}", "unknown-word", 12),
        ("machines: {planer: {most widht: 1}}", "unknown-word", 21),
        ("machines: {planer: {kerf: wide}}", "not-a-length", 27),
        ("machines: {planer: {kerf: 0}}", "not-positive", 27),
        ("machines: 3", "table-wanted", 11),
        ("cutters: {diameter: 3}", "list-wanted", 10),
        ("cutters: [3/8]", "table-wanted", 11),
        ("cutters: [{diameter: 3/8, reach: 2, colour: red}]", "unknown-word", 37),
        ("cutters: [{diameter: 3/8}]", "word-missing", 11),
        ("guides: [{outside: 1/2, inside: 5/8}]", "bush-too-thin", 10),
        ("clamps: [{length: 36, count: -1}]", "count-out-of-range", 30),
        ("glues: [PVA]", "unknown-glue", 9),
        ("allowances: {lenght: 1}", "unknown-word", 14),
        ("fits: {depth: -1}", "not-positive", 15),
        ("rates: {hour: lots}", "not-money", 15),
        ("rates: {hours: 3}", "unknown-word", 9),
        ("times: {tenon: 1 h}", "not-minutes", 16),
        ("waste: 30", "per-cent-missing", 8),
        ("waste: 130 %", "share-out-of-range", 8),
        ("quarters: [2]", "not-quarters", 12),
    ],
)
def test_mistakes_have_their_place_and_the_rest_still_stands(line: str, code: str, column: int) -> None:
    found, told = read_shop(f"units: in\n{line}\n", "shop.yaml")
    assert [(fault.code, fault.place.line, fault.place.column) for fault in told] == [(code, 2, column)]
    assert told[0].mend and len(found.machines) == len(MACHINES)


def test_a_shop_file_must_say_its_units() -> None:
    assert [fault.code for fault in read_shop("shop: a\n", "shop.yaml")[1]] == ["word-missing"]
    assert [fault.code for fault in read_shop("units: feet\n", "shop.yaml")[1]] == ["unknown-choice"]


def test_a_broken_shop_file_leaves_the_packaged_shop() -> None:
    found, told = read_shop("units: [in\n", "shop.yaml")
    assert told[0].code == "broken-form" and found == packaged_shop()


def test_several_faults_are_told_at_once() -> None:
    assert len(faults("waste: 30\nquarters: [2, x]\nrates: {hour: lots}\nmachins: {}")) == 5
