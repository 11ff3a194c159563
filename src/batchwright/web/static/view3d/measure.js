/** measure.js: the distance between two things pointed at, in the file's units. */
import { Mesh, Vector3 } from "../vendor/three.min.js";
import { lineMaterial } from "./look.js";
import { lineGeometry } from "./parts.js";
import { lengthText } from "./words.js";

const PARALLEL = 0.9998;

/**
 * From one thing to the other: square between parallel faces or edges, else straight from point to point.
 * @param {object} one from pick.meantAt @param {object} two
 * @returns {{from: Vector3, to: Vector3, square: boolean}}
 */
export function between(one, two) {
  const [a, b] = [one.point, two.point];
  const alike = one.way && two.way && Math.abs(one.way.dot(two.way)) > PARALLEL;
  const away = b.clone().sub(a);
  if (alike && one.kind === "face" && two.kind === "face") {
    return { from: a, to: a.clone().addScaledVector(one.way, away.dot(one.way)), square: true };
  }
  if (alike && one.kind === "edge" && two.kind === "edge") {
    return { from: a, to: b.clone().addScaledVector(one.way, -away.dot(one.way)), square: true };
  }
  const [face, other] = one.kind === "face" ? [one, two] : [two, one];
  if (face.kind === "face" && other.kind !== "face") {
    const off = other.point.clone().sub(face.point).dot(face.way);
    return { from: other.point, to: other.point.clone().addScaledVector(face.way, -off), square: true };
  }
  return { from: a, to: b, square: false };
}

/** @param {{from: Vector3, to: Vector3, square: boolean}} span @param {string} units @returns {string} */
export function spanText({ from, to, square }, units) {
  const away = to.clone().sub(from);
  const far = lengthText(away.length(), units);
  const named = [
    [Math.abs(away.x), "across"],
    [Math.abs(away.y), "front to back"],
    [Math.abs(away.z), "in height"],
  ].filter(([size]) => size > 0.2);
  if (named.length < 2) return named.length ? `${far} ${named[0][1]}` : far;
  const told = named.map(([size, word]) => `${lengthText(size, units)} ${word}`).join(", ");
  return `${far}${square ? " square" : ""} (${told})`;
}

/** The measuring in hand: one or two things pointed at, and the line between them. */
export class Measuring {
  #line = null;

  constructor(scene, shared, colours) {
    this.scene = scene;
    this.material = lineMaterial(shared, colours.accent, 2.4);
    this.material.depthTest = false;
    this.clear();
  }

  /** Points at a thing; the third begins anew. @param {object} thing */
  add(thing) {
    if (this.things.length > 1) this.clear();
    this.things.push(thing);
    if (this.things.length < 2) return;
    this.span = between(...this.things);
    const { from, to } = this.span;
    this.#line = new Mesh(lineGeometry(new Float32Array([...from.toArray(), ...to.toArray()])), this.material);
    this.#line.frustumCulled = false;
    this.#line.renderOrder = 30;
    this.scene.add(this.#line);
  }

  /** Points to mark in the picture. @returns {Vector3[]} */
  get marks() {
    return this.span ? [this.span.from, this.span.to] : this.things.map((thing) => thing.point);
  }

  /** Where the number stands. @returns {Vector3|null} */
  get middle() {
    return this.span ? this.span.from.clone().add(this.span.to).multiplyScalar(0.5) : null;
  }

  /** Forgets what was pointed at. */
  clear() {
    this.things = [];
    this.span = null;
    if (!this.#line) return;
    this.scene.remove(this.#line);
    this.#line.geometry.dispose();
    this.#line = null;
  }

  /** Gives everything back. */
  dispose() {
    this.clear();
    this.material.dispose();
  }
}
