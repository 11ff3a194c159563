"""The desk in a real browser: sizes, undo, save, edits made elsewhere, sheets, findings, keys, print."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import pdfplumber
import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from desk_page import OLD, WAIT, Desk, at_rest, opened, size_row
from piece_files import EXAMPLES

PIECE = "splayed-stool.piece.yaml"


@pytest.fixture(scope="module")
def server(serve: Callable[..., Desk]) -> Desk:
    """A server over a copy of the stool, for all tests of this file."""
    return serve("splayed-stool", "stool.job.yaml")


@pytest.fixture
def desk(server: Desk, playwright: Playwright) -> Desk:
    """The same with the text as the example has it: put back on the disk and read anew."""
    (server.folder / PIECE).write_bytes((EXAMPLES / "splayed-stool" / PIECE).read_bytes())
    asking = playwright.request.new_context(base_url=server.address)
    state = asking.get("api/state")
    revision = state.json().get("revision") if state.ok else None
    if revision is not None:
        answer = asking.post("api/reload", data={"revision": revision, "have": []})
        assert answer.ok, answer.text()
    asking.dispose()
    return server


@pytest.fixture
def stool(desk: Desk, page: Page) -> Page:
    """Its desk, opened."""
    return opened(page, desk.address)


def text_of(desk: Desk) -> str:
    """What the piece file on the disk says."""
    return (desk.folder / PIECE).read_text("utf-8")


def test_arrow_key_changes_a_size_in_one_step_that_undo_takes_back(stool: Page, desk: Desk) -> None:
    before = text_of(desk)
    row = size_row(stool, "height")
    field, slider = row.locator(".size-field"), row.locator(".size-slider")
    was = field.input_value()
    slider.focus()
    stool.keyboard.press("ArrowRight")
    stool.keyboard.press("ArrowRight")
    expect(stool.locator(".step-what").first).to_contain_text("height", timeout=WAIT)
    now = field.input_value()
    assert now != was
    expect(stool.locator(".top-unsaved")).to_have_text("not saved")
    assert text_of(desk) == before, "nothing reaches the file but by save"
    stool.keyboard.press("Control+z")
    expect(field).to_have_value(was, timeout=WAIT)
    expect(stool.locator(".top-unsaved")).to_have_text("saved", timeout=WAIT)
    stool.keyboard.press("Control+Shift+Z")
    expect(field).to_have_value(now, timeout=WAIT)


def test_slider_tries_without_saying_and_escape_takes_it_back(stool: Page) -> None:
    row = size_row(stool, "height")
    field, slider = row.locator(".size-field"), row.locator(".size-slider")
    was, revision = field.input_value(), stool.locator(".top-revision").inner_text()
    slider.hover()
    box = slider.bounding_box()
    assert box is not None
    with stool.expect_response("**/api/live", timeout=WAIT):
        stool.mouse.down()
        stool.mouse.move(box["x"] + box["width"] * 0.8, box["y"] + box["height"] / 2, steps=6)
    expect(stool.locator(".sheet-pages")).to_have_class(OLD)
    expect(stool.locator(".sheet-pages")).to_have_attribute("aria-busy", "true")
    expect(stool.locator(".top-revision")).to_have_text(revision)
    assert field.input_value() != was
    stool.keyboard.press("Escape")
    expect(field).to_have_value(was, timeout=WAIT)
    stool.mouse.up()
    expect(stool.locator(".top-revision")).to_have_text(revision)


def test_typed_size_is_taken_and_nonsense_is_told_beside_the_field(stool: Page) -> None:
    row = size_row(stool, "height")
    field = row.locator(".size-field")
    field.fill("17 3/4")
    field.press("Enter")
    expect(stool.locator(".step-what").first).to_have_text("height 17 3/4", timeout=WAIT)
    field.fill("seventeen")
    field.press("Enter")
    fault = row.locator(".size-fault")
    expect(fault).to_contain_text("seventeen", timeout=WAIT)
    expect(field).to_have_value("seventeen")
    expect(field).to_have_attribute("aria-invalid", "true")
    field.press("Escape")
    expect(field).to_have_value("17 3/4", timeout=WAIT)
    expect(fault).to_be_hidden()


def test_a_size_past_its_limit_is_told_first_and_the_next_one_typed_stays(stool: Page) -> None:
    """After a fault every field shows what the text says; its own fault stands beside it, with the way out."""
    height, other = size_row(stool, "height"), size_row(stool, "rake")
    field, fault = height.locator(".size-field"), height.locator(".size-fault")
    was = field.input_value()
    field.fill("99")
    field.press("Enter")
    expect(fault).to_contain_text(re.compile("is 99.*is the most"), timeout=WAIT)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(fault.get_by_role("button", name="Undo it")).to_be_visible()
    expect(stool.locator(".figure-parts")).to_have_class(OLD)
    expect(stool.locator(".finding .try").last).to_have_attribute("aria-disabled", "true")
    other.locator(".size-field").fill("9")
    other.locator(".size-field").press("Enter")
    expect(stool.locator(".step-what").first).to_have_text("rake 9 deg", timeout=WAIT)
    expect(other.locator(".size-field")).to_have_value("9")
    expect(other.locator(".size-fault")).to_be_hidden()
    expect(field).to_have_value("99")
    height.locator(".size-back").click()
    expect(field).to_have_value(was, timeout=WAIT)
    expect(fault).to_be_hidden()
    expect(other.locator(".size-field")).to_have_value("9")
    expect(stool.locator(".figure-parts")).not_to_have_class(OLD, timeout=WAIT)


def test_save_writes_and_an_edit_made_elsewhere_is_told_and_taken_as_one_step(stool: Page, desk: Desk) -> None:
    field = size_row(stool, "height").locator(".size-field")
    field.fill("17 3/4")
    field.press("Enter")
    expect(stool.locator(".top-unsaved")).to_have_text("not saved", timeout=WAIT)
    stool.keyboard.press("Control+s")
    expect(stool.locator(".top-unsaved")).to_have_text("saved", timeout=WAIT)
    assert "17 3/4" in text_of(desk)

    theirs = text_of(desk).replace("17 3/4", "18")
    (desk.folder / PIECE).write_text(theirs, "utf-8")
    banner = stool.locator(".banner")
    expect(banner).to_contain_text(PIECE, timeout=WAIT)
    banner.get_by_text("Show what differs").click()
    expect(banner.locator("del")).to_have_text("17 3/4", timeout=WAIT)
    expect(banner.locator("ins")).to_have_text("18")
    banner.get_by_role("button", name="Take theirs").click()
    expect(field).to_have_value("18", timeout=WAIT)
    expect(banner).to_have_count(0, timeout=WAIT)
    stool.locator(".step").first.click()
    expect(field).to_have_value("17 3/4", timeout=WAIT)


def test_mine_can_be_written_over_theirs(stool: Page, desk: Desk) -> None:
    field = size_row(stool, "height").locator(".size-field")
    field.fill("17 3/4")
    field.press("Enter")
    expect(stool.locator(".top-unsaved")).to_have_text("not saved", timeout=WAIT)
    (desk.folder / PIECE).write_text(text_of(desk) + "# theirs\n", "utf-8")
    stool.get_by_role("button", name="Save", exact=True).click()
    banner = stool.locator(".banner").first
    expect(banner).to_be_visible(timeout=WAIT)
    assert "# theirs" in text_of(desk)
    banner.get_by_role("button", name="Write mine over theirs").click()
    expect(stool.locator(".top-unsaved")).to_have_text("saved", timeout=WAIT)
    assert "# theirs" not in text_of(desk)
    assert "17 3/4" in text_of(desk)


def test_a_closed_tab_loses_nothing(browser: Browser, desk: Desk) -> None:
    first = browser.new_page()
    opened(first, desk.address)
    field = size_row(first, "height").locator(".size-field")
    field.fill("17 3/4")
    field.press("Enter")
    expect(first.locator(".top-unsaved")).to_have_text("not saved", timeout=WAIT)
    size_row(first, "width").locator(".size-field").fill("16 1/2")  # typed, not entered
    first.close(run_before_unload=True)
    second = browser.new_page()
    opened(second, desk.address)
    expect(size_row(second, "height").locator(".size-field")).to_have_value("17 3/4", timeout=WAIT)
    expect(size_row(second, "width").locator(".size-field")).to_have_value("16 1/2", timeout=WAIT)
    expect(second.locator(".top-unsaved")).to_have_text("not saved")
    second.close()


def test_two_tabs_agree(browser: Browser, desk: Desk) -> None:
    one, other = browser.new_page(), browser.new_page()
    opened(one, desk.address)
    opened(other, desk.address)
    field = size_row(one, "height").locator(".size-field")
    field.fill("17 3/4")
    field.press("Enter")
    expect(size_row(other, "height").locator(".size-field")).to_have_value("17 3/4", timeout=WAIT)
    field = size_row(other, "height").locator(".size-field")
    field.fill("17 1/2")
    field.press("Enter")
    expect(size_row(one, "height").locator(".size-field")).to_have_value("17 1/2", timeout=WAIT)
    other.get_by_role("button", name="Save", exact=True).click()
    expect(other.locator(".top-unsaved")).to_have_text("saved", timeout=WAIT)
    expect(one.locator(".top-unsaved")).to_have_text("saved", timeout=WAIT)
    one.close()
    other.close()


def test_sheets_are_turned_by_list_and_keys_and_read_as_text(stool: Page) -> None:
    expect(stool.locator("img.sheet-page").first).to_be_visible(timeout=WAIT)
    stool.locator(".rail-sheet", has_text="Cutting list").click()
    expect(stool.locator(".sheet-title")).to_have_text("Cutting list")
    expect(stool.locator(".rail-sheet[aria-current='page']")).to_have_text(re.compile("Cutting list"))
    expect(stool.locator("img.sheet-page").first).to_have_attribute("alt", re.compile("Cutting list"), timeout=WAIT)
    stool.locator("body").press("]")
    expect(stool.locator(".sheet-title")).not_to_have_text("Cutting list")
    stool.locator("body").press("[")
    expect(stool.locator(".sheet-title")).to_have_text("Cutting list")
    stool.get_by_role("button", name="Read as text").click()
    text = stool.locator(".sheet-text")
    expect(text.get_by_role("columnheader", name="Part", exact=True)).to_be_visible(timeout=WAIT)
    expect(text.get_by_role("cell", name=re.compile("leg")).first).to_be_visible()


def test_printing_gives_the_sheet_in_view_alone_at_true_size(stool: Page) -> None:
    """Letter and A4 are 612 x 792 and 595.3 x 841.9 points (ISO 216; common practice for Letter)."""
    stool.locator(".rail-sheet", has_text="Cutting list").click()
    image = stool.locator("img.sheet-page")
    expect(image.first).to_have_attribute("alt", re.compile("Cutting list"), timeout=WAIT)
    image.first.evaluate("image => image.decode()")
    wide, high = image.first.evaluate("image => [image.naturalWidth, image.naturalHeight]")
    printed = stool.pdf(prefer_css_page_size=True)
    with pdfplumber.open(io.BytesIO(printed)) as paper:
        assert len(paper.pages) == image.count()
        assert float(paper.pages[0].width) == pytest.approx(wide * 0.75, abs=1.0)
        assert float(paper.pages[0].height) == pytest.approx(high * 0.75, abs=1.0)
        assert not (paper.pages[0].extract_text() or "").strip(), "words of the page itself are on the paper"


def test_a_finding_lights_its_parts_and_says_so(stool: Page) -> None:
    finding = stool.locator(".finding-what").first
    group = stool.locator(".finding-group").first
    if not group.evaluate("node => node.open"):
        group.locator("summary").click()
    finding.click()
    expect(finding).to_have_attribute("aria-pressed", "true")
    expect(stool.locator("#live")).to_have_text(re.compile("lit up|findings|note"), timeout=WAIT)


def test_a_mend_is_tried_with_one_press_and_undone_with_the_next(stool: Page) -> None:
    """The stool's end rails have short tenons: through is one mend of them."""
    before = stool.locator(".finding-what").count()
    what = stool.locator(".finding-what").first.inner_text()
    stool.locator(".try").first.click()
    tried = stool.locator(".tried")
    expect(tried).to_contain_text("Tried:", timeout=WAIT)
    expect(stool.locator(".finding-what").filter(has_text=what)).to_have_count(0)
    expect(tried.get_by_role("button", name="Undo it")).to_be_focused()
    stool.keyboard.press("Enter")
    expect(tried).to_be_hidden(timeout=WAIT)
    expect(stool.locator(".finding-what")).to_have_count(before)


