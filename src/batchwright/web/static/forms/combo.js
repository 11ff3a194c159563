// A field for an expression that offers the names it may hold while they are typed.

let count = 0;

/**
 * Makes an input offer names.
 * @param {HTMLInputElement} input
 * @param {() => string[]} offers
 * @returns {HTMLElement} the list, to be put behind the input
 */
export function offerNames(input, offers) {
  const list = document.createElement("ul");
  list.className = "offers";
  list.id = `offers-${(count += 1)}`;
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", "Names that may stand here");
  list.hidden = true;
  input.setAttribute("role", "combobox");
  input.setAttribute("aria-autocomplete", "list");
  input.setAttribute("aria-expanded", "false");
  input.setAttribute("aria-controls", list.id);
  input.autocomplete = "off";
  const box = { input, list, offers, chosen: -1, span: null };
  input.addEventListener("input", () => open(box, false));
  input.addEventListener("keydown", (event) => key(box, event));
  input.addEventListener("blur", () => close(box));
  list.addEventListener("pointerdown", (event) => event.preventDefault());
  list.addEventListener("click", (event) => {
    const option = event.target.closest("[role=option]");
    if (option) take(box, option.textContent);
  });
  return list;
}

/** The run of words before the caret. */
function span(input) {
  const end = input.selectionStart ?? input.value.length;
  const before = input.value.slice(0, end);
  const found = /[\p{L}][\p{L}\p{M}\d]*(?: [\p{L}\d][\p{L}\p{M}\d]*)* ?$/u.exec(before);
  return { from: found ? found.index : end, to: end };
}

function open(box, always) {
  const { from, to } = span(box.input);
  const typed = box.input.value.slice(from, to);
  if (!typed && !always) return close(box);
  const names = box.offers();
  const [found, start] = matching(names, typed, from);
  if (!found.length || (found.length === 1 && found[0] === typed)) return close(box);
  box.span = { from: start, to };
  box.chosen = -1;
  box.list.replaceChildren(...found.slice(0, 8).map((name, index) => option(box, name, index)));
  box.list.hidden = false;
  box.input.setAttribute("aria-expanded", "true");
  box.input.removeAttribute("aria-activedescendant");
  return undefined;
}

/** Names that begin as the last words do: `mm front l` offers `front leg`. */
function matching(names, typed, from) {
  const words = [...typed.matchAll(/\S+/g)];
  if (!words.length) return [names, from + typed.length];
  for (const word of words) {
    const rest = typed.slice(word.index).toLowerCase();
    const found = names.filter((name) => name.toLowerCase().startsWith(rest));
    if (found.length) return [found, from + word.index];
  }
  return [[], from];
}

function option(box, name, index) {
  const element = document.createElement("li");
  element.id = `${box.list.id}-${index}`;
  element.setAttribute("role", "option");
  element.setAttribute("aria-selected", "false");
  element.textContent = name;
  return element;
}

function close(box) {
  box.list.hidden = true;
  box.input.setAttribute("aria-expanded", "false");
  box.input.removeAttribute("aria-activedescendant");
}

function key(box, event) {
  if (box.list.hidden) {
    if (event.key === "ArrowDown") {
      open(box, true);
      event.preventDefault();
    }
    return;
  }
  const options = [...box.list.children];
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    const step = event.key === "ArrowDown" ? 1 : -1;
    box.chosen = (Math.max(box.chosen, step < 0 ? 0 : -1) + step + options.length) % options.length;
    options.forEach((each, index) => each.setAttribute("aria-selected", String(index === box.chosen)));
    options[box.chosen].scrollIntoView({ block: "nearest" });
    box.input.setAttribute("aria-activedescendant", options[box.chosen].id);
    event.preventDefault();
  } else if ((event.key === "Enter" || event.key === "Tab") && box.chosen >= 0) {
    take(box, options[box.chosen].textContent);
    if (event.key === "Enter") event.preventDefault();
  } else if (event.key === "Escape") {
    close(box);
    event.stopPropagation();
    event.preventDefault();
  }
}

function take(box, name) {
  box.input.setRangeText(name, box.span.from, box.span.to, "end");
  close(box);
  box.input.dispatchEvent(new Event("input", { bubbles: true }));
  close(box);
}
