/** main.js: starts everything. */
import { mountDesk } from "./shell/desk.js";
import { el } from "./shell/dom.js";
import { mountStart } from "./shell/start.js";
import { mountTop } from "./shell/top.js";
import { Store } from "./store.js";

const store = new Store();
const boot = JSON.parse(document.getElementById("boot").textContent || "{}");
const start = el("div.start", { hidden: true });
document.getElementById("middle").append(start);

mountTop(document.getElementById("top"), store);
mountStart(start, store);
let laid = false;

store.watch((state) => state.phase, (phase) => {
  document.body.dataset.phase = phase;
  document.getElementById("opening").hidden = phase !== "empty";
  start.hidden = phase !== "start";
  if (phase === "desk" && !laid) {
    laid = true;
    mountDesk(store);
  }
});

window.addEventListener("beforeunload", () => document.dispatchEvent(new Event("settle")));
store.begin(boot);
