/** piece.js: the place of the piece in three dimensions; where that cannot be had, a still drawing stands in. */
import { getJson } from "../api.js";
import { whyBare } from "../store.js";
import { el, write } from "./dom.js";

const BARE = {
  "nothing is drawn yet": "Nothing is drawn yet. Begin with a part, by form or in the text.",
  "the text has faults": "The piece stands here once the faults of its text are mended.",
};

/**
 * @param {HTMLElement} element @param {import("../store.js").Store} store
 * @returns {Promise<{resize: () => void}>}
 */
export async function mountPiece(element, store) {
  const place = el("div.piece-place");
  const still = el("figure.piece-still", { hidden: true });
  const bare = el("p.piece-bare", { hidden: true });
  element.append(el("h2.unseen", { id: "piece-head" }, "The piece"), place, still, bare);
  store.watch(whyBare, (why) => {
    bare.hidden = !why;
    write(bare, BARE[why]);
    element.classList.toggle("is-bare", Boolean(why));
  });
  try {
    const module = await import("../view3d/mount.js");
    const view = await module.mount(place, store);
    if (view) return { resize: () => view.resize && view.resize() };
    await standIn(place, still, store, "This browser draws no solids (WebGL is off): a still drawing stands in.");
  } catch (error) {
    console.warn("the piece in 3-D is missing:", error.message);
    await standIn(place, still, store, "The piece cannot be turned here: a still drawing stands in.");
  }
  return { resize: () => undefined };
}

/** @param {object[]} blocks @returns {object|undefined} the first drawing, in columns too */
function drawingIn(blocks = []) {
  for (const block of blocks) {
    const found = block.kind === "drawing" && block.svg ? block : (block.columns || []).map((each) => drawingIn(each.blocks)).find(Boolean);
    if (found) return found;
  }
  return undefined;
}

/** The first drawing of the cover, or of any sheet of views; fetched anew with each new set of sheets. */
async function standIn(place, still, store, words) {
  place.hidden = true;
  still.hidden = false;
  const image = el("img", { alt: "" });
  const caption = el("figcaption.small.soft", {}, words);
  still.append(image, caption);
  image.hidden = true;
  let shown = "";
  const refresh = async (sheets) => {
    const list = (sheets && sheets.sheets) || [];
    const sheet = list.find((each) => each.key === "cover") || list[0];
    if (!sheet || shown === `${sheet.key} ${sheet.revision}`) return;
    shown = `${sheet.key} ${sheet.revision}`;
    try {
      const told = await getJson(`/api/sheet?key=${encodeURIComponent(sheet.key)}`);
      const drawing = drawingIn(told.blocks);
      if (!drawing) return;
      image.src = drawing.svg;
      image.alt = `${store.get().answer.piece.name}, drawn: ${drawing.alt || drawing.title || sheet.title}`;
      image.hidden = false;
    } catch {
      write(caption, `${words} It is still being drawn.`);
      shown = "";
    }
  };
  store.watch((state) => state.sheets, refresh);
}
