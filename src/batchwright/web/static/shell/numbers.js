/** numbers.js: numbers as the trade writes them, and the steps of a slider. */

const STRIP = 1e-9;

/**
 * @param {number} value inches
 * @returns {string} "17 1/4" where it is a whole number of 64ths, else a decimal
 */
export function inches(value) {
  const parts = Math.round(Math.abs(value) * 64);
  if (Math.abs(parts / 64 - Math.abs(value)) > 1e-6) return decimal(value);
  const sign = value < 0 && parts ? "-" : "";
  const whole = Math.floor(parts / 64);
  let top = parts % 64;
  let bottom = 64;
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  if (!top) return `${sign}${whole}`;
  return `${sign}${whole ? `${whole} ` : ""}${top}/${bottom}`;
}

/** @param {number} value @returns {string} at most four places, no zeros at the end */
export function decimal(value) {
  return String(Number(value.toFixed(4)));
}

/**
 * @param {number} value in the file's units @param {{kind: string}} size @param {string} units "in" or "mm"
 * @returns {string} as it is written in the file
 */
export function fileText(value, size, units) {
  if (size.kind === "angle") return `${decimal(value)} deg`;
  if (size.kind === "number") return decimal(value);
  return units === "in" ? inches(value) : decimal(value);
}

/** @param {number} value @param {{kind: string}} size @param {string} units @returns {string} without its unit */
export function bareText(value, size, units) {
  return fileText(value, size, units).replace(/ deg$/, "");
}

/** @param {{kind: string}} size @param {string} units @returns {string} the unit as it is shown */
export function unitOf(size, units) {
  if (size.kind === "angle") return "°";
  return size.kind === "number" ? "" : units;
}

/**
 * The places a slider can stand at: the low end, every whole step between, the high end.
 * @param {{low: number, high: number, step: number}} size
 * @returns {{count: number, at: (index: number) => number, nearest: (value: number) => number}}
 */
export function places({ low, high, step }) {
  const first = Math.ceil(low / step - STRIP);
  const last = Math.floor(high / step + STRIP);
  const whole = [];
  if (first * step > low + STRIP) whole.push(low);
  const before = whole.length;
  const inner = Math.max(0, last - first + 1);
  const after = inner === 0 || last * step < high - STRIP ? 1 : 0;
  const count = before + inner + after;
  const at = (index) => {
    if (index < before) return low;
    if (index >= before + inner) return high;
    return Number(((first + index - before) * step).toFixed(9));
  };
  const nearest = (value) => {
    if (value <= low) return 0;
    if (value >= high) return count - 1;
    const guess = Math.min(count - 1, Math.max(0, Math.round(value / step) - first + before));
    return guess;
  };
  return { count, at, nearest };
}
