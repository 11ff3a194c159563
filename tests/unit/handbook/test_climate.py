"""Finding places and rooms."""

from __future__ import annotations

import pytest

from batchwright.base.source import Mark
from batchwright.handbook.climate import (
    all_places,
    find_place,
    indoor_range,
    indoor_ranges,
    near_places,
    place_named,
)
from batchwright.handbook.names import UnknownNameError


@pytest.mark.parametrize("row", all_places(), ids=lambda row: f"{row.name}-{row.source.mark.name}")
def test_every_row_is_reached_by_its_name_or_says_which_is_used(row) -> None:  # type: ignore[no-untyped-def]
    found = find_place(row.name)
    assert found is not None
    if found.source.mark is not row.source.mark:
        assert found.source.mark is Mark.COMPUTED
        assert row.name in found.note and "from memory" in found.note


def test_a_place_with_two_rows_uses_the_computed_one_and_says_so() -> None:
    chicago = place_named("chicago il")
    assert chicago.source.mark is Mark.COMPUTED
    assert chicago.note.startswith("not used: Chicago IL")


def test_a_place_is_found_without_its_state_if_it_is_the_only_one() -> None:
    assert place_named("phoenix").state == "AZ"
    assert place_named("tokyo").country == "Japan"
    assert place_named("Zurich").place == "Zurich (Kloten)"


def test_a_name_two_places_share_is_not_guessed() -> None:
    with pytest.raises(UnknownNameError) as caught:
        place_named("Portland")
    assert caught.value.near == ("Portland ME", "Portland OR")


def test_an_unknown_place_is_answered_with_the_nearest() -> None:
    assert "Portland ME" in near_places("Portlnd ME")
    assert near_places("xyzzy") == ()


def test_swing_is_dampest_less_driest() -> None:
    place = place_named("Portland ME")
    assert place.low <= place.mean <= place.high
    assert place.swing == pytest.approx(0.140 - 0.121)


def test_indoor_defaults_hold_their_usual_value() -> None:
    for each in indoor_ranges():
        assert each.low < each.usual < each.high
        assert each.source.mark is Mark.MEMORY
    with pytest.raises(UnknownNameError, match="most"):
        indoor_range("mos")
