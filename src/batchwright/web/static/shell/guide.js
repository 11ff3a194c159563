/** guide.js: the guide, page by page, beside the piece. */
import { getJson } from "../api.js";
import { el, write } from "./dom.js";

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountGuide(element, store) {
  const topics = el("nav.guide-topics", { "aria-label": "Pages of the guide" });
  const body = el("article.guide-body", { tabindex: "0", "aria-label": "Guide" });
  element.append(el("h2.unseen", {}, "Guide"), topics, body);
  const open = (topic) => store.dispatch("show", { guide: topic });
  body.addEventListener("click", (event) => {
    const link = event.target.closest("a[href]");
    if (!link || !/^(#?[\w./-]+\.md|[?]topic=)/.test(link.getAttribute("href"))) return;
    event.preventDefault();
    open(link.getAttribute("href").replace(/^.*topic=/, "").replace(/\.md(#.*)?$/, "").replace(/^.*\//, ""));
  });
  store.watch((state) => (state.view.tab === "guide" ? state.view.guide || "" : null), async (topic) => {
    if (topic === null) return;
    try {
      const page = await getJson(`/api/guide${topic ? `?topic=${encodeURIComponent(topic)}` : ""}`);
      body.innerHTML = page.html; // from the packaged guide: the server lets no markup of the user's through
      for (const wide of body.querySelectorAll("pre, table")) wide.tabIndex = 0; // may be scrolled, by keys too
      body.scrollTop = 0;
      if (page.topics) fillTopics(topics, page.topics, page.topic || topic, open);
    } catch (error) {
      write(body, `This page of the guide cannot be had: ${error.message}.`);
    }
  });
}

function fillTopics(topics, list, current, open) {
  const entries = list.map((each) => (typeof each === "string" ? { topic: each, title: each } : each));
  topics.replaceChildren(el("ul", {}, ...entries.map(({ topic, title }) => {
    const node = el("button.rail-sheet", { type: "button", "aria-current": topic === current ? "page" : null }, title);
    node.addEventListener("click", () => open(topic));
    return el("li", {}, node);
  })));
}
