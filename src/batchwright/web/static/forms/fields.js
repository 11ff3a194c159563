// The controls of a form: every one with a label, its help and its faults tied to it.

import { withCode } from "../editor/words.js";
import { offerNames } from "./combo.js";
import { emptyOf } from "./statement.js";

let count = 0;

/** Makes an element. @returns {HTMLElement} */
export function make(tag, name = "", text = "") {
  const element = document.createElement(tag);
  if (name) element.className = name;
  if (text) element.textContent = text;
  return element;
}

/** A button that does something. @returns {HTMLButtonElement} */
export function button(text, run, name = "") {
  const element = make("button", name, text);
  element.type = "button";
  element.addEventListener("click", run);
  return element;
}

/** A hint as a sentence. */
function sentence(text) {
  const whole = text[0].toUpperCase() + text.slice(1);
  return /[.:!?]$/.test(whole) ? whole : `${whole}.`;
}

/** One field of a form. */
export class Field {
  /**
   * @param {object} spec from kinds.js
   * @param {string | string[]} value
   * @param {{help: string, offers: () => string[], changed: () => void, lit?: () => string[]}} around
   */
  constructor(spec, value, around) {
    this.spec = spec;
    this.around = around;
    this.id = `field-${(count += 1)}`;
    this.inputs = [];
    this.group = spec.kind === "pair" || spec.kind === "names";
    this.element = make(this.group ? "fieldset" : "div", `field field-${spec.wide ? "wide" : spec.kind}`);
    this.element.append(this.label(), ...this.helps());
    this.build(value ?? emptyOf(spec));
    this.fault = make("div", "field-faults");
    this.fault.id = `${this.id}-faults`;
    this.element.append(this.fault);
    this.showFaults([]);
  }

  label() {
    const label = make(this.group ? "legend" : "label", "", this.spec.label);
    if (!this.group) label.htmlFor = this.id;
    if (this.spec.need) label.append(make("span", "field-need", " (needed)"));
    if (this.spec.byRule) label.append(make("span", "field-rule", " (left to the rules)"));
    return label;
  }

  helps() {
    const said = [this.around.help, this.spec.hint].filter(Boolean).map(sentence);
    if (!said.length) return [];
    this.help = withCode(make("p", "field-help"), said.join(" "));
    this.help.id = `${this.id}-help`;
    return [this.help];
  }

  build(value) {
    const { kind, choices, example } = this.spec;
    if (kind === "pair") this.pair(value);
    else if (kind === "names") this.names(value);
    else if (kind === "choice") this.choice(choices, value);
    else {
      const input = make(kind === "points" ? "textarea" : "input", "field-text");
      if (kind === "points") input.rows = Math.max(3, value.split("\n").length + 1);
      else input.type = "text";
      input.value = value;
      if (example) input.placeholder = example;
      this.put(input, this.element, this.id, kind !== "words");
    }
  }

  pair(value) {
    const row = make("div", "field-row");
    ["from", "to"].forEach((word, index) => {
      const cell = make("div", "field-cell");
      const label = make("label", "", word);
      label.htmlFor = `${this.id}-${word}`;
      const input = make("input", "field-text");
      input.type = "text";
      input.value = value[index] ?? "";
      cell.append(label);
      this.put(input, cell, label.htmlFor, true);
      row.append(cell);
    });
    this.element.append(row);
  }

  choice(choices, value) {
    const input = make("select");
    const list = choices.map((each) => (Array.isArray(each) ? each : [each, each]));
    if (!list.some(([key]) => key === value)) list.push([value, value]);
    input.append(...list.map(([key, text]) => new Option(text, key, false, key === value)));
    this.put(input, this.element, this.id, false);
  }

  names(value) {
    const row = make("div", "field-checks");
    const all = [...new Set([...this.around.parts(), ...value])];
    all.forEach((name, index) => {
      const label = make("label", "check");
      const input = make("input");
      input.type = "checkbox";
      input.value = name;
      input.checked = value.includes(name);
      label.append(input, make("span", "", name));
      this.put(input, null, `${this.id}-${index}`, false);
      row.append(label);
    });
    if (!all.length) row.append(make("p", "soft", "There is no part yet."));
    this.element.append(row);
    if (!all.length) return;
    const lit = button("Take the parts lit up in the piece", () => {
      const names = this.around.lit();
      for (const input of this.inputs) input.checked = names.includes(input.value);
      this.around.changed();
    });
    lit.classList.add("field-lit");
    this.element.append(lit);
  }

  put(input, parent, id, offers) {
    input.id = id;
    if (this.spec.need && this.spec.kind !== "names") input.required = true;
    input.addEventListener("input", () => this.around.changed());
    this.inputs.push(input);
    parent?.append(input);
    if (offers && input.tagName === "INPUT") {
      const own = this.spec.offers ?? [];
      parent.append(offerNames(input, () => [...own, ...this.around.offers()]));
    }
  }

  /** What stands in it. */
  get value() {
    if (this.spec.kind === "names") return this.inputs.filter((each) => each.checked).map((each) => each.value);
    return this.group ? this.inputs.map((each) => each.value) : this.inputs[0].value;
  }

  /** Faults that speak of this field, under it. @param {object[]} faults */
  showFaults(faults) {
    this.fault.replaceChildren(...faults.map((each) => faultElement(each)));
    this.fault.hidden = !faults.length;
    const described = [this.help?.id, faults.length ? this.fault.id : ""].filter(Boolean).join(" ");
    const holders = this.group ? [this.element] : this.inputs;
    for (const each of holders) {
      if (described) each.setAttribute("aria-describedby", described);
      else each.removeAttribute("aria-describedby");
    }
    for (const each of this.inputs)
      if (faults.length) each.setAttribute("aria-invalid", "true");
      else each.removeAttribute("aria-invalid");
  }

  focus() {
    this.inputs[0]?.focus();
  }
}

/** A fault in a form: what, why, how to mend. */
export function faultElement(fault) {
  const box = make("div", "fault");
  withCode(box.appendChild(make("p", "fault-what")), fault.what);
  if (fault.why) withCode(box.appendChild(make("p", "fault-why")), `Why: ${fault.why}`);
  if (fault.mend) withCode(box.appendChild(make("p", "fault-mend")), `Mend: ${fault.mend}`);
  return box;
}

/** Fields in their order, those with a fold under a heading that opens. @returns {HTMLElement[]} */
export function arranged(fields) {
  const out = [];
  const folds = new Map();
  for (const field of fields) {
    const name = field.spec.fold;
    if (!name) {
      out.push(field.element);
      continue;
    }
    if (!folds.has(name)) {
      const details = make("details", "fold");
      details.append(make("summary", "", name), make("div", "fold-fields"));
      folds.set(name, details);
      out.push(details);
    }
    const details = folds.get(name);
    details.lastChild.append(field.element);
    if (String(field.value).replaceAll(",", "") !== "") details.open = true;
  }
  return out;
}


