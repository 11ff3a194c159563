"""Looking woods up, and gaps that stay gaps."""

from __future__ import annotations

import pytest

from batchwright.base.source import Mark
from batchwright.handbook.names import UnknownNameError
from batchwright.handbook.species import (
    PROPERTIES,
    all_species,
    decay_class,
    find_species,
    near_species,
    species_named,
    value_of,
)


def test_there_are_44_woods_with_keys_of_their_own() -> None:
    assert len(all_species()) == 44
    assert len({each.key for each in all_species()}) == 44


@pytest.mark.parametrize("each", all_species(), ids=lambda each: each.key)
def test_every_wood_is_found_by_its_key_and_common_name_in_any_case(each) -> None:  # type: ignore[no-untyped-def]
    assert find_species(each.key.upper()) is each
    assert find_species(each.name.lower()) is each
    assert find_species(each.name.replace("-", " ")) is each


@pytest.mark.parametrize("name", ["redwood", "southern yellow pine", "hickory", "Robinia pseudoacacia"])
def test_a_name_that_two_woods_share_finds_neither_and_offers_both(name: str) -> None:
    assert find_species(name) is None
    assert len(near_species(name)) == 2
    with pytest.raises(UnknownNameError) as caught:
        species_named(name)
    assert caught.value.ambiguous
    assert all(find_species(offer) for offer in caught.value.near)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("whit oak", "White oak"), ("tek", "Teak"), ("sugar mapel", "Hard maple (sugar maple)"), ("mahogany", "khaya")],
)
def test_an_unknown_name_is_answered_with_the_nearest(typed: str, meant: str) -> None:
    assert find_species(typed) is None
    assert any(meant.lower() in offer.lower() for offer in near_species(typed))


def test_nothing_like_a_name_offers_nothing() -> None:
    assert near_species("qqqq") == ()


@pytest.mark.parametrize("each", all_species(), ids=lambda each: each.key)
def test_every_value_has_a_source_with_a_mark(each) -> None:  # type: ignore[no-untyped-def]
    for name in PROPERTIES:
        published = value_of(each, name)
        assert published.source.text
        assert isinstance(published.source.mark, Mark)
        assert published.value is None or published.value > 0.0
    assert "heartwood only" in decay_class(each).note


def test_gaps_stay_gaps() -> None:
    """Places where the sources print nothing."""
    gaps = [
        ("osage orange", "mor_12"),
        ("sapele", "movement_tangential"),
        ("teak", "compression_across_12"),
        ("merbau", "mor_12"),
        ("sassafras", "hardness_12"),
        ("European beech", "shear_12"),
        ("sugar maple", "tension_across_12"),
    ]
    for wood, name in gaps:
        assert value_of(species_named(wood), name).value is None, f"{wood} {name}"


def test_marks_tell_read_from_memory_from_derived() -> None:
    assert value_of(species_named("white oak"), "movement_tangential").source.mark is Mark.READ
    assert value_of(species_named("baldcypress"), "shrink_tangential").source.mark is Mark.MEMORY
    assert value_of(species_named("teak"), "sg_12").source.mark is Mark.DERIVED
    assert value_of(species_named("European oak"), "mor_12").source.mark is Mark.MEMORY


def test_an_unknown_property_is_answered_with_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="mor_12"):
        value_of(species_named("teak"), "mor12")


def test_radial_movement_is_less_than_tangential_in_every_wood() -> None:
    for each in all_species():
        for family in ("shrink", "movement"):
            radial = value_of(each, f"{family}_radial").value
            tangential = value_of(each, f"{family}_tangential").value
            if radial is not None and tangential is not None:
                assert radial < tangential, each.key


def test_a_value_prints_with_unit_source_and_mark_and_a_gap_prints_as_one() -> None:
    assert str(value_of(species_named("white oak"), "mor_12")) == "104.8 MPa [Wood Handbook 2021, Table 5-3b (read)]"
    assert str(value_of(species_named("osage orange"), "mor_12")).startswith("not published [")
    assert str(decay_class(species_named("teak"))).startswith("very resistant (old growth)")
