"""Steps: splices that turn one text into another and back, typing that runs together, undo and redo."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from batchwright.app.live.history import MOST_STEPS, TOGETHER, TYPING, History, Step, apply, splice, step_between

TEXTS = st.text(alphabet="ab\nå😀", max_size=30)


@given(TEXTS, TEXTS)
def test_a_splice_goes_forth_and_back(before: str, after: str) -> None:
    one = splice(before, after)
    assert one.forth(before) == after
    assert one.back(after) == before


@given(TEXTS, TEXTS)
def test_a_splice_holds_no_more_than_what_differs(before: str, after: str) -> None:
    one = splice(before, after)
    assert not (one.old and one.new and (one.old[0] == one.new[0] or one.old[-1] == one.new[-1]))


@given(st.lists(TEXTS, min_size=2, max_size=6))
def test_undoing_all_gives_the_first_text_and_redoing_all_the_last(texts: list[str]) -> None:
    history, now = History(), {"a": texts[0]}
    for number, text in enumerate(texts[1:]):
        step = step_between(f"step {number}", float(number), (now, {"a": text}))
        if step.splices:
            now = apply(now, step, forth=True)
            history.add(step, now)
    steps = list(history.done)
    for step in reversed(steps):
        now = apply(now, step, forth=False)
    assert now == {"a": texts[0]}
    for step in steps:
        now = apply(now, step, forth=True)
    assert now == {"a": texts[-1]}


@given(st.lists(TEXTS, min_size=1, max_size=5))
def test_a_step_written_down_and_read_again_is_the_same(texts: list[str]) -> None:
    step = step_between("words", 12.5, ({"a": "", "b": "x"}, {"a": texts[0], "b": texts[-1]}))
    assert Step.from_plain(step.as_plain()) == step


def _typed(history: History, texts: list[str], times: list[float], label: str = TYPING) -> dict[str, str]:
    now = {"a": texts[0]}
    for text, when in zip(texts[1:], times, strict=True):
        step = step_between(label, when, (now, {"a": text}))
        now = {"a": text}
        history.add(step, now)
    return now


def test_typing_that_follows_at_once_is_one_step() -> None:
    history = History()
    now = _typed(history, ["width", "width: 1", "width: 15", "Width: 15"], [10.0, 11.0, 11.0 + TOGETHER])
    assert len(history.done) == 1
    assert apply(now, history.done[0], forth=False) == {"a": "width"}


def test_typing_after_a_pause_is_another_step() -> None:
    history = History()
    _typed(history, ["a", "ab", "abc"], [10.0, 10.0 + TOGETHER + 0.01])
    assert len(history.done) == 2


def test_other_steps_never_run_together() -> None:
    history = History()
    _typed(history, ["1", "2", "3"], [10.0, 10.1], label="width 3")
    assert len(history.done) == 2


def test_typing_in_another_file_is_another_step() -> None:
    history = History()
    history.add(step_between(TYPING, 1.0, ({"a": "", "b": ""}, {"a": "x", "b": ""})), {"a": "x", "b": ""})
    history.add(step_between(TYPING, 1.1, ({"a": "x", "b": ""}, {"a": "x", "b": "y"})), {"a": "x", "b": "y"})
    assert len(history.done) == 2


def test_a_new_step_ends_what_could_be_redone() -> None:
    history = History()
    now = _typed(history, ["a", "ab"], [1.0])
    history.undone.append(history.done.pop())
    assert history.redo == TYPING
    history.add(step_between("other", 2.0, (now, {"a": "z"})), {"a": "z"})
    assert history.redo is None
    assert history.undo == "other"


def test_a_history_does_not_grow_for_ever() -> None:
    history = History()
    texts = [str(number) for number in range(MOST_STEPS + 51)]
    _typed(history, texts, [float(n) for n in range(MOST_STEPS + 50)], label="size")
    assert len(history.done) == MOST_STEPS
