"""The files as text: typing, faults at their lines, what comes from elsewhere, words offered, and leaving it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

WAIT = 20_000
TEXT = ".cm-content"


@pytest.fixture(scope="module")
def desk(serve: Any) -> Any:
    return serve("splayed-stool", "stool.job.yaml")


@pytest.fixture(scope="module")
def opened(browser: Any, desk: Any) -> Iterator[Page]:
    """The stool with its text in view."""
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.set_default_timeout(WAIT)
    expect.set_options(timeout=WAIT)
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if "Content Security Policy" in said.text else None)
    _open(page, desk.address)
    yield page
    expect.set_options(timeout=5_000)
    page.close()
    assert not wrong


@pytest.fixture
def page_of_text(opened: Page) -> Iterator[Page]:
    """The same page for each test; what one has changed is undone behind it."""
    yield opened
    while (state := _state(opened))["undo"]:
        opened.locator("button.step").first.click()
        _asked(lambda now=state["revision"]: _state(opened)["revision"] > now)


def _asked(true: Callable[[], bool]) -> None:
    """Asks until it is so: the page's policy lets no condition run in the page itself."""
    for _ in range(200):
        if true():
            return
        time.sleep(0.1)
    raise AssertionError("it never came to be so")


def _open(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("tab", name="Text", exact=True).click()
    expect(page.locator(TEXT)).to_contain_text("Splayed stool", timeout=WAIT)


def _state(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = page.evaluate("async () => (await fetch('/api/state')).json()")
    return found


def _piece(page: Page) -> str:
    return next(str(file["text"]) for file in _state(page)["files"] if file["kind"] == "piece")


def _at(page: Page, words: str) -> None:
    """Puts the caret at the end of the line that holds some words."""
    page.locator(TEXT).focus()
    page.keyboard.press("Control+Home")
    page.keyboard.press("Control+f")
    expect(page.get_by_role("textbox", name="Find")).to_be_focused()
    page.keyboard.type(words)
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    expect(page.locator(".cm-activeLine")).to_contain_text(words)
    page.keyboard.press("End")


def _until(page: Page, words: str, there: bool = True) -> None:
    _asked(lambda: (words in _piece(page)) == there)


def test_typing_reaches_the_desk_and_the_desks_undo_takes_it_back(page_of_text: Page) -> None:
    page = page_of_text
    before = _piece(page)
    _at(page, "overhang: 1 7/8")
    page.keyboard.type("  # by eye")
    _until(page, "overhang: 1 7/8  # by eye")
    page.keyboard.press("Control+z")
    _until(page, "# by eye", there=False)
    expect(page.locator(TEXT)).not_to_contain_text("# by eye")
    assert _piece(page) == before
    page.keyboard.press("Control+y")
    _until(page, "overhang: 1 7/8  # by eye")


def test_fault_is_marked_at_its_line_and_told_under_the_text(page_of_text: Page) -> None:
    page = page_of_text
    _at(page, "top thick: 1")
    page.keyboard.type(" + hight")
    panel = page.get_by_role("region", name="Said of this text")
    expect(panel.locator(".message-fault").first).to_contain_text("hight")
    expect(panel.locator(".message-fault").first).to_contain_text("Mend:")
    expect(page.locator(".margin-fault:visible")).to_have_count(1)
    expect(page.locator(".cm-line:has(.cm-lintRange-error)")).to_contain_text("top thick: 1 + hight")
    expect(page.get_by_role("tab", name="Piece")).to_contain_text("1 fault")
    page.keyboard.press("Control+Home")
    page.keyboard.press("F8")
    expect(page.locator(".cm-activeLine")).to_contain_text("top thick: 1 + hight")
    assert not Axe().run(page).response["violations"]


def test_change_from_elsewhere_comes_in_beside_what_is_typed(page_of_text: Page, browser: Any, desk: Any) -> None:
    page = page_of_text
    other = browser.new_page()
    _open(other, desk.address)
    _at(other, "overhang: 1 7/8")
    other.keyboard.type("  # theirs")
    _at(page, "leg thick: 1 5/8")
    page.keyboard.type("  # mine", delay=40)
    for one in (page, other):
        expect(one.locator(TEXT)).to_contain_text("overhang: 1 7/8  # theirs", timeout=WAIT)
        expect(one.locator(TEXT)).to_contain_text("leg thick: 1 5/8  # mine", timeout=WAIT)
    page.keyboard.type(", too")
    _until(page, "leg thick: 1 5/8  # mine, too")  # the caret was kept
    assert "  # theirs\n" in _piece(page)
    other.close()


def test_words_and_names_are_offered_with_their_help(page_of_text: Page) -> None:
    page = page_of_text
    _at(page, "count: four")
    page.keyboard.press("Enter")
    page.keyboard.type("bla", delay=60)
    offers = page.locator(".cm-tooltip-autocomplete")
    expect(offers.get_by_role("option", name="blank")).to_be_visible()
    expect(page.locator(".cm-completionInfo")).to_contain_text("edge-glued")
    offers.get_by_role("option", name="blank").click()
    expect(page.locator(".cm-activeLine")).to_contain_text("blank")


def test_help_on_the_word_at_the_caret_is_the_guides(page_of_text: Page) -> None:
    page = page_of_text
    _at(page, "count: four")
    page.keyboard.press("Home")
    page.keyboard.press("F1")
    expect(page.locator(".editor-help")).to_contain_text("front and back")


def test_escape_then_tab_leaves_the_text(page_of_text: Page) -> None:
    page = page_of_text
    before = _piece(page)
    page.locator(TEXT).focus()
    page.keyboard.press("Escape")
    page.keyboard.press("Tab")
    assert page.evaluate("() => !document.activeElement.closest('.cm-editor')")
    assert _piece(page) == before
    label = "splayed-stool.piece.yaml as text. Esc, then Tab leaves it."
    expect(page.locator(TEXT)).to_have_attribute("aria-label", label)


def test_files_are_tabs_moved_through_by_arrow_keys(page_of_text: Page) -> None:
    page = page_of_text
    page.get_by_role("tab", name="Piece").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("tab", name="Job")).to_be_focused()
    expect(page.locator(TEXT)).to_contain_text("Four counter stools")
    page.keyboard.press("ArrowLeft")
    expect(page.locator(TEXT)).not_to_contain_text("Four counter stools")
    expect(page.locator(TEXT)).to_contain_text("low stretcher")


def test_mend_is_tried_with_one_press_and_undone(page_of_text: Page) -> None:
    page = page_of_text
    before = _piece(page)
    panel = page.get_by_role("region", name="Said of this text")
    panel.get_by_role("button", name="Try it").first.click()
    _asked(lambda: _piece(page) != before)
    expect(page.locator(".cm-changed").first).to_be_visible()  # what it wrote is shown where it stands
    page.locator(TEXT).focus()
    page.keyboard.press("Control+z")
    _asked(lambda: _piece(page) == before)
