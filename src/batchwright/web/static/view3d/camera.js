/**
 * camera.js: where the piece is looked at from. x to the right as seen from the front, y from front to back, z up.
 * Perspective while it is turned; front, side and plan are flat, as on the drawings.
 */
import { Matrix4, OrthographicCamera, PerspectiveCamera, Vector3 } from "../vendor/three.min.js";

const FIELD = (20 * Math.PI) / 180;
const HALF = Math.tan(FIELD / 2);
const MARGIN = 1.08;
const STEEPEST = Math.PI / 2;
const LOWEST = (-80 * Math.PI) / 180;
const GLIDE = 220;

/** The views by name: azimuth from the front towards +x, height [rad], flat or not; as on the drawings. */
export const VIEWS = Object.freeze({
  pictorial: { turn: Math.atan2(0.48, 0.76), rise: Math.asin(0.44 / Math.hypot(0.48, 0.76, 0.44)), flat: false },
  front: { turn: 0, rise: 0, flat: true },
  side: { turn: Math.PI / 2, rise: 0, flat: true },
  plan: { turn: 0, rise: Math.PI / 2, flat: true },
});

/** What the camera looks at and from where; `spread` is half the height of the picture at the target [mm]. */
export class Eye {
  #perspective = new PerspectiveCamera((FIELD * 180) / Math.PI, 1, 1, 10);
  #flat = new OrthographicCamera(-1, 1, 1, -1, 1, 10);
  #glide = null;

  constructor() {
    this.target = new Vector3();
    this.spread = 500;
    this.aspect = 1;
    this.view = "pictorial";
    this.fitted = true;
    this.covered = { top: 0, side: 0 }; // shares of the picture under buttons: above, at the right
    this.room = { low: new Vector3(-1, -1, -1), high: new Vector3(1, 1, 1) };
    this.points = [];
    Object.assign(this, VIEWS.pictorial);
  }

  /** Directions of the picture in the world: right, up, towards the viewer. */
  axes() {
    const [s, c] = [Math.sin(this.turn), Math.cos(this.turn)];
    const [up, level] = [Math.sin(this.rise), Math.cos(this.rise)];
    const right = new Vector3(c, s, 0);
    const towards = new Vector3(s * level, -c * level, up);
    return { right, up: towards.clone().cross(right), towards };
  }

  /** @returns {PerspectiveCamera|OrthographicCamera} the camera, set for the next picture */
  camera() {
    const camera = this.flat ? this.#flat : this.#perspective;
    const { right, up, towards } = this.axes();
    const far = this.spread / HALF;
    const at = this.target.clone().addScaledVector(towards, far);
    camera.matrixAutoUpdate = false;
    camera.matrix.copy(new Matrix4().makeBasis(right, up, towards).setPosition(at));
    camera.matrixWorldNeedsUpdate = true;
    const depth = cornersOf(this.room.low, this.room.high).map((corner) => far - corner.sub(this.target).dot(towards));
    const [near, end] = [Math.min(...depth), Math.max(...depth)];
    const loose = 0.02 * (end - near) + 1;
    camera.near = this.flat ? near - loose : Math.max(near - loose, far * 0.02);
    camera.far = Math.max(end + loose, camera.near + 10);
    if (this.flat) {
      [camera.left, camera.right] = [-this.spread * this.aspect, this.spread * this.aspect];
      [camera.bottom, camera.top] = [-this.spread, this.spread];
    } else {
      camera.aspect = this.aspect;
    }
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld(true);
    return camera;
  }

  /** The target and spread that show the whole room from here, clear of what lies over the picture. */
  whole() {
    const target = this.room.low.clone().add(this.room.high).multiplyScalar(0.5);
    const { right, up, towards } = this.axes();
    const { top, side } = this.covered;
    const [high, wide] = [1 - top, this.aspect * (1 - side)];
    let spread = 1;
    const away = new Vector3();
    for (const point of this.points) {
      away.copy(point).sub(target);
      const beside = Math.max(Math.abs(away.dot(up)) / high, Math.abs(away.dot(right)) / wide);
      spread = Math.max(spread, this.flat ? beside : beside + away.dot(towards) * HALF);
    }
    spread *= MARGIN;
    target.addScaledVector(up, spread * top).addScaledVector(right, spread * this.aspect * side);
    return { target, spread };
  }

