/**
 * mount.js: the piece in three dimensions. mount(element, store) -> {resize, dispose}, or null without WebGL.
 *
 * Draws on demand only. What it tells is in the lists of the page as well; what is picked goes to the store's selection.
 */
import { Vector3 } from "../vendor/three.min.js";
import { apartOf } from "./apart.js";
import { Eye } from "./camera.js";
import { card, jointsOf } from "./card.js";
import { controls, element, offerParts } from "./controls.js";
import { listen } from "./gestures.js";
import { sharedUniforms, tokens } from "./look.js";
import { Measuring, spanText } from "./measure.js";
import { Overlay } from "./overlay.js";
import { PartSet } from "./parts.js";
import { meantAt, partAt } from "./pick.js";
import { hatches, PLANES, Section } from "./section.js";
import { Stage } from "./stage.js";
import { Traces } from "./traces.js";
import { CUT_WORDS, cutText, partText, pictureText } from "./words.js";

/** How far a joint opens when the piece is drawn apart all the way, as a share of the piece's diagonal. */
const APART = 0.12;
const PATIENCE = 300;

/**
 * @param {HTMLElement} box
 * @param {import("../store.js").Store} store
 * @returns {{resize: () => void, dispose: () => void}|null}
 */
export function mount(box, store) {
  const canvas = element("canvas", { className: "v3d-canvas", role: "img", tabIndex: 0 });
  const colours = tokens(box);
  const shared = sharedUniforms(colours);
  const eye = new Eye();
  const stage = Stage.on(canvas, { shared, eye, before() {}, after() {}, lost() {}, covered: () => ({ top: 0, side: 0 }) });
  if (!stage) return null;
  const view = new View(box, store, { canvas, colours, shared, eye, stage });
  return { resize: () => stage.resize(), dispose: () => view.dispose(), view };
}

class View {
  #ends = [];
  #ways = null;
  #oldTimer = 0;

  constructor(box, store, { canvas, colours, shared, eye, stage }) {
    Object.assign(this, { box, store, canvas, shared, eye, stage });
    this.parts = new PartSet(stage.scene, shared, colours);
    this.section = new Section(stage.scene, shared, this.parts, colours);
    this.measuring = new Measuring(stage.scene, shared, colours);
    this.traces = new Traces(stage.scene, shared, colours);
    this.look = { apart: 0, glass: false, plane: "", cut: 0.5, measure: false, listed: false };
    this.#build();
    stage.after = (camera) => this.#placed(camera);
    stage.covered = (wide, high) => this.#covered(wide, high);
    stage.lost = (lost) => this.#tellLost(lost);
    this.#ends.push(listen(canvas, this.#gestures()), this.#watch());
    const sizes = new ResizeObserver(() => stage.resize());
    sizes.observe(this.over);
    this.#ends.push(() => sizes.disconnect());
    stage.resize();
  }

  #build() {
    this.controls = controls(this.#deeds());
    this.card = card({
      joint: (joint) => this.#pickJoint(joint),
      close: () => this.#pick(null),
      list: () => this.#list(),
    });
    this.note = element("p", { className: "v3d-note" });
    this.note.hidden = true;
    this.hint = element("p", { className: "v3d-hint", "aria-hidden": "true" });
    const tags = element("div", { className: "v3d-tags", "aria-hidden": "true" });
    this.overlay = new Overlay(tags);
    this.over = element("div", { className: "v3d-stage" });
    this.over.append(this.canvas, tags, this.card, this.note, this.hint);
    this.box.classList.add("v3d");
    const { looks, sliders, below } = this.controls;
    this.box.replaceChildren(element("div", { className: "v3d-frame" }, this.over, looks, sliders, below));
    this.controls.apart.told.textContent = "0 %";
  }

