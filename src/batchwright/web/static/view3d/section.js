/**
 * section.js: the piece cut by a plane. What lies beyond is left out, the cut wood is hatched part by part (parts that
 * meet by different ways, as on a drawing) and outlined. Which half goes: the one on the viewer's side as the views are drawn.
 */
import {
  AlwaysStencilFunc, BackSide, DecrementWrapStencilOp, FrontSide, IncrementWrapStencilOp, Matrix4, Mesh,
  NotEqualStencilFunc, PlaneGeometry, Vector3, ZeroStencilOp,
} from "../vendor/three.min.js";
import { capMaterial, countMaterial, lineMaterial } from "./look.js";
import { lineGeometry } from "./parts.js";

/** The planes by name: the axis they cut, and which side of them is left out. */
export const PLANES = Object.freeze({
  across: { axis: 0, away: 1 },
  deep: { axis: 1, away: -1 },
  high: { axis: 2, away: 1 },
});

/** Ways a hatch may run: how far it goes sideways for a step up. */
const SLOPES = [1, -1, 0.42, -2.4, 2.4, -0.42];

/**
 * A hatch for every part, another than those of the parts it meets, and if there are enough of those that these meet.
 * @param {object} answer @returns {Map<string, number>} slope by part
 */
export function hatches(answer) {
  const beside = new Map(answer.parts.map((part) => [part.id, new Set()]));
  for (const { part, into } of [...answer.joints, ...(answer.fixings || [])]) {
    if (!beside.has(part) || !beside.has(into)) continue;
    beside.get(part).add(into);
    beside.get(into).add(part);
  }
  const found = new Map();
  for (const [id, others] of [...beside].sort((one, two) => two[1].size - one[1].size)) {
    const near = new Set([...others].map((other) => found.get(other)));
    const far = new Set([...others].flatMap((other) => [...beside.get(other)].map((next) => found.get(next))));
    const free = SLOPES.filter((slope) => !near.has(slope));
    found.set(id, free.find((slope) => !far.has(slope)) || free[0] || SLOPES[0]);
  }
  return found;
}

export class Section {
  #caps = new Map();
  #square = new PlaneGeometry(1, 1);
  #outline = null;

  /** @param {object} scene @param {object} shared @param {import("./parts.js").PartSet} parts @param {object} colours */
  constructor(scene, shared, parts, colours) {
    Object.assign(this, { scene, shared, parts, plane: null, at: 0, slopes: new Map() });
    const counts = (side, step) =>
      countMaterial(shared, {
        side,
        defines: { CUT: 1 },
        stencilWrite: true,
        stencilFunc: AlwaysStencilFunc,
        stencilFail: step,
        stencilZFail: step,
        stencilZPass: step,
      });
    this.back = counts(BackSide, IncrementWrapStencilOp);
    this.front = counts(FrontSide, DecrementWrapStencilOp);
    this.line = lineMaterial(shared, colours.ink, 1.4);
    this.line.uniforms.lift.value = 6e-4;
  }

  /** @param {string|null} plane a name of PLANES, or null for none @param {number} at where, along its axis [mm] */
  set(plane, at) {
    this.plane = plane ? PLANES[plane] : null;
    this.at = at;
    this.parts.setCut(Boolean(plane));
    const cut = this.shared.cut.value;
    cut.set(0, 0, 0, 1);
    if (this.plane) {
      cut.setComponent(this.plane.axis, this.plane.away);
      cut.w = this.plane.away * at;
    }
    this.update();
  }

  /** @param {Vector3} point of the world @returns {boolean} whether it is left out */
  hides(point) {
    const { x, y, z, w } = this.shared.cut.value;
    return Boolean(this.plane) && x * point.x + y * point.y + z * point.z > w + 1e-6;
  }