def test_results_are_said_once_they_are_known(stool: Page) -> None:
    field = size_row(stool, "height").locator(".size-field")
    at_rest(stool)
    field.fill("17 3/4")
    field.press("Enter")
    expect(stool.locator("#live")).to_have_text(re.compile(r"height 17 3/4: "), timeout=WAIT)


def test_keys_are_told(stool: Page) -> None:
    stool.locator("body").press("?")
    dialog = stool.get_by_role("dialog", name="Keys")
    expect(dialog).to_be_visible()
    stool.keyboard.press("Escape")
    expect(dialog).to_be_hidden()


def test_the_rest_goes_on_where_the_piece_cannot_be_turned(browser: Browser, desk: Desk) -> None:
    page = browser.new_page()
    page.route("**/view3d/mount.js", lambda route: route.abort())
    opened(page, desk.address)
    expect(page.locator(".piece-still")).to_be_visible(timeout=WAIT)
    expect(page.locator(".piece-still img")).to_be_visible(timeout=WAIT)
    expect(page.locator("img.sheet-page").first).to_be_visible(timeout=WAIT)
    page.close()


def test_files_can_be_taken_away(stool: Page, tmp_path: Path) -> None:
    stool.get_by_role("tab", name="Files").click()
    link = stool.get_by_role("link", name=re.compile(r"cutting-list\.csv$"))
    with stool.expect_download(timeout=WAIT) as taken:
        link.click()
    target = tmp_path / "list.csv"
    taken.value.save_as(target)
    assert "leg" in target.read_text("utf-8")
