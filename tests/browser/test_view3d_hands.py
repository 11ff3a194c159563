"""The piece in 3-D under mouse, fingers, keys and a screen reader; without WebGL; after its loss."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from browser.piece_page import Served, served

EYE = "(({ turn, rise, spread, flat, view }) => ({ turn, rise, spread, flat, view }))(mounted.view.eye)"


@pytest.fixture(scope="module")
def site() -> Iterator[Served]:
    with served() as page:
        yield page


@pytest.fixture(scope="module")
def page(browser: Browser, site: Served) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1024, "height": 768}, has_touch=True, reduced_motion="reduce")
    yield context.new_page()
    context.close()


@pytest.fixture
def stool(page: Page, site: Served) -> Page:
    """The stool, just opened."""
    page.goto(f"{site.url}?piece=splayed-stool")
    page.locator("[data-frames]").wait_for()
    page.evaluate("window.said = []; store.watch((s) => s.said, (s) => window.said.push(s.text)); null")
    return page


def middle_of(page: Page, part: str) -> tuple[float, float]:
    """A point of the window where a part is to be seen, found by asking what lies under points of a grid."""
    told = page.evaluate(
        """async (id) => {
          const { partAt } = await import("/static/view3d/pick.js");
          const { view } = mounted;
          const { wide, high } = view.stage;
          view.stage.drawNow();
          const box = view.canvas.getBoundingClientRect();
          for (let y = 0.1; y < 0.95; y += 0.03) for (let x = 0.05; x < 0.95; x += 0.02) {
            const hit = partAt({ x: x * wide, y: y * high, wide, high }, view.camera, view.parts, view.section);
            if (hit && hit.id === id) return [box.left + x * wide, box.top + y * high];
          }
          return null;
        }""",
        part,
    )
    assert told, f"{part} is not to be seen"
    return told[0], told[1]


def test_a_click_picks_a_part_and_another_lists_its_joints(stool: Page) -> None:
    x, y = middle_of(stool, "front long rail")
    stool.mouse.click(x, y)
    card = stool.get_by_role("group", name="The part picked")
    expect(card).to_be_visible()
    expect(card.get_by_role("heading")).to_have_text("front long rail")
    chosen = stool.evaluate("store.get().selection")
    assert (chosen["parts"], chosen["joints"], chosen["from"]) == (["front long rail"], [], "piece")
    assert "front long rail" in stool.evaluate("window.said.at(-1)")
    stool.mouse.click(x, y)
    wanted = stool.evaluate("""[...store.get().answer.joints, ...store.get().answer.fixings]
        .filter((j) => j.part === 'front long rail' || j.into === 'front long rail').length""")
    expect(card.get_by_role("listitem")).to_have_count(wanted)
    card.get_by_role("listitem").first.get_by_role("button").click()
    chosen = stool.evaluate("store.get().selection")
    assert len(chosen["joints"]) == 1
    assert chosen["parts"][0] == "front long rail"
    assert len(chosen["parts"]) == 2
    card.get_by_role("button", name="Let go of the part").click()
    expect(card).to_be_hidden()


def test_a_click_beside_lets_go_and_the_list_of_parts_picks_too(stool: Page) -> None:
    stool.get_by_role("button", name="Turn, measure").click()
    stool.get_by_label("Part", exact=True).select_option("top")
    assert stool.evaluate("store.get().selection.parts") == ["top"]
    expect(stool.get_by_role("group", name="The part picked")).to_be_visible()
    box = stool.locator("canvas").bounding_box()
    assert box
    stool.mouse.click(box["x"] + 8, box["y"] + box["height"] - 8)
    assert stool.evaluate("store.get().selection.parts") == []
    assert stool.get_by_label("Part", exact=True).input_value() == ""


def test_keys_turn_and_choose_views(stool: Page) -> None:
    stool.locator("canvas").focus()
    before = stool.evaluate(EYE)
    stool.keyboard.press("ArrowRight")
    turned = stool.evaluate(EYE)
    assert turned["turn"] == pytest.approx(before["turn"] + 3.14159265 / 12, abs=1e-6)
    stool.keyboard.press("ArrowUp")
    assert stool.evaluate(EYE)["rise"] > turned["rise"]
    stool.keyboard.press("+")
    nearer = stool.evaluate(EYE)
    assert nearer["spread"] < before["spread"]
    stool.keyboard.press("-")
    assert stool.evaluate(EYE)["spread"] == pytest.approx(nearer["spread"] * 1.2)
    for key, view in (("1", "front"), ("2", "side"), ("3", "plan"), ("4", "pictorial")):
        stool.keyboard.press(key)
        assert stool.evaluate(EYE)["view"] == view
        pressed = stool.locator("[data-view][aria-pressed=true]")
        expect(pressed).to_have_count(1)
        expect(pressed).to_have_attribute("data-view", view)
    stool.keyboard.press("+")
    stool.keyboard.press("0")
    assert stool.evaluate("mounted.view.eye.fitted")


def test_the_mouse_turns_moves_and_brings_nearer(stool: Page) -> None:
    box = stool.locator("canvas").bounding_box()
    assert box
    x, y = box["x"] + 300, box["y"] + 300
    before = stool.evaluate(EYE)
    stool.mouse.move(x, y)
    stool.mouse.down()
    stool.mouse.move(x + 80, y + 30, steps=4)
    stool.mouse.up()
    after = stool.evaluate(EYE)
    assert after["turn"] < before["turn"]  # dragged to the right the piece turns to the right
    assert after["rise"] > before["rise"]
    assert stool.evaluate("store.get().selection.parts") == []  # a drag is no click
    target = stool.evaluate("mounted.view.eye.target.toArray()")
    stool.mouse.down(button="right")
    stool.mouse.move(x + 40, y, steps=3)
    stool.mouse.up(button="right")
    assert stool.evaluate("mounted.view.eye.target.toArray()") != target
    stool.mouse.wheel(0, -200)
    nearer = """(spread) => new Promise((done) => {
      const look = () => (mounted.view.eye.spread < spread ? done(true) : requestAnimationFrame(look));
      look(); })"""
    assert stool.evaluate(nearer, after["spread"])


def test_one_finger_turns_and_two_bring_nearer(stool: Page) -> None:
    box = stool.locator("canvas").bounding_box()
    assert box
    wire = stool.context.new_cdp_session(stool)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        places = [{"x": box["x"] + x, "y": box["y"] + y, "id": i} for i, (x, y) in enumerate(points)]
        wire.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})

    before = stool.evaluate(EYE)
    touch("touchStart", (300, 300))
    for step in (20, 40, 60, 80):
        touch("touchMove", (300 + step, 300))
    touch("touchEnd")
    turned = stool.evaluate(EYE)
    assert turned["turn"] != pytest.approx(before["turn"])
    assert turned["rise"] == pytest.approx(before["rise"])
    touch("touchStart", (300, 300), (400, 300))
    for step in (10, 20, 30, 40):
        touch("touchMove", (300 - step, 300), (400 + step, 300))
    touch("touchEnd")
    spread = stool.evaluate(EYE)
    assert spread["spread"] == pytest.approx(turned["spread"] * 100.0 / 180.0, rel=0.02)
    assert spread["turn"] == pytest.approx(turned["turn"])


def test_measuring_tells_what_is_between_two_corners(stool: Page) -> None:
    """From corner to corner of the top, against its box; in sixteenths and thirty-seconds of an inch."""
    stool.get_by_role("button", name="Plan", exact=True).click()
    stool.get_by_role("button", name="Turn, measure").click()
    stool.get_by_role("button", name="Measure", exact=True).click()
    corners = stool.evaluate("""() => {
      mounted.view.stage.drawNow();
      const { view } = mounted; const [low, high] = store.get().answer.box;
      const { low: a, high: b } = view.parts.boxes().get('top');
      const box = view.canvas.getBoundingClientRect();
      const Vector = view.eye.target.constructor;
      return [[a[0] + 3, a[1] + 3], [b[0] - 3, a[1] + 3]].map(([x, y]) => {
        const flat = new Vector(x, y, high[2]).project(view.camera);
        return [box.left + (flat.x + 1) / 2 * box.width, box.top + (1 - flat.y) / 2 * box.height];
      });
    }""")
    for x, y in corners:
        stool.mouse.click(x, y)
    told = stool.evaluate("window.said.at(-1)")
    wide = stool.evaluate("(({ low, high }) => high[0] - low[0])(mounted.view.parts.boxes().get('top'))")
    unit = 25.4 if " in " in told else 1.0
    number = re.split(" in | mm", told)[0]
    value = float(sum(Fraction(each) for each in number.split(" ")))
    assert value * unit == pytest.approx(wide, abs=8.0)  # an eased corner lies a little inside
    expect(stool.locator(".v3d-number")).to_be_visible()
    stool.get_by_role("button", name="Measure", exact=True).click()
    expect(stool.locator(".v3d-number")).to_have_count(0)


def test_lengths_are_told_to_the_nearest_thirty_second(stool: Page) -> None:
    told = stool.evaluate("""async () => {
      const { lengthText } = await import("/static/view3d/words.js");
      return [0, 0.3, 0.4, 12.7, 25.4, 444.5, 31.75, 100, -9.525, 7.9375].map((mm) => [mm, lengthText(mm, "in")]);
    }""")
    for mm, text in told:
        number = text.removesuffix(" in").lstrip("-")
        value = sum(Fraction(each) for each in number.split(" "))
        nearest = Fraction(round(abs(mm) / 25.4 * 32), 32)
        assert value == nearest, (mm, text)
        assert text.startswith("-") == (mm < 0 and nearest > 0)


def test_a_screen_reader_is_told_what_is_drawn(stool: Page) -> None:
    picture = stool.get_by_role("img")
    label = picture.get_attribute("aria-label") or ""
    assert "12 parts" in label
    assert "wide" in label
    assert "deep" in label
    assert "high" in label
    for state in ("plain", "picked", "cut"):
        if state == "picked":
            stool.get_by_role("button", name="Turn, measure").click()
            stool.get_by_label("Part", exact=True).select_option("top")
            stool.get_by_role("button", name=re.compile("^Its ")).click()
        if state == "cut":
            stool.get_by_label("Section").select_option("high")
        found = Axe().run(stool)
        assert found.violations_count == 0, (state, found.generate_report())


def test_every_control_is_large_enough_for_a_finger(stool: Page) -> None:
    stool.get_by_role("button", name="Turn, measure").click()
    stool.get_by_label("Section").select_option("across")
    for control in stool.locator(".v3d button:visible, .v3d select:visible, .v3d input:visible").all():
        box = control.bounding_box()
        assert box, control
        assert box["height"] >= 44, (control.inner_text(), box)
        assert box["width"] >= 44, (control.inner_text(), box)


@pytest.mark.parametrize("size", [(1440, 900), (1024, 768), (768, 1024), (780, 370), (390, 700)])
def test_nothing_runs_over_its_edge(stool: Page, size: tuple[int, int]) -> None:
    stool.set_viewport_size({"width": size[0], "height": size[1]})
    stool.get_by_label("Section").select_option("across")
    stool.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    wide = stool.evaluate("document.documentElement.scrollWidth")
    assert wide <= size[0]
    picture = stool.locator("canvas").bounding_box()
    assert picture
    assert picture["height"] >= 128
    for each in stool.locator(".v3d-controls button:visible, .v3d-controls select:visible").all():
        box = each.bounding_box()
        assert box
        assert box["x"] + box["width"] <= size[0] + 0.5
    stool.set_viewport_size({"width": 1024, "height": 768})


def test_a_lost_context_comes_back(stool: Page) -> None:
    stool.evaluate("window.lose = mounted.view.canvas.getContext('webgl2').getExtension('WEBGL_lose_context')")
    stool.evaluate("window.lose.loseContext()")
    expect(stool.get_by_text("The picture was lost")).to_be_visible()
    stool.evaluate("window.lose.restoreContext()")
    expect(stool.get_by_text("The picture was lost")).to_be_hidden()
    seen = stool.evaluate("""async () => {
      const gl = mounted.view.canvas.getContext("webgl2");
      mounted.view.stage.drawNow();
      const data = new Uint8Array(4 * 100 * 100);
      const [x, y] = [gl.drawingBufferWidth / 2 - 50, gl.drawingBufferHeight / 2];
      gl.readPixels(x, y, 100, 100, gl.RGBA, gl.UNSIGNED_BYTE, data);
      return new Set(data.filter((value, i) => i % 4 === 2)).size;
    }""")
    assert seen > 3


def test_without_webgl_the_rest_goes_on(browser: Browser, site: Served) -> None:
    context = browser.new_context()
    context.add_init_script(
        "const real = HTMLCanvasElement.prototype.getContext;"
        "HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {"
        " return /^webgl/.test(kind) ? null : real.call(this, kind, ...rest); };"
    )
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto(f"{site.url}?piece=splayed-stool")
    page.locator("body[data-ready=none]").wait_for()
    assert page.evaluate("mounted") is None
    assert page.evaluate("store.get().answer.parts.length") == 12
    assert not wrong
    context.close()


def test_giving_it_back_leaves_nothing_behind(stool: Page) -> None:
    stool.evaluate("mounted.dispose()")
    assert stool.locator("#place > *").count() == 0
    stool.evaluate("store.dispatch('select', { parts: ['top'] })")  # nobody listens any more
