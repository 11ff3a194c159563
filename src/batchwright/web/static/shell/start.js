/** start.js: the start screen: begin from an example or an empty frame, or open what lies here. */
import { el, button, mark, plain, write } from "./dom.js";

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountStart(element, store) {
  const back = button("Back to the open piece", () => store.dispatch("enter"), { mark: "back" });
  const here = el("section.here", { "aria-labelledby": "here-head" });
  const fresh = el("form.fresh", { novalidate: true, "aria-labelledby": "fresh-head" });
  element.append(back, here, fresh);
  const folder = el("input", { type: "text", id: "folder", autocomplete: "off", spellcheck: "false", "aria-describedby": "folder-fault folder-note" });
  const fault = el("p.size-fault.small", { id: "folder-fault", role: "alert" });
  const make = el("button.main", { type: "submit" }, "Begin");

  store.watch((state) => state.start, (start) => {
    if (!start) return;
    back.hidden = !start.open;
    fillHere(here, start.here || [], store);
    fillFresh(fresh, start, { folder, fault, make });
  });
  fresh.addEventListener("change", (event) => {
    if (event.target.name !== "example" || folder.dataset.typed) return;
    folder.value = freeName(event.target.value, store.get().start);
  });
  folder.addEventListener("input", () => (folder.dataset.typed = "yes"));
  fresh.addEventListener("submit", async (event) => {
    event.preventDefault();
    const example = new FormData(fresh).get("example");
    write(fault, "");
    folder.removeAttribute("aria-invalid");
    const name = folder.value.trim();
    const { ok, faults } = name
      ? await store.dispatch("new", { example, folder: name })
      : { ok: false, faults: [{ what: "the folder has no name yet", mend: "write one, such as my-stool" }] };
    if (ok) {
      delete folder.dataset.typed; // that name is taken now
      folder.value = "";
      return;
    }
    folder.setAttribute("aria-invalid", "true");
    fault.replaceChildren(...(faults || []).map((each) => el("span", {}, plain(`${each.what} ${each.mend ? `Mend: ${each.mend}` : ""}`))));
    folder.focus();
  });
}

function fillHere(here, pieces, store) {
  here.hidden = !pieces.length;
  here.replaceChildren(
    el("h2", { id: "here-head" }, "Lying here"),
    el("ul", {}, ...pieces.map((piece) => {
      const open = el("button.here-piece", { type: "button" },
        el("span.here-title", {}, piece.title || piece.file),
        el("span.small.soft", {}, piece.file),
        piece.draft ? el("span.here-draft.small", {}, "holds changes that are not saved") : null);
      open.addEventListener("click", () => store.dispatch("open", { file: piece.file }));
      return el("li", {}, open);
    })));
}

/** @returns {string} a folder's name for what is begun, other than those that lie here */
function freeName(example, start) {
  const plain = example === "empty" ? "my-piece" : `my-${example.replace(/^(terrace|hall|splayed)-/, "")}`;
  const taken = new Set(((start && start.here) || []).map((piece) => piece.file.split("/")[0]));
  let name = plain;
  for (let number = 2; taken.has(name); number += 1) name = `${plain}-${number}`;
  return name;
}

/** The choices; what was chosen and typed before stays. */
function fillFresh(fresh, start, { folder, fault, make }) {
  const examples = start.examples || [];
  const before = new FormData(fresh).get("example");
  const choice = (name, title, words, picture, first) =>
    el("label.example", {},
      el("span.example-picture", {}, picture),
      el("span.example-head", {},
        el("input", { type: "radio", name: "example", value: name, checked: first, "aria-describedby": `words-${name}` }),
        el("span.example-title", {}, title)),
      el("span.small.soft", { id: `words-${name}` }, words));
  const listed = examples.filter((example) => example.name !== "empty");
  const known = before === "empty" || listed.some((each) => each.name === before);
  const chosen = known ? before : listed.length ? listed[0].name : "empty";
  const choices = listed.map((each) =>
    choice(each.name, each.title, each.words || "", el("img", { src: each.picture, alt: "" }), each.name === chosen));
  choices.push(choice("empty", "An empty frame", "Nothing drawn yet: sizes, parts and joints are yours to say.", mark("frame"), chosen === "empty"));
  if (!folder.value) folder.value = freeName(chosen, start);
  fresh.replaceChildren(
    el("h2", { id: "fresh-head" }, "Begin a piece"),
    el("fieldset.examples", {}, el("legend.unseen", {}, "Begin from"), ...choices),
    el("div.fresh-name", {},
      el("label", { for: "folder" }, "Name of its folder"), folder, make,
      el("p.small.soft", { id: "folder-note" }, "The folder is made beside the others; the example itself is left as it is."), fault));
}
