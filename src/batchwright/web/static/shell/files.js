/** files.js: every file of the packet, to be taken away. */
import { download, getJson } from "../api.js";
import { el, write } from "./dom.js";

/** @param {HTMLElement} element @param {import("../store.js").Store} store */
export function mountFiles(element, store) {
  const note = el("p.small.soft");
  const list = el("div.files");
  element.append(el("h2", {}, "Files"), note, list);
  let asked = "";
  const refresh = async (state) => {
    if (state.phase !== "desk" || state.view.tab !== "files") return;
    const wanted = `${state.desk.revision} ${state.sheets ? `${state.sheets.revision} ${(state.sheets.boards || {}).revision}` : ""}`;
    if (wanted === asked) return;
    asked = wanted;
    try {
      const { files } = await getJson("/api/files");
      fill(list, files);
      write(note, "Made from the text as it stands here, saved or not.");
    } catch (error) {
      write(note, `The files cannot be listed now: ${error.message}`);
      asked = "";
    }
  };
  store.subscribe(refresh);
  refresh(store.get());
}

function fill(list, files) {
  const groups = new Map();
  for (const file of files) {
    if (!groups.has(file.group)) groups.set(file.group, []);
    groups.get(file.group).push(file);
  }
  list.replaceChildren(...[...groups].map(([group, each]) =>
    el("details.files-group", { open: each.length <= 8 },
      el("summary", {}, el("h3", {}, `${group || "Others"}`), el("span.small.soft", {}, String(each.length))),
      el("ul", {}, ...each.map((file) =>
        el("li", {}, el("a.file", { href: download(file.name), download: file.name.split("/").pop() }, file.name), el("span.small.soft", {}, file.words || "")))))));
}
