"""Published numbers as they are printed: the tolerance is half the last digit."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest


def printed(text: str, slack: float = 0.0, because: str = "") -> Any:
    """A number as printed in a source, to compare with `==`; `slack` (relative) needs a reason."""
    assert not slack or because, "a looser tolerance needs a reason"
    value = Decimal(text.replace(",", "").replace("−", "-"))
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int), f"{text} is not a finite number"
    half_last_digit = Decimal(5).scaleb(exponent - 1)
    return pytest.approx(float(value), abs=float(half_last_digit), rel=slack or 1e-12)
