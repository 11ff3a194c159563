/** desk.js: lays the desk out: rail, piece, work below it, sizes and findings; and the switch of narrow screens. */
import { mountAnnounce } from "./announce.js";
import { el } from "./dom.js";
import { mountFigures } from "./figures.js";
import { mountFindings } from "./findings.js";
import { mountKeys } from "./keys.js";
import { mountPiece } from "./piece.js";
import { mountRail } from "./rail.js";
import { mountSizes } from "./sizes.js";
import { mountWork } from "./work.js";

const COLUMNS = [
  ["piece", "Piece", null],
  ["sheet", "Sheet", "sheet"],
  ["sizes", "Sizes", null],
  ["text", "Text", "text"],
  ["more", "More", "parts"],
];
const KEPT = "batchwright.split";

/** @param {import("../store.js").Store} store */
export function mountDesk(store) {
  const at = (id) => document.getElementById(id);
  const piece = el("section.piece", { "aria-labelledby": "piece-head" });
  const work = el("div.work.print-chain");
  const bar = divider(store);
  at("middle").append(piece, bar, work);
  const figures = el("div.side-figures");
  const sizes = el("div.side-sizes");
  const findings = el("div.side-findings");
  at("side").append(figures, sizes, findings);

  mountRail(at("rail"), store);
  mountFigures(figures, store);
  mountSizes(sizes, store);
  mountFindings(findings, store);
  mountWork(work, store);
  mountKeys(store);
  mountAnnounce(at("live"), store);
  mountSwitch(at("switch"), store);
  mountPiece(piece, store).then(({ resize }) => {
    new ResizeObserver(resize).observe(piece);
  });
}

function mountSwitch(element, store) {
  const list = el("ul");
  const buttons = COLUMNS.map(([column, title, tab]) => {
    const node = el("button", { type: "button" }, title);
    node.addEventListener("click", () => {
      const { view } = store.get();
      const keep = column === "more" && !["sheet", "text"].includes(view.tab);
      store.dispatch("show", tab && !keep ? { column, tab } : { column });
    });
    list.append(el("li", {}, node));
    return { column, node };
  });
  element.append(list);
  store.watch((state) => state.view.column, (current) => {
    document.body.dataset.column = current;
    for (const { column, node } of buttons) {
      if (column === current) node.setAttribute("aria-current", "true");
      else node.removeAttribute("aria-current");
    }
  });
}

/** The shares of the height that the piece has [%]: above a sheet, and above the text or a form, which want it more. */
const SHARES = { "--piece-share": { kept: KEPT, first: 40 }, "--piece-share-low": { kept: `${KEPT}.low`, first: 17 } };

function keptShare({ kept, first }) {
  try {
    return Number(window.localStorage.getItem(kept)) || first;
  } catch {
    return first; // no storage: the share is kept for this page only
  }
}

/** The line between the piece and the work: dragged, or moved with the arrow keys. */
function divider(store) {
  const bar = el("div.divider", { role: "separator", tabindex: "0", "aria-orientation": "horizontal", "aria-label": "Height of the piece", "aria-valuemin": "10", "aria-valuemax": "80" });
  const which = () => (["text", "parts"].includes(store.get().view.tab) ? "--piece-share-low" : "--piece-share");
  const show = (name, share) => {
    const kept = Math.round(Math.min(80, Math.max(10, share)));
    document.documentElement.style.setProperty(name, `${kept}%`);
    if (name === which()) bar.setAttribute("aria-valuenow", String(kept));
    return kept;
  };
  const put = (share) => {
    const kept = show(which(), share);
    try {
      window.localStorage.setItem(SHARES[which()].kept, String(kept));
    } catch {
      // no storage
    }
  };
  for (const [name, share] of Object.entries(SHARES)) show(name, keptShare(share));
  store.watch((state) => state.view.tab, () => show(which(), parseFloat(document.documentElement.style.getPropertyValue(which()))));
  bar.addEventListener("pointerdown", (event) => {
    bar.setPointerCapture(event.pointerId);
    const move = (each) => {
      const box = bar.parentElement.getBoundingClientRect();
      put(((each.clientY - box.top) / box.height) * 100);
    };
    bar.addEventListener("pointermove", move);
    bar.addEventListener("lostpointercapture", () => bar.removeEventListener("pointermove", move), { once: true });
  });
  bar.addEventListener("keydown", (event) => {
    const step = { ArrowUp: -4, ArrowDown: 4, Home: -99, End: 99 }[event.key];
    if (!step) return;
    event.preventDefault();
    put(Number(bar.getAttribute("aria-valuenow")) + step);
  });
  return bar;
}