  /** Caps and outlines made to fit the parts as they stand now. */
  update() {
    const boxes = this.plane ? this.parts.boxes() : new Map();
    for (const id of this.#caps.keys()) if (!this.parts.byId.has(id)) this.#drop(id);
    let number = 0;
    const cuts = [];
    for (const [id, shown] of this.parts.byId) {
      number += 1;
      const box = boxes.get(id);
      const through = box && box.low[this.plane.axis] < this.at && box.high[this.plane.axis] > this.at;
      const cap = this.#caps.get(id) || (through && this.#make(id, shown, number));
      if (cap) this.#fit(cap, shown, through ? box : null);
      if (through) crossings(shown, this.shared.cut.value, cuts);
    }
    this.#draw(cuts);
  }

  #make(id, shown, number) {
    const back = new Mesh(shown.shape.body, this.back);
    const front = new Mesh(shown.shape.body, this.front);
    const material = capMaterial(this.shared, shown.wood, 1);
    for (const name of ["tint", "tinted", "pale"]) material.uniforms[name] = shown.wooden.uniforms[name];
    material.stencilWrite = true;
    material.stencilRef = 0;
    material.stencilFunc = NotEqualStencilFunc;
    material.stencilFail = material.stencilZFail = material.stencilZPass = ZeroStencilOp;
    const face = new Mesh(this.#square, material);
    [back, front, face].forEach((mesh, i) => {
      mesh.matrixAutoUpdate = false;
      mesh.frustumCulled = false;
      mesh.renderOrder = 5 + (3 * number + i) / 1000;
      this.scene.add(mesh);
    });
    const cap = { back, front, face };
    this.#caps.set(id, cap);
    return cap;
  }

  #fit({ back, front, face }, shown, box) {
    for (const mesh of [back, front, face]) mesh.visible = Boolean(box);
    if (!box) return;
    face.material.uniforms.slope.value = this.slopes.get(shown.part.id) || 1;
    for (const mesh of [back, front]) {
      mesh.geometry = shown.shape.body;
      mesh.matrix.copy(shown.group.matrix);
    }
    const { axis } = this.plane;
    const size = box.low.map((low, i) => box.high[i] - low + 2);
    const middle = box.low.map((low, i) => (low + box.high[i]) / 2);
    middle[axis] = this.at;
    const way = (i) => new Vector3().setComponent(i, 1);
    const [one, two] = [(axis + 1) % 3, (axis + 2) % 3];
    face.matrix.copy(
      new Matrix4()
        .makeBasis(way(one).multiplyScalar(size[one]), way(two).multiplyScalar(size[two]), way(axis))
        .setPosition(...middle),
    );
    for (const mesh of [back, front, face]) mesh.updateMatrixWorld(true);
  }

  #draw(cuts) {
    if (this.#outline) {
      this.scene.remove(this.#outline);
      this.#outline.geometry.dispose();
      this.#outline = null;
    }
    if (!cuts.length) return;
    this.#outline = new Mesh(lineGeometry(new Float32Array(cuts)), this.line);
    this.#outline.frustumCulled = false;
    this.#outline.renderOrder = 21;
    this.scene.add(this.#outline);
  }

  #drop(id) {
    const { back, front, face } = this.#caps.get(id);
    this.scene.remove(back, front, face);
    face.material.dispose();
    this.#caps.delete(id);
  }

  /** Gives everything back. */
  dispose() {
    for (const id of [...this.#caps.keys()]) this.#drop(id);
    this.#draw([]);
    this.#square.dispose();
    for (const material of [this.back, this.front, this.line]) material.dispose();
  }
}

/** Adds the lines, in the world, where a plane crosses a part. @param {object} shown @param {object} cut @param {number[]} to */
export function crossings(shown, cut, to) {
  const { positions, indices } = shown.shape.raw;
  const m = shown.group.matrix.elements;
  const [a, b, c] = [0, 4, 8].map((k) => cut.x * m[k] + cut.y * m[k + 1] + cut.z * m[k + 2]);
  const d = cut.x * m[12] + cut.y * m[13] + cut.z * m[14] - cut.w;
  const height = new Float64Array(positions.length / 3);
  for (let i = 0; i < height.length; i += 1) {
    height[i] = a * positions[3 * i] + b * positions[3 * i + 1] + c * positions[3 * i + 2] + d;
  }
  for (let t = 0; t < indices.length; t += 3) {
    const corners = [indices[t], indices[t + 1], indices[t + 2]];
    const above = corners.map((i) => height[i] >= 0);
    if (above[0] === above[1] && above[1] === above[2]) continue;
    for (let k = 0; k < 3; k += 1) {
      const [one, two] = [corners[k], corners[(k + 1) % 3]];
      if (above[k] === above[(k + 1) % 3]) continue;
      const share = height[one] / (height[one] - height[two]);
      const [x, y, z] = [0, 1, 2].map(
        (n) => positions[3 * one + n] + share * (positions[3 * two + n] - positions[3 * one + n]),
      );
      for (let n = 0; n < 3; n += 1) to.push(m[n] * x + m[4 + n] * y + m[8 + n] * z + m[12 + n]);
    }
  }
}