  #deeds() {
    const then = (fn) => (...what) => {
      fn(...what);
      this.#changed();
    };
    return {
      view: (name) => this.#go(name),
      whole: then(() => this.eye.fit()),
      turn: then((x, y) => this.eye.rotate((x * Math.PI) / 12, (y * Math.PI) / 12)),
      nearer: then((by) => this.eye.zoom(by)),
      apart: (share) => this.#look({ apart: share }),
      glass: (on) => this.#look({ glass: on }),
      plane: (plane) => this.#look({ plane, cut: 0.5 }),
      cutAt: (share) => this.#look({ cut: share }),
      measure: (on) => this.#measure(on),
      part: (id) => this.#pick(id || null),
      opened: () => this.stage.resize(),
    };
  }

  #gestures() {
    return {
      eye: this.eye,
      changed: () => this.#changed(),
      pick: (x, y) => this.#tap(x, y),
      hover: (x, y) => this.#hover(x, y),
      leave: () => this.#hint(""),
      view: (name) => this.#go(name),
      whole: () => this.eye.fit(),
    };
  }

  #watch() {
    this.#answer(this.store.get());
    return this.store.subscribe((state, before) => {
      if (state.answer !== before.answer || state.meshes !== before.meshes) this.#answer(state);
      else if (state.selection !== before.selection) this.#lights(state);
      if (state.selection !== before.selection && state.selection.from !== "piece") this.look.listed = false;
      if (state.selection !== before.selection) this.#card(state);
    });
  }

  /** A new answer: the same things in place, new ones beside them, and old ones gone. */
  #answer(state) {
    const { answer, meshes } = state;
    this.canvas.setAttribute("aria-label", pictureText(answer));
    if (!answer || !answer.box || !answer.parts.every((part) => meshes.has(part.mesh))) return;
    const anew = this.name !== answer.piece.name || this.count === 0;
    this.parts.update(answer, meshes);
    this.name = answer.piece.name;
    this.count = answer.parts.length;
    this.units = /in$/.test(answer.parts[0] ? answer.parts[0].shown : answer.piece.units) ? "in" : "mm";
    this.home = answer.box;
    this.#ways = null;
    this.section.slopes = hatches(answer);
    offerParts(this.controls, answer.parts.map((part) => part.id));
    this.measuring.clear();
    this.#old(answer);
    this.#stand(anew);
    this.#lights(state);
    this.#card(state);
    this.answers = (this.answers || 0) + 1;
    this.box.dataset.revision = answer.revision;
  }

  /** An old answer pales, after a moment's patience so that a quick one does not flicker. */
  #old(answer) {
    window.clearTimeout(this.#oldTimer);
    const grey = Boolean(answer.grey);
    this.note.hidden = !grey;
    this.note.textContent = grey
      ? "This is the last sound drawing. The text has a fault: mend it, and the new one is drawn."
      : "";
    const old = grey ? 0.5 : 0;
    if (old <= this.shared.old.value) this.shared.old.value = old;
    else {
      this.#oldTimer = window.setTimeout(() => {
        this.shared.old.value = old;
        this.stage.draw();
      }, PATIENCE);
    }
  }

  /** Puts parts where they stand, apart or not, and the room and the cut after them. */
  #stand(anew) {
    if (!this.home) return;
    const size = new Vector3(...this.home[1]).distanceTo(new Vector3(...this.home[0]));
    if (this.look.apart && !this.#ways) this.#ways = apartOf(this.store.get().answer, this.parts.boxes(true));
    this.parts.stand(this.#ways, this.look.apart * APART * size);
    if (this.look.apart) this.traces.draw(this.store.get().answer.joints, this.parts);
    else this.traces.clear();
    this.eye.setRoom(this.parts.boxes().values(), anew);
    this.#cut();
    this.#changed();
  }

  #cut() {
    const { plane, cut } = this.look;
    const { controls: shown } = this;
    shown.cut.hidden = !plane;
    if (!plane) {
      this.section.set(null, 0);
      return;
    }
    const { axis } = PLANES[plane];
    const { low, high } = this.eye.room;
    const at = low.getComponent(axis) + cut * (high.getComponent(axis) - low.getComponent(axis));
    this.section.set(plane, at);
    const words = cutText(plane, at, this.units);
    shown.cut.told.textContent = words;
    shown.cut.range.value = String(cut * 100);
    shown.cut.range.setAttribute("aria-valuetext", `${CUT_WORDS[plane]}, ${words}`);
  }

  #look(fields) {
    const before = this.look;
    this.look = { ...before, ...fields };
    const { apart } = this.controls;
    apart.told.textContent = `${Math.round(this.look.apart * 100)} %`;
    if (this.look.apart !== before.apart) {
      this.measuring.clear();
      this.#stand(false);
    } else if (this.look.plane !== before.plane || this.look.cut !== before.cut) this.#cut();
    if (this.look.glass !== before.glass) this.#lights(this.store.get());
    this.#changed();
  }

  #lights(state) {
    this.parts.light(this.#litOf(state), this.look.glass);
    this.#marks(state);
    this.#changed();
  }

  /** Parts to light up: those chosen, and both parts of a joint that is chosen. */
  #litOf({ selection, answer }) {
    const lit = new Set(selection.parts.filter((id) => this.parts.byId.has(id)));
    if (selection.from === "sheet" || !answer) return lit;
    for (const joint of [...answer.joints, ...(answer.fixings || [])]) {
      if (!selection.joints.includes(joint.id)) continue;
      for (const id of [joint.part, joint.into]) if (this.parts.byId.has(id)) lit.add(id);
    }
    return lit;
  }

  #go(name) {
    const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.eye.go(name, still ? null : performance.now());
    this.#changed();
  }

  #changed() {
    for (const each of this.controls.views) {
      each.setAttribute("aria-pressed", String(each.dataset.view === this.eye.view));
    }
    this.stage.draw();
  }

  #placed(camera) {
    this.camera = camera;
    this.overlay.place(camera, this.stage.wide, this.stage.high);
    this.box.dataset.frames = this.stage.frames;
  }

  /** Shares of the picture that the buttons of the views lie over, where they do. */
  #covered(wide, high) {
    const [looks, over] = [this.controls.looks, this.over].map((each) => each.getBoundingClientRect());
    const beside = !looks.width || looks.left >= over.right || looks.top >= over.bottom;
    return { top: beside ? 0 : Math.min(0.3, (looks.bottom - over.top) / high), side: 0 };
  }

  #at(x, y) {
    return { x, y, wide: this.stage.wide, high: this.stage.high };
  }

  #tap(x, y) {
    if (!this.camera) return;
    const hit = partAt(this.#at(x, y), this.camera, this.parts, this.section);
    if (this.look.measure) {
      if (hit) this.#point(meantAt(hit, this.#at(x, y), this.camera));
      return;
    }
    if (hit && this.#picked(this.store.get()) === hit.id) this.#list();
    else this.#pick(hit ? hit.id : null);
  }

  #picked({ selection }) {
    return selection.from === "piece" && selection.parts.length ? selection.parts[0] : null;
  }

  #pick(id) {
    this.look.listed = false;
    if (!id) {
      this.store.dispatch("select", {});
      return;
    }
    this.store.dispatch("select", { parts: [id], joints: [], from: "piece" });
    const { answer } = this.store.get();
    const part = answer.parts.find((each) => each.id === id);
    if (part) this.store.dispatch("say", { text: partText(part, jointsOf(answer, id).length) });
  }

  #list() {
    this.look.listed = true;
    this.#card(this.store.get());
    const { answer } = this.store.get();
    const id = this.#picked(this.store.get());
    if (id) this.store.dispatch("say", { text: `${jointsOf(answer, id).length} joints listed` });
  }

  #pickJoint(joint) {
    const id = this.#picked(this.store.get());
    const other = joint.part === id ? joint.into : joint.part;
    this.store.dispatch("select", { parts: [id, other], joints: [joint.id], from: "piece" });
    this.store.dispatch("say", { text: `${joint.part} into ${joint.into}, lit up` });
  }

  #card(state) {
    const id = this.#picked(state);
    this.card.tell(state.answer, id, this.look.listed);
    const { select } = this.controls.part;
    select.value = id && this.parts.byId.has(id) ? id : "";
  }

  #hover(x, y) {
    if (!this.camera || this.hovering) return;
    this.hovering = requestAnimationFrame(() => {
      this.hovering = 0;
      const hit = partAt(this.#at(x, y), this.camera, this.parts, this.section);
      this.#hint(hit ? hit.id : "");
    });
  }

  #hint(text) {
    const words = text || (this.look.measure ? "Point at two corners, edges or faces." : "");
    if (this.hint.textContent !== words) this.hint.textContent = words;
    this.canvas.classList.toggle("v3d-over", Boolean(text));
  }

  #measure(on) {
    this.look.measure = on;
    if (!on) this.measuring.clear();
    this.#hint("");
    this.store.dispatch("say", { text: on ? "Point at two corners, edges or faces." : "" });
    this.#marks(this.store.get());
    this.#changed();
  }

  #point(thing) {
    this.measuring.add(thing);
    const { span } = this.measuring;
    const text = span ? spanText(span, this.units) : `${thing.kind} of ${thing.id}`;
    this.store.dispatch("say", { text });
    this.#marks(this.store.get());
    this.#changed();
  }

  /** Marks over the picture: joints chosen, what is measured. */
  #marks({ selection, answer }) {
    const items = this.measuring.marks.map((point) => ({ point, kind: "dot" }));
    const { middle, span } = this.measuring;
    if (middle) items.push({ point: middle, kind: "number", text: spanText(span, this.units) });
    const chosen = selection.from === "sheet" ? [] : selection.joints;
    for (const joint of (answer && answer.joints) || []) {
      if (!chosen.includes(joint.id) || !joint.point || this.look.apart) continue;
      items.push({ point: new Vector3(...joint.point), kind: "ring" });
    }
    this.overlay.set(items);
  }

  #tellLost(lost) {
    this.note.hidden = !lost;
    this.note.textContent = lost ? "The picture was lost for a moment; it comes back by itself." : "";
    if (!lost) this.#old(this.store.get().answer || {});
  }

  dispose() {
    for (const end of this.#ends) end();
    window.clearTimeout(this.#oldTimer);
    this.measuring.dispose();
    this.traces.dispose();
    this.section.dispose();
    this.parts.dispose();
    this.stage.dispose();
    this.box.replaceChildren();
  }
}
