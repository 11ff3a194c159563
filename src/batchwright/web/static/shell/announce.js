/** announce.js: what has come of a change, said once it is known, politely and not too often. */
import { isBehind, isOld } from "../store.js";
import { figures, tally } from "./figures.js";
import { write } from "./dom.js";

const PAUSE = 900; // ms of quiet before anything is said

/** @param {HTMLElement} element the live region @param {import("../store.js").Store} store */
export function mountAnnounce(element, store) {
  let timer = 0;
  let said = 0; // revision whose findings were said
  let priced = 0; // revision whose price was said
  const speak = () => {
    const now = store.get();
    if (now.phase !== "desk" || !now.answer || isOld(now) || now.answer.tried) return;
    const { revision } = now.desk;
    const words = [];
    if (revision !== said && said) words.push(now.desk.undo || "", tally(now));
    const boards = now.sheets && now.sheets.boards;
    const fresh = boards && !isBehind(now, boards.revision) && !boards.working;
    const price = fresh ? (figures(now).find((figure) => figure.key === "boards") || {}).value : null;
    if (price && revision !== priced && priced) words.push(`price of the boards ${price}`);
    if (price) priced = revision;
    said = revision;
    const text = words.filter(Boolean).join(": ");
    if (text) write(element, text);
  };
  store.subscribe((now, before) => {
    if (!said && now.desk && now.answer) said = now.desk.revision; // what was there when the page opened is not news
    if (now.said !== before.said && now.said.text) write(element, now.said.text);
    if (now.answer === before.answer && now.sheets === before.sheets && now.asking === before.asking) return;
    window.clearTimeout(timer);
    timer = window.setTimeout(speak, PAUSE);
  });
}
