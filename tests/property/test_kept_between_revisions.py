"""What is kept between two revisions changes nothing, and is bounded. The long walks are `run.py test bench kept`."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

from alike import differences, forget, keepers
from batchwright.geometry.frame import Frame
from piece_files import example_files, jointed

FILES = [pytest.param(path, id=path.parent.name) for path in example_files()]
BENCH = Path(__file__).resolve().parents[2] / "benchmarks" / "kept.py"


@pytest.fixture(scope="module")
def kept() -> ModuleType:
    """The bench of the same name."""
    told = importlib.util.spec_from_file_location("kept_bench", BENCH)
    assert told is not None and told.loader is not None
    module = importlib.util.module_from_spec(told)
    sys.modules[told.name] = module
    told.loader.exec_module(module)
    return module


@pytest.mark.parametrize("path", FILES)
def test_a_piece_made_after_others_is_the_piece_made_alone(path: Path, kept: ModuleType) -> None:
    walked = list(kept.walk(path, steps=4, seed=7))[2:]
    assert kept.unlike(path, walked) == []


def test_a_difference_would_be_seen() -> None:
    path = example_files()[0]
    made = jointed(path.read_bytes(), path.name)
    other = jointed(path.read_bytes(), path.name, {})
    assert differences(made, other) == []
    assert differences(Frame(), Frame(origin=(0.0, 1e-8, 0.0))) == [".origin[1]: 0.0, 1e-08"]
    assert differences((made.piece, "a"), (made.piece, "b")) == ["[1]: 'a', 'b'"]


def test_everything_kept_that_grows_with_what_is_asked_is_bounded() -> None:
    unbounded = [
        name
        for name, keeper in keepers()
        if keeper.cache_parameters()["maxsize"] is None and not name.startswith("batchwright.handbook.")  # type: ignore[attr-defined]
    ]
    assert [name for name in unbounded if _takes_anything(name)] == []


def _takes_anything(name: str) -> bool:
    module, _, label = name.rpartition(".")
    keeper = getattr(sys.modules[module], label)
    return bool(keeper.__wrapped__.__code__.co_argcount)


def test_forgetting_empties_what_is_kept() -> None:
    path = example_files()[0]
    jointed(path.read_bytes(), path.name)
    forget()
    assert not [name for name, keeper in keepers() if keeper.cache_info().currsize]  # type: ignore[attr-defined]
