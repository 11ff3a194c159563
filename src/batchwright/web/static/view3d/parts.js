/**
 * parts.js: the parts of the answer as things to draw. A mesh stays as long as a part uses it; a new answer changes what
 * is there in place.
 */
import {
  BufferAttribute, BufferGeometry, Group, InterleavedBuffer, InterleavedBufferAttribute, Matrix4, Mesh, Sphere, Vector3,
} from "../vendor/three.min.js";
import { hiddenMaterial, hullMaterial, lineMaterial, rgb, woodColour, woodMaterial } from "./look.js";

const GLASS = 0.13;

/** The corners of a line's strip: which end, which side. */
const CORNERS = [[0, -1], [1, -1], [1, 1], [0, 1]];
const STRIDE = 8;

/**
 * A strip as wide as a line for each pair of points. (Not instanced: where WebGL runs without a graphics card, an
 * instance of four corners costs as much as a thing of its own.)
 * @param {Float32Array} edges pairs of points @param {number} soft how many of the last are drawn fainter
 * @returns {BufferGeometry}
 */
export function lineGeometry(edges, soft = 0) {
  const count = edges.length / 6;
  const numbers = new Float32Array(count * 4 * STRIDE);
  const turns = new Uint32Array(count * 6);
  for (let i = 0; i < count; i += 1) {
    const edge = edges.subarray(6 * i, 6 * i + 6);
    const faint = i < count - soft ? 0 : 2;
    for (let k = 0; k < 4; k += 1) {
      const at = (4 * i + k) * STRIDE;
      numbers.set(edge, at);
      numbers[at + 6] = CORNERS[k][0] + faint;
      numbers[at + 7] = CORNERS[k][1];
    }
    const first = 4 * i;
    turns.set([first, first + 1, first + 2, first, first + 2, first + 3], 6 * i);
  }
  const buffer = new InterleavedBuffer(numbers, STRIDE);
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new InterleavedBufferAttribute(buffer, 3, 0));
  geometry.setAttribute("end", new InterleavedBufferAttribute(buffer, 3, 3));
  geometry.setAttribute("corner", new InterleavedBufferAttribute(buffer, 2, 6));
  geometry.setIndex(new BufferAttribute(turns, 1));
  geometry.boundingSphere = new Sphere();
  return geometry;
}

/** One mesh of the answer on the graphics card, with how many parts use it. */
class Shape {
  constructor(mesh) {
    this.uses = 0;
    this.raw = mesh;
    this.body = new BufferGeometry();
    this.body.setAttribute("position", new BufferAttribute(mesh.positions, 3));
    this.body.setAttribute("normal", new BufferAttribute(mesh.normals, 3));
    this.body.setIndex(new BufferAttribute(mesh.indices, 1));
    const tenons = 3 * (mesh.tenons || 0);
    this.body.addGroup(0, mesh.indices.length - tenons, 0);
    if (tenons) this.body.addGroup(mesh.indices.length - tenons, tenons, 1);
    this.body.computeBoundingBox();
    this.body.computeBoundingSphere();
    this.lines = lineGeometry(mesh.edges, mesh.soft);
  }

  dispose() {
    this.body.dispose();
    this.lines.dispose();
  }

  /** The grain where nobody told it: the long way. */
  get long() {
    const { min, max } = this.body.boundingBox;
    const size = [max.x - min.x, max.y - min.y, max.z - min.z];
    const axis = size.indexOf(Math.max(...size));
    return new Vector3(axis === 0 ? 1 : 0, axis === 1 ? 1 : 0, axis === 2 ? 1 : 0);
  }
}

/** One part: its wood, its tenons (for looking into joints), its lines, its outline. */
class Shown {
  constructor(shared, colours) {
    this.group = new Group();
    this.group.matrixAutoUpdate = false;
    this.home = new Matrix4();
    this.grain = new Vector3(1, 0, 0);
    this.wood = new Vector3();
    this.wooden = woodMaterial(shared, this.grain, this.wood);
    this.tenon = woodMaterial(shared, this.grain, this.wood);
    this.line = lineMaterial(shared, colours.ink.clone(), 1);
    this.hull = hullMaterial(shared, this.line.uniforms.colour.value);
    this.hidden = hiddenMaterial(this.line);
    this.materials = [this.wooden, this.tenon, this.line, this.hull, this.hidden];
  }

  /** Takes on a shape: new things to draw, or the same with another geometry. */
  wear(shape) {
    this.shape = shape;
    if (this.body) {
      this.body.geometry = shape.body;
      this.outline.geometry = shape.body;
      this.lines.geometry = this.behind.geometry = shape.lines;
      return;
    }
    this.body = new Mesh(shape.body, this.wooden);
    this.outline = new Mesh(shape.body, this.hull);
    this.lines = new Mesh(shape.lines, this.line);
    this.lines.frustumCulled = false;
    this.lines.renderOrder = 20;
    this.behind = new Mesh(shape.lines, this.hidden);
    this.behind.frustumCulled = false;
    this.behind.renderOrder = 19;
    this.group.add(this.body, this.outline, this.lines, this.behind);
  }

  dispose() {
    for (const material of this.materials) material.dispose();
  }
}

export class PartSet {
  #shapes = new Map();

  /** @param {object} scene @param {object} shared @param {object} colours */
  constructor(scene, shared, colours) {
    Object.assign(this, { scene, shared, colours, byId: new Map(), cut: false, glass: false });
  }