  /** Shows all of it, at once. */
  fit() {
    this.#glide = null;
    Object.assign(this, this.whole());
    this.fitted = true;
  }

  /**
   * New room: seen whole if it was and no longer is.
   * @param {Iterable<{low: number[], high: number[]}>} boxes of the parts @param {boolean} anew
   */
  setRoom(boxes, anew) {
    const [low, high] = [new Vector3(Infinity, Infinity, Infinity), new Vector3(-Infinity, -Infinity, -Infinity)];
    this.points = [];
    for (const box of boxes) {
      low.min(new Vector3(...box.low));
      high.max(new Vector3(...box.high));
      this.points.push(...cornersOf(new Vector3(...box.low), new Vector3(...box.high)));
    }
    this.room = { low, high };
    if (anew) return this.fit();
    if (!this.fitted) return undefined;
    const { target, spread } = this.whole();
    if (spread > this.spread * 1.001 || spread < this.spread * 0.8) Object.assign(this, { target, spread });
    return undefined;
  }

  /** Goes to a view by name, gliding if there is time. @param {string} name @param {number|null} now [ms] */
  go(name, now) {
    const before = { turn: this.turn, rise: this.rise, spread: this.spread, target: this.target.clone() };
    Object.assign(this, VIEWS[name]);
    this.view = name;
    this.fit();
    if (now === null) return;
    const after = { turn: this.turn, rise: this.rise, spread: this.spread, target: this.target.clone() };
    before.turn = after.turn + nearest(before.turn - after.turn);
    this.#glide = { before, after, begun: now, flat: this.flat };
    this.step(now);
  }

  /** One step of a glide. @param {number} now [ms] @returns {boolean} whether it goes on */
  step(now) {
    if (!this.#glide) return false;
    const { before, after, begun, flat } = this.#glide;
    const share = Math.min(1, (now - begun) / GLIDE);
    const eased = share * share * (3 - 2 * share);
    for (const name of ["turn", "rise", "spread"]) this[name] = before[name] + (after[name] - before[name]) * eased;
    this.target = before.target.clone().lerp(after.target, eased);
    this.flat = share < 1 ? false : flat;
    if (share >= 1) this.#glide = null;
    return share < 1;
  }

  /** Turns about the target. @param {number} turn [rad] @param {number} rise [rad] */
  rotate(turn, rise) {
    this.#free();
    this.turn = nearest(this.turn + turn);
    this.rise = Math.min(STEEPEST, Math.max(LOWEST, this.rise + rise));
    this.flat = false;
    this.view = "";
    if (this.fitted) Object.assign(this, this.whole());
  }

  /** Moves the picture by shares of half its height. @param {number} x @param {number} y */
  pan(x, y) {
    this.#free();
    this.fitted = false;
    const { right, up } = this.axes();
    this.target.addScaledVector(right, -x * this.spread).addScaledVector(up, -y * this.spread);
  }

  /** Nearer (below 1) or farther, about a point of the picture (-1 to 1 both ways). */
  zoom(by, x = 0, y = 0) {
    this.#free();
    this.fitted = false;
    const before = this.spread;
    this.spread = Math.min(2e5, Math.max(2, before * by));
    const { right, up } = this.axes();
    const moved = before - this.spread;
    this.target.addScaledVector(right, x * this.aspect * moved).addScaledVector(up, y * moved);
  }

  #free() {
    if (this.#glide) this.step(this.#glide.begun + GLIDE);
  }
}

/** @param {number} angle @returns {number} the same angle between -pi and pi */
function nearest(angle) {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
}

/** @param {Vector3} low @param {Vector3} high @returns {Vector3[]} the eight corners of a box */
function cornersOf(low, high) {
  return [0, 1, 2, 3, 4, 5, 6, 7].map(
    (i) => new Vector3(i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z),
  );
}
