/**
 * apart.js: where parts go when the piece is drawn apart. Every joint opens by the same step along its own closing
 * direction, so that each tenon is seen in front of its mortise; a part takes with it what it bears. Across the closing
 * direction parts follow one another as far as they can. Nothing here draws.
 */

/** How strongly parts that meet stay beside one another across the closing direction, and near where they were. */
const ACROSS = 0.02;
const HOME = 1e-4;

/**
 * @param {{parts: object[], joints: object[], fixings?: object[]}} answer
 * @param {Map<string, {low: number[], high: number[]}>} boxes of the parts in the world, by id
 * @returns {Map<string, number[]>} a displacement per part for a step of 1
 */
export function apartOf(answer, boxes) {
  const number = new Map(answer.parts.map((part, i) => [part.id, i]));
  const openings = openingsOf(answer, boxes, number);
  const size = 3 * answer.parts.length;
  const matrix = Array.from({ length: size }, () => new Float64Array(size));
  const right = new Float64Array(size);
  for (let i = 0; i < size; i += 1) matrix[i][i] = HOME;
  for (const { one, two, way } of openings) addOpening(matrix, right, { one, two, way });
  const moved = solve(matrix, right);
  return new Map(
    answer.parts.map((part, i) => [part.id, [moved[3 * i], moved[3 * i + 1], moved[3 * i + 2]]]),
  );
}

/** Which parts leave which others, and the way they leave. */
function openingsOf(answer, boxes, number) {
  const found = [];
  const met = new Set();
  for (const joint of answer.joints) {
    const [one, two] = [number.get(joint.part), number.get(joint.into)];
    if (one === undefined || two === undefined || !joint.closing) continue;
    met.add(pair(one, two));
    found.push({ one, two, way: joint.closing.map((value) => -value) });
  }
  for (const fixing of answer.fixings || []) {
    const [one, two] = [number.get(fixing.part), number.get(fixing.into)];
    if (one === undefined || two === undefined || met.has(pair(one, two))) continue;
    met.add(pair(one, two));
    const way = fixing.closing
      ? fixing.closing.map((value) => -value)
      : wayBetween(boxes.get(fixing.part), boxes.get(fixing.into));
    found.push({ one, two, way });
  }
  return found;
}

const pair = (one, two) => (one < two ? `${one} ${two}` : `${two} ${one}`);

/** The axis along which two boxes lie least into one another, away from the second. */
export function wayBetween(one, two) {
  let best = null;
  for (let axis = 0; axis < 3; axis += 1) {
    const over = Math.min(one.high[axis], two.high[axis]) - Math.max(one.low[axis], two.low[axis]);
    const beyond = one.high[axis] + one.low[axis] >= two.high[axis] + two.low[axis] ? 1 : -1;
    if (best === null || over < best.over) best = { axis, over, beyond };
  }
  const way = [0, 0, 0];
  way[best.axis] = best.beyond;
  return way;
}

/** Adds to the normal equations: (d_one - d_two) along the way is 1, across it 0. */
function addOpening(matrix, right, { one, two, way }) {
  for (let i = 0; i < 3; i += 1) {
    for (let j = 0; j < 3; j += 1) {
      const weight = (1 - ACROSS) * way[i] * way[j] + (i === j ? ACROSS : 0);
      matrix[3 * one + i][3 * one + j] += weight;
      matrix[3 * two + i][3 * two + j] += weight;
      matrix[3 * one + i][3 * two + j] -= weight;
      matrix[3 * two + i][3 * one + j] -= weight;
    }
    right[3 * one + i] += way[i];
    right[3 * two + i] -= way[i];
  }
}

/** Solves a symmetric positive definite system by Cholesky's factors, in place. */
function solve(matrix, right) {
  const size = right.length;
  for (let j = 0; j < size; j += 1) {
    for (let i = j; i < size; i += 1) {
      let sum = matrix[i][j];
      for (let k = 0; k < j; k += 1) sum -= matrix[i][k] * matrix[j][k];
      matrix[i][j] = i === j ? Math.sqrt(Math.max(sum, 1e-12)) : sum / matrix[j][j];
    }
  }
  const found = new Float64Array(size);
  for (let i = 0; i < size; i += 1) {
    let sum = right[i];
    for (let k = 0; k < i; k += 1) sum -= matrix[i][k] * found[k];
    found[i] = sum / matrix[i][i];
  }
  for (let i = size - 1; i >= 0; i -= 1) {
    let sum = found[i];
    for (let k = i + 1; k < size; k += 1) sum -= matrix[k][i] * found[k];
    found[i] = sum / matrix[i][i];
  }
  return found;
}
