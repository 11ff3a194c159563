"""The species table against the Wood Handbook: cells, and round figures of the inch-pound printing."""

from __future__ import annotations

import pytest

from batchwright.base.source import Mark
from batchwright.handbook.finishes import finish_named
from batchwright.handbook.species import all_species, species_named, value_of
from printed import printed

PSI = 0.00689475729
POUND = 4.4482216


def cell(wood: str, name: str) -> float:
    value = value_of(species_named(wood), name).value
    assert value is not None
    return value


@pytest.mark.parametrize(
    ("wood", "name", "expected"),
    [
        ("white oak", "mor_12", "105"),  # CV086, FPL-GTR-190 Table 5-3a, MPa (read)
        ("teak", "shear_12", "13.0"),  # CV088, FPL-GTR-190 Table 5-5b, 1,890 psi (read)
        ("western redcedar", "tension_across_12", "1.5"),  # CV090, FPL-GTR-190 Table 5-3a (read)
        ("sugar maple", "compression_across_12", "10.1"),  # CV092, FPL-GTR-190 Table 5-3a (read)
    ],
)
def test_cells_of_the_metric_printing(wood: str, name: str, expected: str) -> None:
    assert cell(wood, name) == printed(expected)


@pytest.mark.parametrize(
    ("wood", "name", "unit", "expected"),
    [
        # FPL-GTR-190 Table 5-3b and 5-5b, inch-pound printing, from memory
        ("white oak", "mor_12", PSI, "15200"),
        ("white oak", "moe_12", PSI * 1e6, "1.78"),
        ("white oak", "compression_parallel_12", PSI, "7440"),
        ("white oak", "compression_across_12", PSI, "1070"),
        ("white oak", "shear_12", PSI, "2000"),
        ("white oak", "tension_across_12", PSI, "800"),
        ("white oak", "hardness_12", POUND, "1360"),
        ("black walnut", "mor_12", PSI, "14600"),
        ("black walnut", "moe_12", PSI * 1e6, "1.68"),
        ("black walnut", "hardness_12", POUND, "1010"),
        ("black cherry", "mor_12", PSI, "12300"),
        ("black cherry", "hardness_12", POUND, "950"),
        ("sugar maple", "mor_12", PSI, "15800"),
        ("sugar maple", "moe_12", PSI * 1e6, "1.83"),
        ("sugar maple", "hardness_12", POUND, "1450"),
        ("northern red oak", "mor_12", PSI, "14300"),
        ("northern red oak", "hardness_12", POUND, "1290"),
        ("white ash", "mor_12", PSI, "15400"),  # read: FPL-GTR-282 prints 15,400 psi
        ("teak", "mor_12", PSI, "14600"),
        ("teak", "shear_12", PSI, "1890"),  # read
        ("teak", "shear_green", PSI, "1290"),  # read
        ("yellow poplar", "mor_12", PSI, "10100"),
        ("western redcedar", "mor_12", PSI, "7500"),
    ],
)
def test_cells_of_the_inch_pound_printing(wood: str, name: str, unit: float, expected: str) -> None:
    found = cell(wood, name) / unit
    assert found == printed(expected, slack=0.004, because="stored in SI with two or three figures")


@pytest.mark.xfail(reason="FPL-GTR-190 prints 103 MPa for white ash at 12 %, FPL-GTR-282 15,400 psi = 106 MPa")
def test_white_ash_bending_strength_of_the_older_printing() -> None:
    assert cell("white ash", "mor_12") == printed("103")


READ_IN_INCH_POUNDS = [each for each in all_species() if value_of(each, "mor_green").source.mark is Mark.READ]
STEPS = {  # last digit of the inch-pound printing
    "mor_12": (PSI, 100.0),
    "mor_green": (PSI, 100.0),
    "compression_across_12": (PSI, 10.0),
    "compression_across_green": (PSI, 10.0),
    "shear_12": (PSI, 10.0),
    "shear_green": (PSI, 10.0),
    "tension_across_12": (PSI, 10.0),
    "moe_12": (PSI * 1e6, 0.01),
    "moe_green": (PSI * 1e6, 0.01),
    "hardness_12": (POUND, 10.0),
    "hardness_green": (POUND, 10.0),
}


@pytest.mark.parametrize("wood", READ_IN_INCH_POUNDS, ids=lambda each: each.key)
def test_cells_are_round_figures_of_the_inch_pound_printing(wood) -> None:  # type: ignore[no-untyped-def]
    """A slip of the pen in a converted cell would almost never land on a round printed figure.

    Compression along the grain is left out: kept to 0.1 MPa (15 psi), it cannot show a step of 10 psi.
    """
    for name, (unit, step) in STEPS.items():
        value = value_of(wood, name).value
        if value is None:
            continue
        steps = value / unit / step
        assert abs(steps - round(steps)) < 0.2, f"{name} = {value} is {value / unit:.1f}, no multiple of {step:g}"


def test_there_are_37_woods_with_strengths_that_were_read() -> None:
    assert len(READ_IN_INCH_POUNDS) == 37


def test_life_of_semitransparent_stain() -> None:
    """CV093: FPL-GTR-190 Table 16-5 (read), saw-textured wood: 4 to 8 years."""
    finish = finish_named("semi_stain")
    assert finish.life == (printed("4"), printed("8"))
    assert finish.life_source.mark is Mark.READ
