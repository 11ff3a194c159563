/** overlay.js: words and marks that lie over the picture and go with points of the piece. Not for screen readers. */
import { Vector3 } from "../vendor/three.min.js";
import { element } from "./controls.js";

export class Overlay {
  #flat = new Vector3();

  /** @param {HTMLElement} over the box over the canvas */
  constructor(over) {
    this.over = over;
    this.items = [];
  }

  /** What is to be shown: {point, text, kind} each. @param {object[]} items */
  set(items) {
    while (this.items.length < items.length) {
      const tag = element("span", {});
      this.over.append(tag);
      this.items.push({ tag });
    }
    while (this.items.length > items.length) this.items.pop().tag.remove();
    items.forEach(({ point, text, kind }, i) => {
      const item = this.items[i];
      item.point = point;
      item.tag.className = `v3d-tag v3d-${kind}`;
      if (item.tag.textContent !== (text || "")) item.tag.textContent = text || "";
    });
  }

  /** Puts everything where it belongs in this picture. @param {object} camera @param {number} wide @param {number} high */
  place(camera, wide, high) {
    for (const { tag, point } of this.items) {
      this.#flat.copy(point).project(camera);
      const [x, y] = [((this.#flat.x + 1) / 2) * wide, ((1 - this.#flat.y) / 2) * high];
      tag.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
      tag.hidden = Math.abs(this.#flat.x) > 1 || Math.abs(this.#flat.y) > 1;
    }
  }
}
