"""Every public function of the handbook documents what it takes and gives: units, limits, source, an example."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator

import pytest

import batchwright.handbook


def public_functions() -> Iterator[tuple[str, Callable[..., object]]]:
    for info in pkgutil.iter_modules(batchwright.handbook.__path__):
        module = importlib.import_module(f"batchwright.handbook.{info.name}")
        for name, thing in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("_") and thing.__module__ == module.__name__:
                yield f"{info.name}.{name}", thing


FUNCTIONS = dict(public_functions())


def section(text: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w[\w ]*\n-{{3,}}\n|\Z)", text, re.S | re.M)
    return found[1] if found else ""


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_docstring_holds_the_contract(name: str) -> None:
    function = FUNCTIONS[name]
    text = inspect.getdoc(function) or ""
    documented = re.findall(r"^(\w+) : ", section(text, "Parameters"), re.M)
    assert documented == list(inspect.signature(function).parameters)
    blocks = re.split(r"^\w+ : .*\n", section(text, "Parameters"), flags=re.M)[1:]
    for parameter, block in zip(documented, blocks, strict=True):
        assert re.search(r"\[[^\]]+\]", block), f"{parameter} has no unit"
    assert re.search(r"\[[^\]]+\]", section(text, "Returns")), "the result has no unit"
    assert "Source:" in text
    assert re.search(r"^Valid\b", text, re.M), "no validity is stated"
    assert ">>>" in text


def test_there_are_functions_to_check() -> None:
    assert len(FUNCTIONS) > 20
