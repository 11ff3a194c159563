// The least change from one text to another, as a few spans: so that a caret, a fold or a mark elsewhere stays.

/**
 * The spans in which two texts differ.
 * @param {string} before
 * @param {string} after
 * @returns {{from: number, to: number, insert: string}[]} offsets count in `before`; in order, never overlapping
 */
export function difference(before, after) {
  if (before === after) return [];
  const old = linesOf(before);
  const now = linesOf(after);
  let head = 0;
  while (head < old.length && head < now.length && old[head] === now[head]) head += 1;
  let tail = 0;
  while (tail < old.length - head && tail < now.length - head && old.at(-1 - tail) === now.at(-1 - tail)) tail += 1;
  const offset = lengthOf(old, 0, head);
  const middle = [old.slice(head, old.length - tail), now.slice(head, now.length - tail)];
  return hunks(...middle).flatMap(lineByLine).flatMap(([a, b, c, d]) =>
    within(offset + lengthOf(middle[0], 0, a), middle[0].slice(a, b).join(""), middle[1].slice(c, d).join("")),
  );
}

function linesOf(text) {
  return text.match(/[^\n]*\n|[^\n]+$/g) ?? [];
}

function lengthOf(lines, from, to) {
  let sum = 0;
  for (let i = from; i < to; i += 1) sum += lines[i].length;
  return sum;
}

/** Runs of lines that differ, as [old from, old to, new from, new to]: by the longest common run of lines. */
function hunks(old, now) {
  if (old.length * now.length > 250_000 || !old.length || !now.length) return [[0, old.length, 0, now.length]];
  const width = now.length + 1;
  const table = new Uint16Array((old.length + 1) * width);
  for (let i = old.length - 1; i >= 0; i -= 1)
    for (let j = now.length - 1; j >= 0; j -= 1)
      table[i * width + j] =
        old[i] === now[j]
          ? table[(i + 1) * width + j + 1] + 1
          : Math.max(table[(i + 1) * width + j], table[i * width + j + 1]);
  const found = [];
  let [i, j] = [0, 0];
  while (i < old.length || j < now.length) {
    if (i < old.length && j < now.length && old[i] === now[j]) {
      i += 1;
      j += 1;
      continue;
    }
    const [a, c] = [i, j];
    while ((i < old.length || j < now.length) && !(i < old.length && j < now.length && old[i] === now[j])) {
      if (j >= now.length || (i < old.length && table[(i + 1) * width + j] >= table[i * width + j + 1])) i += 1;
      else j += 1;
    }
    found.push([a, i, c, j]);
  }
  return found;
}

/** Lines that are changed one for one are told one by one. */
function lineByLine([a, b, c, d]) {
  if (b - a !== d - c) return [[a, b, c, d]];
  return Array.from({ length: b - a }, (none, index) => [a + index, a + index + 1, c + index, c + index + 1]);
}

/** One span, less the characters that are the same at its two ends. */
function within(from, before, after) {
  if (before === after) return [];
  const most = Math.min(before.length, after.length);
  let head = 0;
  while (head < most && before[head] === after[head]) head += 1;
  let tail = 0;
  while (tail < most - head && before.at(-1 - tail) === after.at(-1 - tail)) tail += 1;
  if (head > 0 && isLow(before, head)) head -= 1;
  if (tail > 0 && isLow(before, before.length - tail)) tail -= 1;
  return [{ from: from + head, to: from + before.length - tail, insert: after.slice(head, after.length - tail) }];
}

function isLow(text, at) {
  const code = text.charCodeAt(at);
  return code >= 0xdc00 && code <= 0xdfff;
}
