/** words.js: lengths in the file's units, and what is said of the picture, of a part and of a joint. */

const INCH = 25.4;

/**
 * @param {number} mm
 * @param {string} units "in" or "mm" of the file
 * @returns {string} to the nearest 1/32 in or half millimetre, with its unit
 */
export function lengthText(mm, units) {
  const sign = mm < 0 ? "-" : "";
  const size = Math.abs(mm);
  if (units !== "in") {
    const half = Math.round(size * 2) / 2;
    return `${half ? sign : ""}${half} mm`;
  }
  let parts = Math.round((size / INCH) * 32);
  const whole = Math.floor(parts / 32);
  parts %= 32;
  let over = 32;
  while (parts && parts % 2 === 0) {
    parts /= 2;
    over /= 2;
  }
  const number = parts ? `${whole ? `${whole} ` : ""}${parts}/${over}` : `${whole}`;
  return `${number === "0" ? "" : sign}${number} in`;
}

/** How a cut runs, by the name of its plane. */
export const CUT_WORDS = Object.freeze({ across: "across", deep: "along", high: "level" });

/** @param {string} plane @param {number} at [mm] @param {string} units @returns {string} where a cut is, in words */
export function cutText(plane, at, units) {
  const far = lengthText(Math.abs(at), units);
  if (plane === "high") return `at ${lengthText(at, units)} up`;
  if (plane === "deep") return at < 0 ? `${far} before the front` : `at ${far} from the front`;
  if (Math.abs(at) < 0.25) return "at the middle";
  return `${far} ${at < 0 ? "left" : "right"} of the middle`;
}

/** @param {object} answer @returns {string} what the picture shows, for who does not see it */
export function pictureText(answer) {
  if (!answer || !answer.piece || !answer.box) return "The piece in three dimensions: nothing to show yet.";
  const { name, units } = answer.piece;
  const [wide, deep, high] = sizeOf(answer.box).map((size) => lengthText(size, units));
  const count = answer.parts.length;
  const state = answer.grey ? " This is the last sound drawing, older than the text." : "";
  return (
    `${name} in three dimensions: ${wide} wide, ${deep} deep, ${high} high, ${count} ${count === 1 ? "part" : "parts"}.` +
    `${state} Arrow keys turn it, plus and minus bring it nearer or farther, 0 shows it whole, ` +
    "1 to 4 show the front, the side, the plan and the pictorial view."
  );
}

/** @param {number[][]} box @returns {number[]} */
export function sizeOf([low, high]) {
  return low.map((value, axis) => high[axis] - value);
}

/** @param {object} part @param {number} joints @returns {string} */
export function partText(part, joints) {
  const made = joints === 0 ? "no joints" : joints === 1 ? "1 joint" : `${joints} joints`;
  return `${part.id}, ${part.shown}, ${made}`;
}

const KINDS = { tenon: "tenon", loose: "loose tenon", dowel: "dowels" };
const TOLD = ["thickness", "width", "length", "depth", "diameter"];

/**
 * @param {object} joint or fixing of the answer
 * @param {string} part whose joint it is looked at as
 * @returns {string} the other part, what kind of joint, its sizes
 */
export function jointText(joint, part) {
  const other = joint.part === part ? `into ${joint.into}` : `${joint.part} comes in`;
  const kind = KINDS[joint.kind] || joint.kind;
  const form = joint.form && joint.form !== "blind" ? `${joint.form} ` : "";
  const sizes = (joint.sizes || []).filter((size) => TOLD.includes(size.name)).slice(0, 3);
  const told = sizes.map((size) => `${size.name} ${size.shown}`).join(", ");
  const size = joint.size ? ` ${joint.size}` : "";
  return `${other}: ${form}${kind}${size}${told ? `, ${told}` : ""}`;
}
