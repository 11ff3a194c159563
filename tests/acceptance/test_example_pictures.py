"""The pictures of the start screen are what our own renderer draws of the examples as they are now."""

from __future__ import annotations

from pathlib import Path

import pytest

from batchwright.app.draw import draw_view
from batchwright.app.new import example_names

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "src" / "batchwright" / "web" / "static" / "examples"


@pytest.mark.slow
@pytest.mark.parametrize("name", example_names())
def test_the_picture_of_an_example_is_the_one_that_is_drawn_now(name: str, request: pytest.FixtureRequest) -> None:
    """`--rewrite` writes them anew; look at them then."""
    piece = next((ROOT / "examples" / name).glob("*.piece.yaml"))
    outcome = draw_view(piece, "pictorial", "", "svg")
    assert outcome.thing is not None, [str(fault) for fault in outcome.faults]
    path = PICTURES / f"{name}.svg"
    if request.config.getoption("--rewrite"):
        path.write_text(outcome.thing.text, encoding="utf-8")
    assert path.read_text(encoding="utf-8") == outcome.thing.text, f"draw it anew with --rewrite: {path.name}"


def test_there_is_no_picture_of_what_is_no_example() -> None:
    assert {path.stem for path in PICTURES.glob("*.svg")} == set(example_names())
