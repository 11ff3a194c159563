"""At the bench: what a thickness was planed to, what a part measures, what is cut, and what then no longer agrees."""

from __future__ import annotations

from collections.abc import Callable

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from desk_page import WAIT, Desk, opened, size_row


def _text(page: Page, name: str) -> str:
    state = page.evaluate("async () => (await fetch('/api/state')).json()")
    return next((str(file["text"]) for file in state["files"] if file["name"] == name), "")


def _row(page: Page, name: str) -> Locator:
    return page.get_by_role("group", name=name, exact=True)


def test_wood_as_it_is(serve: Callable[..., Desk], page: Page) -> None:
    """Planed too thin, a rail too narrow, the legs cut, and a change that no longer fits them."""
    opened(page, serve("splayed-stool", "stool.job.yaml").address)
    before = _text(page, "stool.job.yaml")
    page.get_by_role("tab", name="At the bench").click()
    planed = page.get_by_label("1 5/8 in planed to", exact=True)

    planed.fill("thin")
    planed.press("Enter")
    expect(page.locator(".bench-families [role=alert]").first).to_contain_text("thin", timeout=WAIT)
    assert _text(page, "stool.job.yaml") == before, "what cannot be is told beside it, and not written"
    planed.fill("1 9/16")
    planed.press("Enter")
    expect(page.locator(".step-what").first).to_contain_text("1 9/16", timeout=WAIT)
    expect(planed).not_to_have_attribute("aria-invalid", "true")
    assert "as milled: {1 5/8 in: 1 9/16}" in _text(page, "stool.job.yaml")
    expect(page.locator(".panel-lists")).to_be_hidden()
    expect(_row(page, "leg").get_by_label("leg: thickness", exact=True)).to_have_attribute("placeholder", "1 9/16")

    wide = _row(page, "cross stretcher").get_by_label("cross stretcher: width", exact=True)
    wide.fill("1 1/16")
    wide.press("Enter")
    expect(page.locator(".step-what").first).to_contain_text("cross stretcher: width", timeout=WAIT)
    assert "cross stretcher: {width: 1 1/16}" in _text(page, "stool.job.yaml")

    legs = _row(page, "leg")
    legs.get_by_role("checkbox", name="leg: cut", exact=True).check()
    expect(page.locator(".step-what").first).to_contain_text("cut:", timeout=WAIT)
    assert "already cut: stool.cut.yaml" in _text(page, "stool.job.yaml")
    assert _text(page, "stool.cut.yaml").count("thickness:") >= 4
    legs.get_by_text("Each copy").click()
    one = legs.get_by_role("checkbox", name="left front leg: cut", exact=True)
    expect(one).to_be_checked()
    one.uncheck()
    expect(legs.get_by_role("checkbox", name="leg: cut 3 of 4", exact=True)).to_have_js_property("indeterminate", True)
    assert not Axe().run(page).response["violations"]

    height = size_row(page, "height").locator(".size-field")
    was = height.input_value()
    height.fill("18")
    height.press("Enter")
    told = legs.locator(".bench-finding")
    expect(told.first).to_be_visible(timeout=WAIT)
    told.first.get_by_role("button", name="Try it").first.click()
    expect(told).to_have_count(0, timeout=WAIT)
    expect(height).to_have_value(was)
    for _ in range(6):
        page.get_by_role("button", name="Undo", exact=False).first.click()
    expect(page.locator(".step-what").first).to_have_text("nothing", timeout=WAIT)
    assert _text(page, "stool.job.yaml") == before
    assert _text(page, "stool.cut.yaml") == ""