  /** Shows the parts of an answer. @param {object} answer @param {Map<string, object>} meshes */
  update(answer, meshes) {
    const gone = new Set(this.byId.keys());
    for (const part of answer.parts) {
      const mesh = meshes.get(part.mesh);
      if (!mesh) continue;
      gone.delete(part.id);
      this.#put(part, mesh, answer.piece);
    }
    for (const id of gone) this.#drop(id);
    for (const [key, shape] of this.#shapes) {
      if (shape.uses > 0) continue;
      shape.dispose();
      this.#shapes.delete(key);
    }
  }

  #put(part, mesh, piece) {
    let shown = this.byId.get(part.id);
    if (!shown) {
      shown = new Shown(this.shared, this.colours);
      shown.group.userData.part = part.id;
      this.byId.set(part.id, shown);
      this.scene.add(shown.group);
      this.#define(shown);
    }
    if (shown.key !== part.mesh) {
      if (shown.key) this.#shapes.get(shown.key).uses -= 1;
      const shape = this.#shapes.get(part.mesh) || new Shape(mesh);
      this.#shapes.set(part.mesh, shape);
      shape.uses += 1;
      shown.key = part.mesh;
      shown.wear(shape);
    }
    shown.part = part;
    shown.home.fromArray(part.matrix);
    shown.wood.copy(rgb(woodColour(part.wood || (piece && piece.wood))));
    if (part.grain) shown.grain.fromArray(part.grain);
    else shown.grain.copy(shown.shape.long);
  }

  #drop(id) {
    const shown = this.byId.get(id);
    this.#shapes.get(shown.key).uses -= 1;
    this.scene.remove(shown.group);
    shown.dispose();
    this.byId.delete(id);
  }

  /** @returns {number} meshes kept */
  get kept() {
    return this.#shapes.size;
  }

  /** Puts every part where it stands, drawn apart. @param {Map<string, number[]>|null} ways @param {number} step [mm] */
  stand(ways, step) {
    for (const [id, shown] of this.byId) {
      const [x, y, z] = (step && ways && ways.get(id)) || [0, 0, 0];
      shown.group.matrix.copy(shown.home);
      shown.group.matrix.elements[12] += x * step;
      shown.group.matrix.elements[13] += y * step;
      shown.group.matrix.elements[14] += z * step;
      shown.group.updateMatrixWorld(true);
    }
  }

  /** @returns {Map<string, {low: number[], high: number[]}>} boxes in the world, by part; where they stand or at home */
  boxes(home = false) {
    const corner = new Vector3();
    const found = new Map();
    for (const [id, shown] of this.byId) {
      const { min, max } = shown.shape.body.boundingBox;
      const [low, high] = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
      for (let i = 0; i < 8; i += 1) {
        corner.set(i & 1 ? max.x : min.x, i & 2 ? max.y : min.y, i & 4 ? max.z : min.z);
        corner.applyMatrix4(home ? shown.home : shown.group.matrix);
        corner.toArray().forEach((value, axis) => {
          low[axis] = Math.min(low[axis], value);
          high[axis] = Math.max(high[axis], value);
        });
      }
      found.set(id, { low, high });
    }
    return found;
  }

  /**
   * Lights parts up, lets the others pale; glass shows the tenons inside.
   * @param {Set<string>} lit @param {boolean} glass
   */
  light(lit, glass) {
    const some = lit.size > 0 && lit.size < this.byId.size;
    const { accent, ink, lit: wash } = this.colours;
    for (const [id, shown] of this.byId) {
      const isLit = some && lit.has(id);
      const pale = some && !isLit;
      for (const material of shown.materials) material.uniforms.pale.value = pale ? 0.62 : 0;
      shown.wooden.uniforms.tint.value.copy(wash);
      shown.wooden.uniforms.tinted.value = isLit ? 0.72 : 0;
      shown.line.uniforms.colour.value.copy(isLit ? accent : ink).lerp(this.colours.paper, isLit ? 0 : 0.22);
      shown.line.uniforms.wide.value = isLit ? 1.8 : 1;
      shown.hull.uniforms.wide.value = isLit ? 1.3 : 0.75;
      shown.outline.visible = !glass;
      shown.behind.visible = isLit && !glass;
      this.#glaze(shown, glass, pale);
    }
  }

  #glaze(shown, glass, pale) {
    const { wooden, tenon, line } = shown;
    if (wooden.transparent !== glass) {
      for (const material of [wooden, line]) {
        material.transparent = glass;
        material.depthWrite = !glass;
        material.needsUpdate = true;
      }
    }
    wooden.uniforms.alpha.value = glass ? (pale ? 0.06 : GLASS) : 1;
    line.uniforms.alpha.value = glass ? (pale ? 0.28 : 0.55) : 1;
    tenon.uniforms.tint.value.copy(this.colours.accent).lerp(this.colours.paper, 0.35);
    tenon.uniforms.tinted.value = 1;
    shown.body.material = glass ? [wooden, tenon] : wooden;
  }

  /** Whether what lies beyond the cut is left out. @param {boolean} cut */
  setCut(cut) {
    if (this.cut === cut) return;
    this.cut = cut;
    for (const shown of this.byId.values()) this.#define(shown);
  }

  #define(shown) {
    for (const material of shown.materials) {
      if (Boolean(material.defines && material.defines.CUT) === this.cut) continue;
      material.defines = this.cut ? { CUT: 1 } : {};
      material.needsUpdate = true;
    }
  }

  /** Gives everything back. */
  dispose() {
    for (const id of [...this.byId.keys()]) this.#drop(id);
    for (const shape of this.#shapes.values()) shape.dispose();
    this.#shapes.clear();
  }
}
