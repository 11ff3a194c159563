/**
 * gestures.js: mouse, fingers and keys on the picture. One finger or the left button turns, two fingers or another
 * button (or Shift) move and bring nearer, the wheel brings nearer, a tap picks.
 */
const STEP = Math.PI / 12;
const TAP = 6;

const KEYS = {
  ArrowLeft: (eye) => eye.rotate(-STEP, 0),
  ArrowRight: (eye) => eye.rotate(STEP, 0),
  ArrowUp: (eye) => eye.rotate(0, STEP),
  ArrowDown: (eye) => eye.rotate(0, -STEP),
  "+": (eye) => eye.zoom(1 / 1.2),
  "=": (eye) => eye.zoom(1 / 1.2),
  "-": (eye) => eye.zoom(1.2),
  _: (eye) => eye.zoom(1.2),
};
const VIEW_KEYS = { 1: "front", 2: "side", 3: "plan", 4: "pictorial" };

/**
 * @param {HTMLCanvasElement} canvas
 * @param {{eye: object, changed: () => void, pick: (x: number, y: number) => void, hover: (x: number, y: number) => void,
 *   view: (name: string) => void, whole: () => void, leave: () => void}} to
 * @returns {() => void} takes everything off again
 */
export function listen(canvas, to) {
  const held = new Map();
  let moved = 0;
  const off = new AbortController();
  const on = (name, fn, options = {}) => canvas.addEventListener(name, fn, { signal: off.signal, ...options });

  const place = (event) => {
    const box = canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top, wide: box.width, high: box.height };
  };

  on("pointerdown", (event) => {
    if (held.size === 0) moved = 0;
    held.set(event.pointerId, place(event));
    canvas.setPointerCapture(event.pointerId);
  });
  on("pointermove", (event) => {
    const before = held.get(event.pointerId);
    const now = place(event);
    if (!before) {
      if (event.pointerType === "mouse") to.hover(now.x, now.y);
      return;
    }
    if (held.size === 2) spread(held, event.pointerId, now, to.eye);
    else if (held.size === 1) drag(event, before, now, to.eye);
    moved += Math.hypot(now.x - before.x, now.y - before.y);
    held.set(event.pointerId, now);
    if (moved > TAP) to.changed();
  });
  const release = (event, tapped) => {
    const known = held.delete(event.pointerId);
    if (known && tapped && held.size === 0 && moved <= TAP) {
      const { x, y } = place(event);
      to.pick(x, y);
    }
  };
  on("pointerup", (event) => release(event, event.button === 0));
  on("pointercancel", (event) => release(event, false));
  on("pointerleave", () => to.leave());
  on("contextmenu", (event) => event.preventDefault());
  on(
    "wheel",
    (event) => {
      event.preventDefault();
      const { x, y, wide, high } = place(event);
      const step = Math.max(-1, Math.min(1, event.deltaY / (event.deltaMode === 1 ? 6 : 200)));
      to.eye.zoom(1.35 ** step, (x / wide) * 2 - 1, 1 - (y / high) * 2);
      to.changed();
    },
    { passive: false },
  );
  on("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (KEYS[event.key]) KEYS[event.key](to.eye);
    else if (VIEW_KEYS[event.key]) to.view(VIEW_KEYS[event.key]);
    else if (event.key === "0") to.whole();
    else return;
    event.preventDefault();
    to.changed();
  });
  return () => off.abort();
}

function drag(event, before, now, eye) {
  const [x, y] = [now.x - before.x, now.y - before.y];
  if ((event.buttons & 1) === 0 || event.shiftKey) eye.pan((2 * x) / now.high, (-2 * y) / now.high);
  else eye.rotate((-x / now.high) * 3.2, (y / now.high) * 3.2);
}

function spread(held, id, now, eye) {
  const [other] = [...held.entries()].filter(([each]) => each !== id).map(([, at]) => at);
  const before = held.get(id);
  const [was, is] = [Math.hypot(before.x - other.x, before.y - other.y), Math.hypot(now.x - other.x, now.y - other.y)];
  eye.pan((now.x - before.x) / now.high, -(now.y - before.y) / now.high);
  if (was > 10 && is > 10) {
    const [x, y] = [(now.x + other.x) / 2, (now.y + other.y) / 2];
    eye.zoom(was / is, (x / now.wide) * 2 - 1, 1 - (y / now.high) * 2);
  }
}
