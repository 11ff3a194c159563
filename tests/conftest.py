"""What every test may ask for: the golden files and their one flag, and a quick, steady hypothesis."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

GOLDEN = Path(__file__).parent / "golden"

settings.register_profile(
    "house",
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("search", max_examples=2000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "house"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """`--rewrite` writes the golden files anew instead of comparing with them."""
    parser.addoption("--rewrite", action="store_true", help="write the golden files anew")


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str | bytes], None]:
    """Compare a text (or bytes) with the file of that name under tests/golden/; `--rewrite` writes it."""

    def compare(name: str, text: str | bytes) -> None:
        path = GOLDEN / name
        found = text.encode() if isinstance(text, str) else text
        if request.config.getoption("--rewrite"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(found)
            return
        assert path.exists(), f"{path} is missing: run the test with --rewrite, then look at what it wrote"
        kept = path.read_bytes()
        if isinstance(text, str):
            assert text == kept.decode()
        else:
            assert found == kept, f"{name} differs"

    return compare
