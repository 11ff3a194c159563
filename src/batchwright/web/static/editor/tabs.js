// The files as tabs over the text.

const KINDS = { piece: "Piece", job: "Job", shop: "Shop", boards: "Boards", defects: "Defects" };

/** Tabs that are moved through with the arrow keys. */
export class Tabs {
  /** @param {(name: string) => void} choose */
  constructor(choose) {
    this.choose = choose;
    this.element = document.createElement("div");
    this.element.className = "editor-tabs";
    this.element.setAttribute("role", "tablist");
    this.element.setAttribute("aria-label", "Files");
    this.element.addEventListener("keydown", (event) => this.key(event));
    this.shown = "";
    this.names = [];
  }

  idOf(name) {
    return `editor-tab-${this.names.indexOf(name)}`;
  }

  /**
   * @param {{name: string, kind: string, dirty: boolean}[]} files
   * @param {string} current
   * @param {Map<string, number>} counts faults by file
   */
  show(files, current, counts) {
    const mark = JSON.stringify([files.map((each) => [each.name, each.dirty, counts.get(each.name)]), current]);
    if (mark === this.shown) return;
    this.shown = mark;
    this.names = files.map((each) => each.name);
    this.current = current;
    const within = this.element.contains(document.activeElement);
    this.element.replaceChildren(...files.map((each) => this.tab(each, counts.get(each.name) ?? 0)));
    if (within) this.element.querySelector('[aria-selected="true"]')?.focus();
  }

  tab(file, faults) {
    const tab = document.createElement("button");
    tab.type = "button";
    tab.id = this.idOf(file.name);
    tab.setAttribute("role", "tab");
    tab.setAttribute("aria-controls", "editor-text");
    const chosen = file.name === this.current;
    tab.setAttribute("aria-selected", String(chosen));
    tab.tabIndex = chosen ? 0 : -1;
    const head = tab.appendChild(span("tab-head", ""));
    const kind = head.appendChild(document.createElement("b"));
    kind.textContent = KINDS[file.kind] ?? file.kind;
    const said = [];
    if (file.dirty) said.push("not saved");
    if (faults) said.push(faults === 1 ? "1 fault" : `${faults} faults`);
    if (said.length) head.append(" ", span("tab-state", said.join(", ")));
    tab.append(" ", span("tab-file", file.name));
    tab.title = file.name;
    tab.addEventListener("click", () => this.choose(file.name));
    return tab;
  }

  key(event) {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const edge = { Home: 0, End: this.names.length - 1 }[event.key];
    if (step === undefined && edge === undefined) return;
    event.preventDefault();
    const at = this.names.indexOf(this.current);
    const next = edge ?? (at + step + this.names.length) % this.names.length;
    this.choose(this.names[next]);
    this.element.querySelector('[aria-selected="true"]')?.focus();
  }
}

function span(name, text) {
  const element = document.createElement("span");
  element.className = name;
  element.textContent = text;
  return element;
}
