"""Numbers as the page writes them, against the standard library's fractions; and the places a slider stands at."""

from __future__ import annotations

from fractions import Fraction

import pytest
from playwright.sync_api import Page

from batchwright.base.length import INCH, read_length
from desk_page import Desk


@pytest.fixture
def page_with_numbers(serve: object, page: Page) -> Page:
    """A page of the server's own, from which its modules can be loaded."""
    desk: Desk = serve()  # type: ignore[operator]
    page.goto(desk.address)
    return page


def mixed(value: Fraction) -> str:
    """A mixed number as the trade writes it: 17 1/4."""
    whole, rest = divmod(abs(value), 1)
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(f"{rest.numerator}/{rest.denominator}")
    return ("-" if value < 0 else "") + " ".join(words)


def test_numbers_and_places(page_with_numbers: Page) -> None:
    sixty_fourths = list(range(-130, 2400, 7))
    written = page_with_numbers.evaluate(
        """async list => {
            const { inches } = await import('/static/shell/numbers.js');
            return list.map(each => inches(each / 64));
        }""",
        sixty_fourths,
    )
    assert written == [mixed(Fraction(each, 64)) for each in sixty_fourths]
    for text, each in zip(written, sixty_fourths, strict=True):
        length = read_length(f"{text} in")  # what the page writes is what the reader reads
        assert length == pytest.approx(each / 64 * INCH, abs=1e-9)

    sliders = [
        {"low": 14, "high": 19, "step": 1 / 16},
        {"low": 23.3, "high": 25.1, "step": 0.25},
        {"low": 0, "high": 10, "step": 0.5},
        {"low": 5, "high": 9, "step": 1},
        {"low": 1.01, "high": 1.04, "step": 1},
        {"low": -2, "high": 2, "step": 0.1},
    ]
    stood = page_with_numbers.evaluate(
        """async list => {
            const { places } = await import('/static/shell/numbers.js');
            return list.map(each => {
                const { count, at, nearest } = places(each);
                return Array.from({ length: count }, (none, index) => [at(index), nearest(at(index))]);
            });
        }""",
        sliders,
    )
    for slider, stands in zip(sliders, stood, strict=True):
        values = [value for value, _ in stands]
        assert values[0] == pytest.approx(slider["low"])
        assert values[-1] == pytest.approx(slider["high"])
        assert values == sorted(set(values)), "each place once, in order"
        for value in values[1:-1]:
            assert value / slider["step"] == pytest.approx(round(value / slider["step"]), abs=1e-9)
        assert [index for _, index in stands] == list(range(len(stands))), "a place is nearest to itself"
