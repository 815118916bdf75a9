// Lines over a photograph: bodies offered, parts, the box with its ticks, the cross. Light on a dark halo, none of it
// over what is printed.

import { bounds } from './bodies.js';

const NS = 'http://www.w3.org/2000/svg';
const line = (name, attributes) => {
  const node = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
};

/// Draws both the halo and the line.
function stroke(svg, kind, d) {
  svg.append(line('path', { class: `halo ${kind}`, d }), line('path', { class: kind, d }));
}

const path = (points, closed = true) => `M${points.map(p => p.map(v => v.toFixed(2)).join(' ')).join('L')}${closed ? 'Z' : ''}`;

/// Makes the layer of lines.
export function layer(parent) {
  const svg = line('svg', { class: 'marks', 'aria-hidden': 'true' });
  parent.append(svg);
  return svg;
}

/// Draws everything anew, in pixels of the screen.
export function draw(svg, camera, { bodies, held, box, side, cross, open, passed, focus, tool, trace }) {
  const at = corners => corners.map(c => camera.toScreen(c));
  svg.replaceChildren();
  // On a small picture thin lines leave more of it.
  svg.classList.toggle('fine', camera.scale < 0.4);
  // One path for each kind, of what is in view: a photograph may offer thousands of bodies, and all move with it.
  const kinds = new Map();
  const add = (kind, d) => kinds.set(kind, (kinds.get(kind) ?? '') + d);
  bodies.forEach((body, n) => {
    if (n === held && box) return;
    const corners = at(body.corners);
    const [l, t, r, b] = bounds({ corners });
    if (r < -4 || b < -4 || l > camera.boxWidth + 4 || t > camera.boxHeight + 4) return;
    if (body.item) add(open.has(body.item) ? 'part open' : 'part', path(outside(corners, 2)));
    else if (!passed.has(body)) add(body.small ? 'offered small' : 'offered', `M${l} ${b + 3}L${r} ${b + 3}`);
  });
  for (const [kind, d] of kinds) stroke(svg, kind, d);
  if (box) drawBox(svg, at, box, side);
  if (tool) drawTool(svg, at, tool);
  if (trace) stroke(svg, 'marked', path(at(trace), false));
  if (cross && focus) {
    const [x, y] = camera.toScreen(cross);
    // Its arms begin beside the place, so that what lies there is seen.
    stroke(svg, 'cross', `M${x - 14} ${y}h8M${x + 6} ${y}h8M${x} ${y - 14}v8M${x} ${y + 6}v8`);
  }
}

/// Corners moved outwards by some pixels.
function outside(corners, by) {
  const middle = [0, 1].map(i => corners.reduce((sum, c) => sum + c[i], 0) / corners.length);
  return corners.map(c => c.map((v, i) => v + Math.sign(v - middle[i]) * by));
}

function drawBox(svg, at, { marked, snapped }, side) {
  const found = snapped?.at?.length > 0;
  if (!found || marked.some((c, i) => Math.hypot(...c.map((v, k) => v - snapped.corners[i][k])) > 1)) {
    stroke(svg, 'marked', path(at(marked)));
  }
  if (!found) { ends(svg, at(marked), side); return; }
  const corners = at(snapped.corners);
  stroke(svg, 'box', path(corners));
  snapped.sides.forEach((one, n) => {
    const [p, q] = [corners[n], corners[(n + 1) % 4]];
    const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
    const length = Math.hypot(dx, dy) || 1;
    const out = [dy / length, -dx / length];
    if (!one.open) {
      const ticks = at(snapped.at.slice(3 * n, 3 * n + 3));
      const long = n === side ? 11 : 6;
      const d = ticks.map(([x, y]) => `M${x} ${y}l${out[0] * long} ${out[1] * long}`).join('');
      stroke(svg, n === side ? 'tick chosen' : 'tick', d);
    } else if (n === side) {
      const [x, y] = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
      stroke(svg, 'tick chosen', `M${x} ${y}l${out[0] * 11} ${out[1] * 11}`);
    }
    if (one.rival) {
      const edge = [snapped.corners[n], snapped.corners[(n + 1) % 4]];
      const [ex, ey] = [edge[1][0] - edge[0][0], edge[1][1] - edge[0][1]];
      const far = Math.hypot(ex, ey) || 1;
      const off = one.rival.outwards_px;
      const moved = edge.map(([x, y]) => [x + ey / far * off, y - ex / far * off]);
      stroke(svg, 'rival', path(at(moved), false));
    }
  });
}

/// The points of a measure: as they were set, and where they came to lie.
function drawTool(svg, at, { points, found, wanted }) {
  if (!wanted) return;
  const places = at(found?.at.length ? found.at : points);
  const closed = wanted.by === 'corners' || wanted.by === 'rim';
  if (points.length > 1) stroke(svg, 'marked', path(at(points), closed));
  else if (places.length > 1) stroke(svg, 'marked', path(places, false));
  // Of many places each gets less room, and the place itself stays bare.
  const [near, far] = places.length > 12 ? [1.5, 3] : [1.5, 5];
  const arm = (x, y, sx, sy) => `M${x + sx * near} ${y + sy * near}L${x + sx * far} ${y + sy * far}`;
  const arms = places.map(([x, y]) => [[-1, -1], [1, 1], [1, -1], [-1, 1]].map(([sx, sy]) => arm(x, y, sx, sy)).join(''));
  if (arms.length) stroke(svg, 'tick', arms.join(''));
}

/// Ticks of a box that has no edges.
function ends(svg, corners, side) {
  if (side === null) return;
  const [p, q] = [corners[side], corners[(side + 1) % 4]];
  stroke(svg, 'tick chosen', `M${(p[0] + q[0]) / 2} ${(p[1] + q[1]) / 2}${side % 2 === 0 ? `v${side === 0 ? -11 : 11}` : `h${side === 1 ? 11 : -11}`}`);
}

/// Graduates the lower and right rim in millimetres.
export function graduate(rims, camera, pxPerMm) {
  for (const rim of rims) rim.replaceChildren();
  // The rims lie on the photograph's, wherever it is.
  const [right, lower] = camera.toScreen([camera.width, camera.height]);
  rims[0].style.transform = `translateY(${Math.min(0, lower - camera.boxHeight)}px)`;
  rims[1].style.transform = `translateX(${Math.min(0, right - camera.boxWidth)}px)`;
  if (!pxPerMm) return;
  const perMm = camera.scale * pxPerMm;
  const step = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100].find(mm => mm * perMm >= 6) ?? 200;
  const labelled = step * 10;
  const from = camera.toScreen([0, 0]);
  [[rims[0], 0, camera.boxWidth, camera.width], [rims[1], 1, camera.boxHeight, camera.height]].forEach(([rim, axis, length, side]) => {
    let d = '';
    const most = Math.min(length, from[axis] + side * camera.scale);
    for (let n = Math.max(0, Math.ceil(-from[axis] / perMm / step)); ; n += 1) {
      const at = from[axis] + n * step * perMm;
      if (at > most) break;
      const long = n % 10 === 0 ? 10 : n % 5 === 0 ? 7 : 4;
      d += axis === 0 ? `M${at.toFixed(1)} 0v${long}` : `M0 ${at.toFixed(1)}h${long}`;
      if (n % 10 === 0 && n > 0 && axis === 0 && at < most - 12 && at > 12) {
        const text = line('text', { x: at, y: 20 });
        text.textContent = String(Number((n * step).toFixed(1)));
        rim.append(text);
      }
    }
    rim.append(line('path', { d }));
    rim.dataset.step = labelled;
  });
}
