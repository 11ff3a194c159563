"""Two records compared field by field, and everything kept between two revisions thrown away."""

from __future__ import annotations

import functools
import sys
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import numpy as np


def keepers() -> Iterator[tuple[str, object]]:
    """Every function of the package that keeps what it has worked out, by its full name."""
    kind = type(functools.lru_cache(maxsize=1)(lambda: None))
    for name, module in sorted(sys.modules.items()):
        if name.startswith("batchwright."):
            for label, thing in sorted(vars(module).items()):
                if isinstance(thing, kind) and thing.__module__ == name:
                    yield f"{name}.{label}", thing


def forget() -> None:
    """The package as it was before anything was made."""
    for _, keeper in keepers():
        keeper.cache_clear()  # type: ignore[attr-defined]


def differences(one: object, two: object, off: float = 1e-9, where: str = "") -> list[str]:
    """Where two records differ, in words; numbers may be apart by `off` (of the larger, above 1)."""
    if isinstance(one, float) and isinstance(two, float):
        return [] if one == two or abs(one - two) <= off * max(1.0, abs(one)) else [f"{where}: {one!r}, {two!r}"]
    if type(one) is not type(two):
        return [f"{where}: {one!r}, {two!r}"]
    if isinstance(one, np.ndarray) and isinstance(two, np.ndarray):
        same = one.shape == two.shape and bool(np.allclose(one, two, rtol=off, atol=off))
        return [] if same else [f"{where}: arrays differ"]
    if isinstance(one, tuple) and isinstance(two, tuple):
        if len(one) != len(two):
            return [f"{where}: {len(one)} and {len(two)} of them"]
        return [line for i, (a, b) in enumerate(zip(one, two)) for line in differences(a, b, off, f"{where}[{i}]")]
    if is_dataclass(one) and not isinstance(one, type):
        return [
            line
            for field in fields(one)
            if field.compare
            for line in differences(getattr(one, field.name), getattr(two, field.name), off, f"{where}.{field.name}")
        ]
    return [] if one == two else [f"{where}: {one!r}, {two!r}"]
