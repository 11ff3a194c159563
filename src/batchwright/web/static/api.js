/**
 * api.js: everything that crosses the wire. No state is kept here beyond the connection to `/api/events`.
 *
 * What other modules may use:
 *
 *   getJson(path, {signal})            -> Promise<object>     the JSON of a GET
 *   postJson(path, body, {signal})     -> Promise<object>     the JSON of a POST
 *   postBinary(path, body, {signal})   -> Promise<{json, meshes}>   a POST answered with JSON and meshes
 *   decodeAnswer(buffer)               -> {json, meshes}      meshes: Map key -> Mesh (typed arrays, see below)
 *   new Latest(run)                    one request in flight; of those that wait, only the newest goes
 *   openEvents(onNews, onLine)         -> () => void          server-sent events; calls back to close
 *   sheetPage(key, page, revision, stage) -> string             address of one printed page (SVG)
 *   download(name)                     -> string              address of a file of the packet
 *   Refused                            the error of an answer that is not ok: {status, faults, body}
 *   Silent                             the error when no answer came at all
 *
 * A Mesh is {positions: Float32Array, normals: Float32Array, indices: Uint32Array, edges: Float32Array, tenons, soft}:
 * millimetres in the part's drawing frame; `edges` are pairs of points. The last `tenons` triangles are faces of tenons,
 * the last `soft` edges are where a rounding begins and ends.
 */

/** @typedef {{positions: Float32Array, normals: Float32Array, indices: Uint32Array, edges: Float32Array,
 *   tenons: number, soft: number}} Mesh */
/** @typedef {{code: string, what: string, why: string, mend: string, mends?: object[], file?: string, line?: number,
 *   column?: number, level?: string}} Fault */

/** An answer that the server gave and that is not ok. */
export class Refused extends Error {
  /** @param {number} status @param {Fault[]} faults @param {object} body */
  constructor(status, faults, body) {
    super(faults.length ? faults[0].what : `the server answered ${status}`);
    this.name = "Refused";
    this.status = status;
    this.faults = faults;
    this.body = body;
  }

  /** @param {string} code @returns {boolean} whether one of the faults is of this code */
  has(code) {
    return this.faults.some((fault) => fault.code === code);
  }
}

/** No answer at all: the server has stopped, or the line is down. */
export class Silent extends Error {
  constructor() {
    super("the server does not answer");
    this.name = "Silent";
  }
}

/** @param {string} path @param {RequestInit} [options] @returns {Promise<Response>} a response that is ok */
async function ask(path, options = {}) {
  let response;
  try {
    response = await fetch(path, { credentials: "same-origin", cache: "no-store", ...options });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Silent();
  }
  if (response.ok) return response;
  let body = {};
  try {
    body = await response.json();
  } catch {
    // not JSON: the status alone has to do
  }
  throw new Refused(response.status, Array.isArray(body.faults) ? body.faults : [], body);
}

let parting = false; // the page is being closed: what is sent now must outlive it
window.addEventListener("pagehide", () => (parting = true), true);
window.addEventListener("pageshow", () => (parting = false), true);
const MOST_PARTING = 60_000; // bytes: browsers let no more outlive a page

/** @param {object} body @param {AbortSignal} [signal] @returns {RequestInit} */
function posting(body, signal) {
  const text = JSON.stringify(body);
  const keepalive = parting && new Blob([text]).size < MOST_PARTING;
  return { method: "POST", headers: { "Content-Type": "application/json" }, body: text, signal, keepalive };
}

/**
 * @param {string} path
 * @param {{signal?: AbortSignal}} [options]
 * @returns {Promise<object>}
 */
export async function getJson(path, { signal } = {}) {
  return (await ask(path, { signal })).json();
}

/**
 * @param {string} path
 * @param {object} body
 * @param {{signal?: AbortSignal}} [options]
 * @returns {Promise<object>}
 */
export async function postJson(path, body, { signal } = {}) {
  return (await ask(path, posting(body, signal))).json();
}

/**
 * @param {string} path
 * @param {object} body
 * @param {{signal?: AbortSignal}} [options]
 * @returns {Promise<{json: object, meshes: Map<string, Mesh>}>}
 */
export async function postBinary(path, body, { signal } = {}) {
  const response = await ask(path, posting(body, signal));
  const kind = response.headers.get("Content-Type") || "";
  if (kind.includes("json")) return { json: await response.json(), meshes: new Map() };
  return decodeAnswer(await response.arrayBuffer());
}

/**
 * Takes a binary answer apart: uint32 (little endian) length of the JSON, the JSON padded to a multiple of four,
 * then the buffers, each named by byte offset and count in the JSON.
 * @param {ArrayBuffer} buffer
 * @returns {{json: object, meshes: Map<string, Mesh>}}
 */
export function decodeAnswer(buffer) {
  const length = new DataView(buffer).getUint32(0, true);
  const json = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
  const start = 4 + length;
  const floats = ([offset, count]) => new Float32Array(buffer, start + offset, count);
  const whole = ([offset, count]) => new Uint32Array(buffer, start + offset, count);
  const meshes = new Map();
  const described = (json.answer && json.answer.meshes) || json.meshes || {};
  for (const [key, at] of Object.entries(described)) {
    meshes.set(key, {
      ...at,
      positions: floats(at.positions),
      normals: floats(at.normals),
      indices: whole(at.indices),
      edges: floats(at.edges || [0, 0]),
      tenons: at.tenons || 0,
      soft: at.soft || 0,
    });
  }
  return { json, meshes };
}

/**
 * One request in flight. What is asked meanwhile waits; of those that wait only the newest is sent, so the last
 * value always comes out right and the server never has a queue.
 * @template T
 */
export class Latest {
  /** @param {(asked: T) => Promise<void>} run */
  constructor(run) {
    this.run = run;
    this.busy = false;
    this.waiting = null;
  }

  /** @param {T} asked */
  ask(asked) {
    this.waiting = { asked };
    if (!this.busy) this.#go();
  }

  /** Forget what waits; what is on its way comes back and is judged by its revision. */
  drop() {
    this.waiting = null;
  }

  async #go() {
    this.busy = true;
    try {
      while (this.waiting) {
        const { asked } = this.waiting;
        this.waiting = null;
        await this.run(asked);
      }
    } finally {
      this.busy = false;
    }
  }
}

/**
 * Listens to the server's news. The browser connects again by itself; `onLine(false)` tells that the line is down.
 * @param {(news: object) => void} onNews
 * @param {(up: boolean) => void} onLine
 * @returns {() => void} closes the line
 */
export function openEvents(onNews, onLine) {
  const source = new EventSource("/api/events");
  source.onopen = () => onLine(true);
  source.onerror = () => onLine(false);
  source.onmessage = (event) => {
    try {
      onNews(JSON.parse(event.data));
    } catch {
      // a line that is no JSON is no news
    }
  };
  return () => source.close();
}

/**
 * @param {string} key @param {number} page from 1 @param {number} revision
 * @param {number} [stage] of the boards: the same revision is drawn anew when better boards are found
 * @returns {string}
 */
export function sheetPage(key, page, revision, stage = 0) {
  return `/api/page?key=${encodeURIComponent(key)}&page=${page}&revision=${revision}&stage=${stage}`;
}

/** @param {string} name @returns {string} */
export function download(name) {
  return `/api/file?name=${encodeURIComponent(name)}`;
}
