"""A piece drawn by forms from an empty frame: what will be written, faults beside their fields, joints, renaming."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

WAIT = 20_000


@pytest.fixture(scope="module")
def forms(browser: Any, serve: Any) -> Iterator[Page]:
    """An empty frame with its parts and joints in view. The tests below build on one another, as a maker does."""
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.set_default_timeout(WAIT)
    expect.set_options(timeout=WAIT)
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if "Content Security Policy" in said.text else None)
    page.goto(serve().address)
    page.get_by_text("An empty frame").click()
    page.get_by_label("Name of its folder").fill("stool")
    page.get_by_role("button", name="Begin", exact=True).click()
    page.get_by_role("tab", name="Parts and joints").click()
    expect(page.get_by_role("button", name="Add a part")).to_be_visible()
    yield page
    expect.set_options(timeout=5_000)
    page.close()
    assert not wrong


def _field(page: Page, label: str) -> Locator:
    field = page.locator(".field:visible", has=page.locator(f"> label:text('{label}')"))
    return field.locator("input, select, textarea")


def _pair(page: Page, legend: str, first: str, second: str) -> None:
    inputs = page.locator("fieldset.field", has=page.locator(f"> legend:text('{legend}')")).locator("input")
    inputs.nth(0).fill(first)
    inputs.nth(1).fill(second)


def _choose(page: Page, legend: str, *names: str) -> None:
    group = page.locator("fieldset.field", has=page.locator(f"> legend:text('{legend}')"))
    for name in names:
        group.get_by_label(name, exact=True).check()


def _open(page: Page, key: str) -> None:
    """Opens a row of the lists, where it is not open yet."""
    row = page.locator(f"[data-key='{key}']")
    if row.get_attribute("aria-expanded") != "true":
        row.click()


def _write(page: Page, wanted: str) -> None:
    """Writes the form, once the preview shows what is wanted."""
    expect(page.locator(".preview-text")).to_contain_text(wanted)
    page.get_by_role("button", name="Write it").click()
    expect(page.locator(".writing")).to_have_count(0)


def _piece(page: Page) -> str:
    state = page.evaluate("async () => (await fetch('/api/state')).json()")
    return next(str(file["text"]) for file in state["files"] if file["kind"] == "piece")


def _faults(page: Page) -> list[str]:
    state = page.evaluate("async () => (await fetch('/api/state')).json()")
    return [str(fault["what"]) for fault in state["answer"]["faults"] if fault["level"] == "error"]


def _box(page: Page, name: str, count: str, ranges: tuple[tuple[str, str], ...]) -> None:
    page.get_by_role("button", name="Add a part").click()
    _field(page, "Name").fill(name)
    for legend, (first, second) in zip(("Left and right", "Front to back", "Upwards"), ranges, strict=True):
        _pair(page, legend, first, second)
    _field(page, "How many").select_option(count)
    _write(page, f"  {name}:")


def test_part_is_drawn_by_form_and_its_text_is_shown_before(forms: Page) -> None:
    page = forms
    page.get_by_role("button", name="Add a part").click()
    expect(page.locator(".preview")).to_contain_text("Fill in what is needed.")
    page.get_by_role("button", name="Write it").click()
    expect(_field(page, "Name")).to_be_focused()  # what is missing is told beside its field
    expect(_field(page, "Name")).to_have_attribute("aria-invalid", "true")
    page.get_by_role("radio", name="Stick").check()
    _field(page, "Name").fill("leg")
    _field(page, "From").fill("width/2 - 2, 2, height - 1")
    _field(page, "To").fill("width/2 - 1, 1, 0")
    _field(page, "Thick along x").fill("leg thick")
    _field(page, "Thick along y").fill("leg thik")
    wrong = _field(page, "Thick along y")
    expect(wrong).to_have_attribute("aria-invalid", "true")
    told = page.locator(f"[id='{(wrong.get_attribute('aria-describedby') or '').split()[-1]}']")
    expect(told).to_contain_text("leg thik")
    assert not Axe().run(page).response["violations"]
    wrong.fill("leg thick")
    expect(wrong).not_to_have_attribute("aria-invalid", "true")
    _field(page, "How many").select_option("four")
    _field(page, "Ends").select_option("level")
    _write(page, "stick: [[width/2 - 2, 2, height - 1], [width/2 - 1, 1, 0]]")
    assert "section: {x: leg thick, y: leg thick}\n    ends: level\n" in _piece(page)
    expect(page.locator("[data-key='parts leg']")).to_be_focused()


def test_name_that_is_taken_is_told_beside_the_name_and_nothing_is_lost(forms: Page) -> None:
    page = forms
    page.get_by_role("button", name="Add a part").click()
    _field(page, "Name").fill("width")
    for legend in ("Left and right", "Front to back", "Upwards"):
        _pair(page, legend, "0", "1")
    expect(page.locator(".field-faults:visible").first).to_contain_text("already the name of a size")
    page.get_by_role("button", name="Write it").click()
    expect(_field(page, "Name")).to_have_value("width")
    page.keyboard.press("Escape")
    expect(page.locator(".writing")).to_have_count(0)
    assert "  width:\n" not in _piece(page)


def test_rails_and_top_are_drawn_and_joined(forms: Page) -> None:
    page = forms
    low, high = "height - 4", "height - 1"
    side = ("width/2 - 2 3/8", "width/2 - 1 1/2")
    _box(page, "side rail", "pair", (side, ("leg", "back leg"), (low, high)))
    _box(page, "end rail", "front and back", (("left leg", "right leg"), ("1 1/2", "2 3/8"), (low, high)))
    _box(page, "top", "", (("-width/2", "width/2"), ("0", "depth"), (high, "height")))
    assert any("no joint joins them" in fault or "overlap" in fault for fault in _faults(page))
    page.get_by_role("button", name="Add a joint").click()
    _choose(page, "Tenons on", "side rail", "end rail")
    _choose(page, "into", "leg")
    _field(page, "Thickness").fill("3/8")
    expected = _field(page, "How many joints this makes")
    expected.fill("9")
    expect(expected).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".field-faults:visible").first).to_contain_text("finds 8")
    expected.fill("8")
    expect(expected).not_to_have_attribute("aria-invalid", "true")
    _write(page, "- {tenon: [side rail, end rail], into: leg, thickness: 3/8, expect: 8}")
    rails = ("side rail", "end rail")
    for kind, chosen, wanted in (
        ("meeting in", {"They meet in": ("leg",), "Tenons of": rails}, "{meeting in: leg, of: [side rail, end rail]}"),
        ("rest", {"Touches": ("leg",), "on": ("top",)}, "{rest: leg, on: top}"),
        ("button", {"Slots in": rails, "hold": ("top",)}, "{button: [side rail, end rail], to: top}"),
    ):
        page.get_by_role("button", name="Add a joint").click()
        _field(page, "Kind of joint").select_option(kind)
        for legend, names in chosen.items():
            _choose(page, legend, *names)
        _write(page, wanted)
    assert not _faults(page)
    expect(page.locator("[data-key='joints joint 1']")).to_contain_text("makes 8")


def test_value_that_is_there_is_changed_where_it_stands(forms: Page) -> None:
    page = forms
    before = _piece(page)
    _open(page, "parts end rail")
    page.get_by_role("button", name="Change", exact=True).click()
    _pair(page, "Front to back", "1 5/8", "2 1/2")
    expect(page.locator(".preview-text del")).to_have_text(["1 1/2", "2 3/8"])
    expect(page.locator(".preview-text ins")).to_have_text(["1 5/8", "2 1/2"])
    _write(page, "2 1/2")
    assert _piece(page) == before.replace("y: [1 1/2, 2 3/8]", "y: [1 5/8, 2 1/2]")


def test_renaming_says_how_many_places_change(forms: Page) -> None:
    page = forms
    before = _piece(page)
    _open(page, "parts end rail")
    page.get_by_role("button", name="Rename").click()
    _field(page, "New name").fill("short rail")
    expect(page.locator(".asking-says")).to_have_text(f"Changes in {before.count('end rail')} places.")
    assert not Axe().run(page).response["violations"]
    _write(page, "short rail")
    assert _piece(page) == before.replace("end rail", "short rail")


def test_taking_a_part_out_says_what_goes_with_it_and_is_undone(forms: Page) -> None:
    page = forms
    before = _piece(page)
    _open(page, "parts top")
    page.get_by_role("button", name="Take out").click()
    expect(page.locator(".asking-says")).to_contain_text("2 joints that name it go too: rest leg on top")
    page.get_by_role("button", name="Take it out").click()
    expect(page.locator("[data-key='parts top']")).to_have_count(0)
    page.locator("button.step").first.click()
    expect(page.locator("[data-key='parts top']")).to_have_count(1)
    assert _piece(page) == before
    assert not Axe().run(page).response["violations"]


def test_names_are_offered_in_a_field_and_taken_by_keyboard(forms: Page) -> None:
    page = forms
    page.get_by_role("button", name="Add a size").click()
    value = _field(page, "It is")
    value.press_sequentially("2*leg")
    expect(page.get_by_role("listbox").get_by_role("option", name="leg thick")).to_be_visible()
    expect(value).to_have_attribute("aria-expanded", "true")
    while "leg thick" not in page.locator("[role=option][aria-selected=true]").all_inner_texts():
        value.press("ArrowDown")
    assert not Axe().run(page).response["violations"]
    value.press("Enter")
    expect(value).to_have_value("2*leg thick")
    expect(value).to_have_attribute("aria-expanded", "false")
    value.press("Escape")
    expect(page.locator(".writing")).to_have_count(0)
