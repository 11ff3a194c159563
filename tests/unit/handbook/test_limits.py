"""Formulae refuse what they are not published for, and say the limit and the value."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from batchwright.handbook import beams, density, fasteners, grades, lumber, movement, strength
from batchwright.handbook.lumber_sizes import thickness_for, thickness_named
from batchwright.handbook.moisture import emc, emc_glass
from batchwright.handbook.names import UnknownNameError, nearest_names
from batchwright.handbook.published import GapError
from batchwright.handbook.species import species_named

OAK = species_named("white oak")
FAS = grades.grade_named("FAS")
REFUSED: list[tuple[Callable[..., object], tuple[object, ...], str]] = [
    (emc, (-41.0, 0.5), "-40 to 132"),
    (emc, (133.0, 0.5), "133"),
    (emc, (20.0, 1.0), "0 to 0.98"),
    (emc, (20.0, -0.01), "-0.01"),
    (emc, (20.0, 65.0), "65"),
    (emc_glass, (20.0, 1.0), "0.98"),
    (movement.change_by_coefficient, (300.0, 0.0036, 0.05, 0.14), "0.06 to 0.14"),
    (movement.change_by_coefficient, (0.0, 0.0036, 0.06, 0.14), "above 0"),
    (movement.change_by_coefficient, (300.0, math.nan, 0.06, 0.14), "above 0"),
    (movement.change_by_shrinkage, (300.0, 0.105, 0.31, 0.10), "0 to 0.3"),
    (movement.change_by_shrinkage, (300.0, 10.5, 0.30, 0.10), "ratio"),
    (movement.movement, (300.0, OAK, 2.0, 0.06, 0.14), "ring angle"),
    (movement.movement, (300.0, OAK, 0.0, 0.06, 0.40), "0.4"),
    (movement.shrinkage_to, (0.105, -0.1), "-0.1"),
    (movement.shrinkage_to, (0.105, 0.1, 0.9), "0.9"),
    (density.density, (0.0, 0.12), "above 0"),
    (density.gravity_at, (0.6, 0.12, 16.3), "16.3"),
    (density.most_moisture, (1.6,), "1.54"),
    (density.sinking_moisture, (1.1,), "at most 1"),
    (lumber.surface_measure, (0.0, 1000.0), "width"),
    (lumber.whole_feet, (-1.0,), "length"),
    (lumber.board_feet, (100.0, 1000.0, math.inf), "thickness"),
    (lumber.factor_of_waste, (1.0,), "below 1"),
    (lumber.factor_of_waste, (30.0,), "ratio"),
    (lumber.waste_of_factor, (0.9,), "1 or more"),
    (grades.cutting_units, (FAS, 0), "at least 1"),
    (thickness_for, (0.0,), "above 0"),
    (strength.hankinson, (51.0, 7.0, 1.6), "pi/2"),
    (strength.hankinson, (51.0, 7.0, 0.5, 3.0), "1.5 to 2.5"),
    (strength.strength_at_moisture, (100.0, 0.0, 0.1), "green"),
    (strength.strength_at_moisture, (100.0, 60.0, 0.1, 0.12), "0.18 to 0.3"),
    (strength.share_left_by_slope, (0.25,), "1 in 5"),
    (strength.share_left_by_slope, (0.1, "tension"), "bending, impact, compression"),
    (strength.stiffness_change_by_temperature, (80.0,), "65.6"),
    (strength.stiffness_change_by_temperature, (-5.0, True), "0 to"),
    (strength.design_stress, (100.0, 0.16, 0.1), "divisor"),
    (beams.section_modulus, (0.0, 10.0), "width"),
    (fasteners.screw_withdrawal, (4.83, 25.0, 2.0), "0.2 to 1.2"),
    (fasteners.screw_side_load, (4.83, 0.80), "0.8"),
    (fasteners.screw_diameter, (13,), "12, 14"),
    (fasteners.lag_screw_across_grain, (30.0,), "25.4"),
    (nearest_names, ("oak", ["White oak"], 0), "at least 1"),
]


@pytest.mark.parametrize(("formula", "values", "says"), REFUSED)
def test_formula_refuses_and_says_the_limit(
    formula: Callable[..., object], values: tuple[object, ...], says: str
) -> None:
    with pytest.raises(ValueError, match=says.replace("(", r"\(")):
        formula(*values)


def test_movement_of_a_wood_with_a_gap_is_refused_not_guessed() -> None:
    with pytest.raises(GapError, match="Osage-orange"):
        movement.movement(100.0, species_named("osage orange"), 0.0, 0.08, 0.12)


def test_a_wood_without_coefficients_moves_by_its_shrinkage_and_says_so() -> None:
    answer = movement.movement(100.0, species_named("sapele"), 0.0, 0.08, 0.12)
    assert answer.equation == "eq. 13-3"
    assert "Sapele" in answer.notes[0]


def test_movement_beyond_14_percent_goes_by_shrinkage_and_says_so() -> None:
    answer = movement.movement(100.0, OAK, 0.0, 0.08, 0.16)
    assert answer.equation == "eq. 13-3"
    assert "6 to 14 %" in answer.notes[0]


def test_rift_says_how_it_is_worked() -> None:
    rift = movement.ring_angle_of(movement.Cut.RIFT)
    answer = movement.movement(100.0, OAK, rift, 0.06, 0.14)
    assert any("rift taken at 45 degrees" in str(each) and "derived" in str(each) for each in answer.sources)


def test_unknown_thickness_offers_known_ones() -> None:
    with pytest.raises(UnknownNameError, match="8/4"):
        thickness_named("7/4")


def test_thickness_for_takes_the_next_one_up() -> None:
    found = thickness_for(25.5)
    assert found is not None and found.name == "5/4"
    assert thickness_for(25.4) is thickness_named("4/4")
    assert thickness_for(200.0) is None
