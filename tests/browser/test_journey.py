"""One maker's way, from nothing to a printed stool: drawn by form and by text, a fault mended with one press, tenons
added, the packet taken away, saved, changed outside, told, read anew, and undone."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pypdfium2
from playwright.sync_api import Locator, Page, expect

from desk_page import WAIT, Desk, at_rest, size_row

BY_HAND = (
    "  side rail:",
    "count: pair",
    "box: {x: [width/2 - 1 1/8, width/2 - 3/8], y: [leg, bakc leg], z: [13, 15 1/2]}",
)


class Maker:
    """What a maker does on the page."""

    def __init__(self, page: Page, desk: Desk) -> None:
        self.page, self.desk = page, desk

    def tab(self, name: str) -> None:
        """Goes to what lies below the piece."""
        self.page.get_by_role("tab", name=name, exact=True).click()

    def press(self, name: str) -> None:
        """Presses a button."""
        self.page.get_by_role("button", name=name, exact=True).first.click()

    def field(self, label: str) -> Locator:
        """One field of the form."""
        field = self.page.locator(".field:visible", has=self.page.locator(f"> label:text('{label}')"))
        return field.locator("input, select")

    def box(self, name: str, count: str, *ranges: tuple[str, str]) -> None:
        """Draws a straight part by form."""
        self.tab("Parts and joints")
        self.press("Add a part")
        self.field("Name").fill(name)
        for legend, ends in zip(("Left and right", "Front to back", "Upwards"), ranges, strict=True):
            group = self.page.locator("fieldset.field", has=self.page.locator(f"> legend:text('{legend}')"))
            for end, text in zip(("from", "to"), ends, strict=True):
                group.get_by_label(end, exact=True).fill(text)
        self.field("How many").select_option(count)
        self.write(f"{name}:")

    def joint(self, kind: str, **chosen: tuple[str, ...]) -> None:
        """Says a joint by form."""
        self.press("Add a joint")
        self.field("Kind of joint").select_option(kind)
        for legend, names in chosen.items():
            group = self.page.locator("fieldset.field", has=self.page.locator(f"> legend:text('{legend}')"))
            for name in names:
                group.get_by_label(name, exact=True).check()
        self.write(kind)

    def write(self, wanted: str) -> None:
        """Writes the form once what will be written is shown."""
        expect(self.page.locator(".preview-text ins").filter(has_text=wanted).first).to_be_visible(timeout=WAIT)
        self.press("Write it")
        expect(self.page.locator(".writing")).to_have_count(0, timeout=WAIT)

    def faults(self) -> Locator:
        """What is wrong in the text, as the page tells it."""
        return self.page.locator(".finding-group", has_text="Wrong in the text").locator(".finding-what")

    def on_disk(self) -> Path:
        """The piece file."""
        return self.desk.folder / "stool" / "stool.piece.yaml"


def _begin(maker: Maker) -> None:
    page = maker.page
    page.goto(maker.desk.address)
    page.get_by_role("radio", name="An empty frame").check(timeout=WAIT)
    page.get_by_label("Name of its folder").fill("stool")
    maker.press("Begin")
    expect(page.locator(".top-state")).to_have_text("nothing is drawn yet", timeout=WAIT)
    expect(size_row(page, "height").locator(".size-field")).to_have_value("17")


def _draw(maker: Maker) -> None:
    """A leg by form, a rail by text with a name spelt wrong: the fault, and its mend."""
    page = maker.page
    maker.box("leg", "four", ("width/2 - leg thick", "width/2"), ("0", "leg thick"), ("0", "15 1/2"))
    expect(page.locator(".figure-parts .figure-value")).to_contain_text("4", timeout=WAIT)
    maker.tab("Text")
    text = page.locator(".cm-content")
    text.click()
    page.keyboard.press("Control+End")
    for line in BY_HAND:
        page.keyboard.insert_text(line)
        page.keyboard.press("Enter")
    expect(maker.faults()).to_contain_text(["called bakc leg"], timeout=WAIT)
    expect(page.locator(".margin-fault:visible")).to_have_count(1)
    expect(page.locator(".figure-parts")).to_have_class(re.compile(r"\bold\b"))
    maker.press("Try it: write back leg")
    expect(maker.faults().filter(has_text="bakc")).to_have_count(0, timeout=WAIT)
    expect(text).to_contain_text("    count: pair")  # set in under its name by the editor


def _join(maker: Maker) -> None:
    """Rails into the legs: what is drawn into one another is a fault whose mend is the joint."""
    page = maker.page
    expect(maker.faults()).to_contain_text(["left side rail overlap"], timeout=WAIT)
    maker.press("Try it: tenon: side rail, into: leg")
    expect(maker.faults()).to_have_count(0, timeout=WAIT)
    expect(page.locator(".figure-joints .figure-value")).to_contain_text("4")
    maker.box("end rail", "front and back", ("left leg", "right leg"), ("3/8", "1 1/8"), ("13", "15 1/2"))
    expect(maker.faults()).to_contain_text(["end rail"], timeout=WAIT)
    maker.press("Say it by form")
    maker.write("{tenon: end rail, into: leg}")
    expect(page.locator(".figure-joints .figure-value")).to_contain_text("8", timeout=WAIT)
    rails = ("side rail", "end rail")
    maker.joint("meeting in", **{"They meet in": ("leg",), "Tenons of": rails})
    maker.box("top", "", ("-width/2", "width/2"), ("0", "depth"), ("15 1/2", "16 3/8"))
    expect(page.locator(".finding-what", has_text="top is joined to nothing")).to_be_visible(timeout=WAIT)
    maker.joint("rest", Touches=("leg",), on=("top",))
    maker.joint("button", **{"Slots in": rails, "hold": ("top",)})
    expect(page.locator(".finding-what", has_text="joined to nothing")).to_have_count(0, timeout=WAIT)
    expect(maker.faults()).to_have_count(0)


def _print(maker: Maker, folder: Path) -> None:
    """The packet holds every sheet of the rail."""
    page = maker.page
    at_rest(page)
    sheets = page.locator(".rail-sheet .rail-title").all_text_contents()
    maker.tab("Files")
    with page.expect_download(timeout=3 * WAIT) as taken:
        page.get_by_role("link", name=re.compile(r"packet\.pdf")).click()
    target = folder / "packet.pdf"
    taken.value.save_as(target)
    paper = pypdfium2.PdfDocument(target)
    words = " ".join(" ".join(page.get_textpage().get_text_range() for page in paper).split())
    assert len(paper) >= len(sheets) > 12
    missing = [title for title in sheets if " ".join(title.split(":")[0].split()) not in words]
    assert not missing, missing


def _elsewhere(maker: Maker) -> None:
    """Saved; then another editor writes the file: told, read in as one step, undone."""
    page = maker.page
    page.keyboard.press("Control+s")
    expect(page.locator(".top-unsaved")).to_have_text("saved", timeout=WAIT)
    mine = maker.on_disk().read_text("utf-8")
    assert "{tenon: end rail, into: leg}" in mine
    assert "height: {is: 17," in mine
    maker.on_disk().write_text(mine.replace("width:  {is: 15,", "width:  {is: 16 1/2,"), "utf-8")
    banner = page.locator(".banner")
    expect(banner).to_contain_text("stool.piece.yaml was changed outside this page", timeout=WAIT)
    maker.press("Take theirs")
    width = size_row(page, "width").locator(".size-field")
    expect(width).to_have_value("16 1/2", timeout=WAIT)
    expect(banner).to_have_count(0, timeout=WAIT)
    maker.press("Undo read from the disk")
    expect(width).to_have_value("15", timeout=WAIT)
    expect(page.locator(".top-unsaved")).to_have_text("not saved")
    assert "{is: 16 1/2," in maker.on_disk().read_text("utf-8"), "nothing reaches the file but by save"


def test_a_stool_from_nothing_to_paper(serve: Callable[..., Desk], page: Page, tmp_path: Path) -> None:
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    maker = Maker(page, serve())
    _begin(maker)
    _draw(maker)
    _join(maker)
    _print(maker, tmp_path)
    _elsewhere(maker)
    assert not wrong, wrong
