// Which body comes next: by direction, by order. Pure numbers, no page.

export const middle = ({ corners }) => [0, 1].map(i => corners.reduce((sum, c) => sum + c[i], 0) / 4);
export const bounds = ({ corners }) => {
  const [xs, ys] = [corners.map(c => c[0]), corners.map(c => c[1])];
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
};
export const holds = (body, [x, y]) => {
  const [l, t, r, b] = bounds(body);
  return x >= l && x <= r && y >= t && y <= b;
};
export const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/// The nearest body whose middle lies within 45° of a direction: least along + 2 × across. -1 where there is none.
export function thatWay(bodies, [x, y], [wx, wy], but = -1) {
  let best = [-1, Infinity];
  bodies.forEach((body, at) => {
    if (at === but) return;
    const [mx, my] = middle(body);
    const along = (mx - x) * wx + (my - y) * wy;
    const across = Math.abs((mx - x) * wy - (my - y) * wx);
    if (along <= 0 || across > along) return;
    const far = along + 2 * across;
    if (far < best[1]) best = [at, far];
  });
  return best[0];
}

/// The next body without a part in reading order after `from`, around the end; -1 where every one has a part.
export function nextFree(bodies, from, passed = new Set()) {
  const free = body => !body.item && !body.small && !passed.has(body);
  for (let step = 1; step <= bodies.length; step += 1) {
    const at = (from + step + bodies.length) % bodies.length;
    if (free(bodies[at])) return at;
  }
  return -1;
}

/// Where a body lies, in words.
export function whereabouts(body, width, height) {
  const [x, y] = middle(body);
  const third = (at, side, words) => words[Math.min(2, Math.floor(3 * at / side))];
  const rows = third(y, height, ['upper', '', 'lower']);
  const columns = third(x, width, ['left', 'middle', 'right']);
  return rows ? `${rows} ${columns}` : columns;
}
