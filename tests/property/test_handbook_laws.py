"""Laws of wood that hold whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from batchwright.handbook.lumber import BoardSize, board_feet_of_volume, factor_of_waste, tally, waste_of_factor
from batchwright.handbook.moisture import emc, emc_glass
from batchwright.handbook.movement import Cut, change_by_shrinkage, movement, ring_angle_of, turned_to_rings
from batchwright.handbook.names import nearest_names, plain_name
from batchwright.handbook.species import all_species, near_species, value_of
from batchwright.handbook.strength import hankinson, share_left_by_slope, strength_at_moisture

temperatures = st.floats(-1.0, 71.0)
humidities = st.floats(0.05, 0.94)
moistures = st.floats(0.0, 0.30)
sizes = st.floats(1.0, 3000.0)
angles = st.floats(0.0, math.pi / 2.0)
woods = st.sampled_from([each for each in all_species() if value_of(each, "shrink_tangential").value])


@given(temperatures, humidities)
def test_damper_air_never_dries_wood(temperature: float, humidity: float) -> None:
    for model in (emc, emc_glass):
        assert model(temperature, humidity + 0.005) > model(temperature, humidity)
        assert 0.0 < model(temperature, humidity) < 0.35


@given(woods, sizes, angles, moistures)
def test_no_change_of_moisture_is_no_movement(wood, size, angle, moisture) -> None:  # type: ignore[no-untyped-def]
    assert movement(size, wood, angle, moisture, moisture).change == 0.0


@given(woods, sizes, angles, moistures, moistures)
def test_wetter_wood_grows_and_movement_grows_with_size(wood, size, angle, start, end) -> None:  # type: ignore[no-untyped-def]
    change = movement(size, wood, angle, start, end).change
    assert change * (end - start) >= 0.0
    assert movement(2.0 * size, wood, angle, start, end).change == pytest.approx(2.0 * change)
    assert abs(change) < size * 0.25


@given(sizes, st.floats(0.02, 0.13), moistures, moistures)
def test_swelling_and_shrinking_back_by_shrinkage_ends_where_it_began(
    size: float, shrinkage: float, start: float, end: float
) -> None:
    grown = size + change_by_shrinkage(size, shrinkage, start, end)
    assert grown + change_by_shrinkage(grown, shrinkage, end, start) == pytest.approx(size)


@given(woods, st.floats(0.06, 0.14), st.floats(0.06, 0.14))
def test_rift_lies_between_flat_and_quarter(wood, start, end) -> None:  # type: ignore[no-untyped-def]
    flat, rift, quarter = (
        abs(movement(100.0, wood, ring_angle_of(cut), start, end).change) for cut in (Cut.FLAT, Cut.RIFT, Cut.QUARTER)
    )
    assert quarter - 1e-9 <= rift <= flat + 1e-9


@given(st.floats(0.001, 0.005), st.floats(0.001, 0.005), angles)
def test_movements_square_to_each_other_sum_to_the_same(tangential: float, radial: float, angle: float) -> None:
    """Trace of a strain is the same however it is turned."""
    one = turned_to_rings(tangential, radial, angle)
    other = turned_to_rings(tangential, radial, math.pi / 2.0 - angle)
    assert one + other == pytest.approx(tangential + radial)


@given(st.floats(10.0, 100.0), st.floats(1.0, 9.0), angles, st.floats(1.5, 2.5))
def test_strength_at_an_angle_lies_between(along: float, across: float, angle: float, exponent: float) -> None:
    for_angle = hankinson(along, across, angle, exponent)
    assert for_angle > across * 0.9
    assert for_angle <= along * 1.2
    assert hankinson(along, across, angle, 2.0) <= along * (1 + 1e-9)


@given(st.floats(0.0, 0.19), st.sampled_from(["bending", "impact", "compression"]))
def test_steeper_grain_is_never_stronger(slope: float, kind: str) -> None:
    assert share_left_by_slope(slope + 0.01, kind) <= share_left_by_slope(slope, kind)


@given(st.floats(0.04, 0.30))
def test_drier_wood_is_never_weaker_and_12_percent_is_the_printed_value(moisture: float) -> None:
    assert strength_at_moisture(100.0, 60.0, 0.12) == pytest.approx(100.0)
    assert strength_at_moisture(100.0, 60.0, moisture) >= 60.0 - 1e-9


@given(
    st.lists(st.builds(BoardSize, width=st.floats(50, 400), length=st.floats(1300, 4900), thickness=st.floats(26, 80)))
)
def test_a_tally_is_near_the_volume_of_whole_feet(boards: list[BoardSize]) -> None:
    found = tally(boards)
    for each, feet in zip(boards, found.board_feet, strict=True):
        whole = board_feet_of_volume(each.width, each.length // 304.8 * 304.8, each.thickness)
        assert abs(feet - whole) <= 0.51 * each.thickness / 25.4 + each.width * 304.8 * each.thickness / 25.4**3 / 144
    assert abs(found.total - sum(found.board_feet)) <= 0.5 + 1e-6


@given(st.floats(0.0, 0.95))
def test_waste_and_factor_undo_each_other(waste: float) -> None:
    assert waste_of_factor(factor_of_waste(waste)) == pytest.approx(waste, abs=1e-9)


@given(st.text(max_size=40))
def test_any_text_can_be_looked_up(name: str) -> None:
    assert plain_name(plain_name(name)) == plain_name(name)
    assert len(near_species(name)) <= 4
    assert len(nearest_names(name, ["White oak", "Teak"])) <= 2
