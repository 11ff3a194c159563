// What is said of the text, under it: what, why, how to mend, and the mends that can be tried with one press.

import { withCode } from "./words.js";

const SAID = { fault: "Fault", warning: "Ask yourself", finding: "Finding", note: "Note" };

/** The list of faults and findings under the text. */
export class Panel {
  /**
   * @param {{go: (message: object) => void, tryIt: (mend: object) => void, undo: () => void}} doing
   */
  constructor(doing) {
    this.doing = doing;
    this.element = document.createElement("section");
    this.element.className = "editor-messages";
    this.element.setAttribute("aria-label", "Said of this text");
    this.element.tabIndex = -1;
    this.shown = "";
  }

  /**
   * @param {object[]} list of messages of the file shown, then of other files
   * @param {string} undo what the last step was, where taking it back is worth offering
   */
  show(list, undo = "") {
    const mark = JSON.stringify([undo, list.map(({ from, to, ...rest }) => rest)]);
    if (mark === this.shown) return;
    this.shown = mark;
    const within = this.element.contains(document.activeElement);
    const items = document.createElement("ul");
    items.append(...list.map((each) => this.item(each)));
    const back = undo && list.some((each) => each.level === "fault") ? [this.undo(undo)] : [];
    this.element.replaceChildren(this.heading(list), ...back, ...(list.length ? [items] : []));
    this.element.classList.toggle("has-fault", list.some((each) => each.level === "fault"));
    this.element.scrollTop = 0;
    if (within) this.element.focus();
  }

  heading(list) {
    const faults = list.filter((each) => each.level === "fault" || each.level === "warning").length;
    const rest = list.length - faults;
    const heading = document.createElement("h3");
    const said = [];
    if (faults) said.push(faults === 1 ? "1 fault" : `${faults} faults`);
    if (rest) said.push(rest === 1 ? "1 finding" : `${rest} findings`);
    heading.textContent = said.length ? said.join(", ") : "No fault in the text";
    return heading;
  }

  undo(label) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "message-undo";
    button.textContent = `Undo: ${label}`;
    button.addEventListener("click", () => this.doing.undo());
    return button;
  }

  item(message) {
    const item = document.createElement("li");
    item.className = `message message-${message.level}${message.old ? " message-old" : ""}`;
    const head = item.appendChild(document.createElement("p"));
    head.className = "message-what";
    const go = head.appendChild(document.createElement("button"));
    go.type = "button";
    go.className = "message-line";
    const line = message.line ? `line ${message.line}` : "the whole file";
    go.textContent = message.elsewhere ? `${message.file}, ${line}` : `${line[0].toUpperCase()}${line.slice(1)}`;
    go.addEventListener("click", () => this.doing.go(message));
    const level = head.appendChild(document.createElement("b"));
    level.textContent = `${SAID[message.level]}${message.old ? ", old" : ""}: `;
    withCode(head, message.what);
    if (message.why) withCode(item.appendChild(para("message-why")), `Why: ${message.why}`);
    if (message.mend) withCode(item.appendChild(para("message-mend")), `Mend: ${message.mend}`);
    for (const mend of message.mends ?? []) item.append(this.mend(mend, message.old));
    return item;
  }

  mend(mend, old) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "try-it";
    const words = button.appendChild(document.createElement("span"));
    words.appendChild(document.createElement("b")).textContent = "Try it: ";
    withCode(words, mend.say);
    if (old) button.setAttribute("aria-disabled", "true"); // the piece it was found in stands no more
    else button.addEventListener("click", () => this.doing.tryIt(mend));
    return button;
  }
}

function para(name) {
  const element = document.createElement("p");
  element.className = name;
  return element;
}
