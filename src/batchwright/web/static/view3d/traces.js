/** traces.js: thin lines from each tenon to its mortise while the piece is drawn apart. */
import { Mesh, Vector3 } from "../vendor/three.min.js";
import { lineMaterial } from "./look.js";
import { lineGeometry } from "./parts.js";

export class Traces {
  #mesh = null;

  constructor(scene, shared, colours) {
    this.scene = scene;
    this.material = lineMaterial(shared, colours.accent, 1);
    this.material.uniforms.pale.value = 0.45;
  }

  /** Lines for these joints as their parts stand now. @param {object[]} joints @param {import("./parts.js").PartSet} parts */
  draw(joints, parts) {
    this.clear();
    const moved = (id) => {
      const { group, home } = parts.byId.get(id);
      return [12, 13, 14].map((i) => group.matrix.elements[i] - home.elements[i]);
    };
    const ends = [];
    for (const { part, into, point } of joints) {
      if (!point || !parts.byId.has(part) || !parts.byId.has(into)) continue;
      for (const id of [part, into]) ends.push(...new Vector3(...moved(id)).add(new Vector3(...point)).toArray());
    }
    if (!ends.length) return;
    this.#mesh = new Mesh(lineGeometry(new Float32Array(ends)), this.material);
    this.#mesh.frustumCulled = false;
    this.#mesh.renderOrder = 18;
    this.scene.add(this.#mesh);
  }

  /** No lines. */
  clear() {
    if (!this.#mesh) return;
    this.scene.remove(this.#mesh);
    this.#mesh.geometry.dispose();
    this.#mesh = null;
  }

  /** Gives everything back. */
  dispose() {
    this.clear();
    this.material.dispose();
  }
}
