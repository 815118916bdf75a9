// Bodies of which somebody said that they are no part: remembered in this browser by the content of the photograph.

import { middle } from './bodies.js';

const NEAR = 6;
const key = sha256 => `no-part:${sha256}`;

function places(sha256) {
  try { return JSON.parse(localStorage.getItem(key(sha256)) ?? '[]'); } catch { return []; }
}

function keep(sha256, all) {
  try { localStorage.setItem(key(sha256), JSON.stringify(all)); } catch { /* Kept for as long as the page is open. */ }
}

const lies = (place, body) => { const [x, y] = middle(body); return Math.hypot(place[0] - x, place[1] - y) < NEAR; };

/// Remembers that there is no part.
export function pass(sha256, body) {
  keep(sha256, [...places(sha256).filter(place => !lies(place, body)), middle(body).map(v => Math.round(v * 10) / 10)]);
}

/// Of these bodies, those that were passed before.
export function passed(sha256, bodies) {
  const all = places(sha256);
  return new Set(bodies.filter(body => !body.item && all.some(place => lies(place, body))));
}

/// Forgets all that was passed on a photograph.
export function forget(sha256) { keep(sha256, []); }
