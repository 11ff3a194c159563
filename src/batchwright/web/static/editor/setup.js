// The text editor's parts, put together: what it can do by keyboard, touch and pointer, and how it looks.

import {
  EditorState, EditorView, StreamLanguage, acceptCompletion, autocompletion, bracketMatching, closeBrackets,
  closeBracketsKeymap, completionKeymap, defaultKeymap, drawSelection, highlightActiveLine, highlightActiveLineGutter,
  highlightSpecialChars, hoverTooltip, indentUnit, indentWithTab, keymap, lineNumbers, nextDiagnostic,
  previousDiagnostic, search, searchKeymap,
} from "../vendor/editor.min.js"; // prettier-ignore
import { completions } from "./complete.js";
import { flashes, lights } from "./flash.js";
import { margin, messages } from "./marks.js";
import { helpElement } from "./words.js";

const PLAIN = StreamLanguage.define({
  name: "table",
  token(stream) {
    stream.next();
    return null;
  },
});

/**
 * Everything of an editor but the language of one file.
 * @param {{nonce: string, label: () => string, file: () => string, kind: () => string,
 *   help: (at: number) => object | null, explain: () => boolean, undo: () => boolean, redo: () => boolean,
 *   save: () => boolean, typed: () => void, moved: () => void, left: () => void}} doing
 */
export function extensions(doing) {
  const offered = completions(doing.file);
  return [
    doing.nonce ? EditorView.cspNonce.of(doing.nonce) : [],
    EditorView.contentAttributes.of({
      "aria-label": doing.label(),
      "aria-describedby": "editor-hint",
      tabindex: "0",
      spellcheck: "false",
      autocorrect: "off",
      autocapitalize: "off",
      translate: "no",
    }),
    lineNumbers(),
    messages,
    margin,
    flashes,
    lights,
    highlightSpecialChars(),
    drawSelection(),
    highlightActiveLine(),
    highlightActiveLineGutter(),
    bracketMatching(),
    closeBrackets(),
    search({ top: true }),
    EditorState.tabSize.of(2),
    indentUnit.of("  "),
    EditorView.lineWrapping,
    autocompletion({ override: [offered], activateOnTypingDelay: 180, maxRenderedOptions: 60, icons: false }),
    hoverTooltip((view, at) => hover(doing, at), { hoverTime: 450 }),
    keymap.of(keys(doing)),
    EditorView.updateListener.of((update) => listen(update, doing)),
    look,
  ];
}

/** The plain language of a table of boards. */
export function tableLanguage() {
  return PLAIN;
}

function keys(doing) {
  const ours = (key, run) => ({ key, run, preventDefault: true, stopPropagation: true });
  return [
    ours("Mod-z", doing.undo),
    ours("Mod-y", doing.redo),
    ours("Mod-Shift-z", doing.redo),
    ours("Mod-s", doing.save),
    ours("F1", doing.explain),
    ours("F8", nextDiagnostic),
    ours("Shift-F8", previousDiagnostic),
    ...closeBracketsKeymap,
    ...searchKeymap,
    ...completionKeymap,
    { key: "Tab", run: acceptCompletion },
    ...defaultKeymap,
    indentWithTab,
  ];
}

function hover(doing, at) {
  const about = doing.help(at);
  if (!about) return null;
  return { pos: about.from, end: about.to, above: true, create: () => ({ dom: helpElement(about) }) };
}

function listen(update, doing) {
  const elsewhere = update.transactions.some((each) => each.isUserEvent("elsewhere"));
  if (update.docChanged && !elsewhere) doing.typed();
  if (update.selectionSet && update.transactions.some((each) => each.isUserEvent("select"))) doing.moved();
  if (update.focusChanged && !update.view.hasFocus) doing.left();
}

/** Only what must outweigh the library's own theme; everything else is in editor.css. */
const look = EditorView.theme({
  "&": { height: "100%", color: "var(--ink)", backgroundColor: "var(--sheet)" },
  "&.cm-focused": { outline: "none" }, // the frame round the text shows it
  ".cm-content": { caretColor: "var(--ink)", padding: "0.5rem 0" },
  ".cm-cursor": { borderLeft: "2px solid var(--ink)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": {
    background: "var(--accent-wash)",
  },
  ".cm-scroller": { fontFamily: "var(--font-text)", lineHeight: "1.6" },
  ".cm-gutters": { backgroundColor: "var(--sheet)", color: "var(--ink-soft)", border: "none" },
  ".cm-activeLine": { backgroundColor: "transparent", boxShadow: "inset 0 -1px 0 var(--rule)" },
  ".cm-activeLineGutter": { backgroundColor: "transparent", color: "var(--ink)", fontWeight: "700" },
  ".cm-tooltip": {
    backgroundColor: "var(--sheet)",
    color: "var(--ink)",
    border: "1px solid var(--rule-field)",
    borderRadius: "2px",
  },
  ".cm-tooltip.cm-tooltip-autocomplete > ul": { fontFamily: "var(--font-text)", maxHeight: "18em" },
  ".cm-tooltip.cm-tooltip-autocomplete > ul > li": { padding: "0.4rem 0.75rem", lineHeight: "1.4" },
  ".cm-tooltip.cm-tooltip-autocomplete > ul > li[aria-selected]": {
    background: "var(--accent)",
    color: "var(--sheet)",
  },
  "&.cm-focused .cm-matchingBracket": { backgroundColor: "var(--accent-wash)" },
  "&.cm-focused .cm-nonmatchingBracket": { backgroundColor: "transparent", textDecoration: "underline" },
  ".cm-searchMatch": { backgroundColor: "var(--accent-wash)" },
  ".cm-searchMatch.cm-searchMatch-selected": { backgroundColor: "var(--lit)", outline: "1px solid var(--ink)" },
  ".cm-panels": { backgroundColor: "var(--sunk)", color: "var(--ink)" },
  ".cm-panels.cm-panels-top": { borderBottom: "1px solid var(--rule)" },
  ".cm-lintRange": { backgroundImage: "none", paddingBottom: "1px" },
});
