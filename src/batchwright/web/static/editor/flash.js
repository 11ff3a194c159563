// Two quiet lights in the text: what has just changed from elsewhere, and the statements of the parts that are lit up.

import { Decoration, EditorView, StateEffect, StateField } from "../vendor/editor.min.js";

const flash = StateEffect.define();
const calm = StateEffect.define();
const light = StateEffect.define();

const changed = Decoration.mark({ class: "cm-changed" });
const gone = Decoration.line({ class: "cm-changed-line" });
const lit = Decoration.line({ class: "cm-lit" });

/** How long a change stays marked [ms]. */
const LINGER = 2200;

/** Spans that have just changed. */
export const flashes = StateField.define({
  create: () => Decoration.none,
  update(set, transaction) {
    let next = set.map(transaction.changes);
    for (const effect of transaction.effects) {
      if (effect.is(flash)) next = next.update({ add: effect.value, sort: true });
      if (effect.is(calm)) next = Decoration.none;
    }
    return next;
  },
  provide: (field) => EditorView.decorations.from(field),
});

/** Lines whose parts are lit up. */
export const lights = StateField.define({
  create: () => Decoration.none,
  update(set, transaction) {
    for (const effect of transaction.effects) if (effect.is(light)) return effect.value;
    return set.map(transaction.changes);
  },
  provide: (field) => EditorView.decorations.from(field),
});

let timer = 0;

/** Marks what a set of changes has put in, for a moment. */
export function flashChanges(view, changes) {
  const marks = [];
  changes.iterChanges((a, b, from, to) => {
    if (to > from) marks.push(changed.range(from, to));
    else marks.push(gone.range(view.state.doc.lineAt(from).from));
  });
  if (!marks.length) return;
  view.dispatch({ effects: flash.of(marks) });
  clearTimeout(timer);
  timer = setTimeout(() => view.dispatch({ effects: calm.of(null) }), LINGER);
}

/** Lights up lines, given by number from 1. */
export function lightLines(view, numbers) {
  const last = view.state.doc.lines;
  const wanted = [...new Set(numbers)].filter((each) => each >= 1 && each <= last).sort((a, b) => a - b);
  view.dispatch({ effects: light.of(Decoration.set(wanted.map((each) => lit.range(view.state.doc.line(each).from)))) });
}
