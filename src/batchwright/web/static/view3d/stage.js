/**
 * stage.js: the canvas and its renderer. Draws when asked and never otherwise; survives the loss of its context.
 */
import { Color, Scene, SRGBColorSpace, WebGLRenderer } from "../vendor/three.min.js";

const FINEST = 2;

/** @returns {WebGLRenderer|null} null where the browser has no WebGL */
function rendererOn(canvas) {
  const attributes = { antialias: true, alpha: false, stencil: true, depth: true, powerPreference: "low-power" };
  const context = canvas.getContext("webgl2", attributes);
  if (!context) return null;
  try {
    const renderer = new WebGLRenderer({ canvas, context, ...attributes });
    renderer.sortObjects = true;
    renderer.autoClearStencil = true;
    return renderer;
  } catch {
    return null;
  }
}

export class Stage {
  #renderer;
  #frame = 0;
  #off = new AbortController();

  /**
   * @param {HTMLCanvasElement} canvas
   * @param {{shared: object, eye: object, before: () => void, after: (camera: object) => void,
   *   lost: (lost: boolean) => void, covered: (wide: number, high: number) => {top: number, side: number}}} parts
   * @returns {Stage|null}
   */
  static on(canvas, parts) {
    const renderer = rendererOn(canvas);
    return renderer ? new Stage(canvas, renderer, parts) : null;
  }

  constructor(canvas, renderer, parts) {
    Object.assign(this, { canvas, ...parts, scene: new Scene(), frames: 0, took: 0 });
    this.#renderer = renderer;
    this.scene.matrixWorldAutoUpdate = true;
    canvas.style.visibility = "hidden"; // black until it is drawn on
    const { signal } = this.#off;
    canvas.addEventListener(
      "webglcontextlost",
      (event) => {
        event.preventDefault();
        this.lost(true);
      },
      { signal },
    );
    canvas.addEventListener(
      "webglcontextrestored",
      () => {
        this.lost(false);
        this.draw();
      },
      { signal },
    );
  }

  /** Draws at the next turn of the screen; many calls make one picture. */
  draw() {
    if (!this.#frame) this.#frame = requestAnimationFrame((now) => this.#now(now));
  }

  /** Draws at once, for who needs the picture before the next turn of the screen. */
  drawNow() {
    cancelAnimationFrame(this.#frame);
    this.#now(performance.now());
  }

  #now(now) {
    this.#frame = 0;
    if (this.#renderer.getContext().isContextLost() || !this.canvas.width) return;
    const begun = performance.now();
    if (this.eye.step(now)) this.draw();
    this.before();
    const camera = this.eye.camera();
    this.#lay();
    this.#renderer.render(this.scene, camera);
    if (!this.frames) this.canvas.style.visibility = "";
    this.frames += 1;
    this.took = performance.now() - begun;
    this.after(camera);
  }

  /** Takes on the size of the box the canvas lies in. @returns {boolean} whether it changed */
  resize() {
    const box = this.canvas.parentElement.getBoundingClientRect();
    const dots = Math.min(FINEST, window.devicePixelRatio || 1);
    const [wide, high] = [Math.max(1, Math.floor(box.width)), Math.max(1, Math.floor(box.height))];
    const same = wide === this.wide && high === this.high && dots === this.dots;
    if (same) return false;
    Object.assign(this, { wide, high, dots });
    this.#renderer.setPixelRatio(dots);
    this.#renderer.setSize(wide, high, false);
    this.shared.size.value.set(Math.floor(wide * dots), Math.floor(high * dots));
    this.shared.dots.value = dots;
    this.eye.aspect = wide / high;
    this.eye.covered = this.covered(wide, high);
    if (this.eye.fitted) this.eye.fit();
    if (this.frames) this.drawNow(); // a canvas of a new size is empty until it is drawn on
    else this.#blank();
    return true;
  }

  /** The paper with nothing on it: a canvas that was never drawn on is black. */
  #blank() {
    if (this.#renderer.getContext().isContextLost()) return;
    this.#lay();
    this.#renderer.clear();
  }

  #lay() {
    const { x, y, z } = this.shared.paper.value;
    this.#renderer.setClearColor(new Color().setRGB(x, y, z, SRGBColorSpace), 1);
  }

  /** Gives everything back. */
  dispose() {
    cancelAnimationFrame(this.#frame);
    this.#off.abort();
    this.#renderer.dispose();
  }
}
