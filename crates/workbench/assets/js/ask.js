// Questions that write nothing: numbered, the earlier one given up, late answers dropped.

import { dossier, isAway, serverIs } from './edits.js';

const running = new Map();

/// Asks; null where a later question came, or the server is away.
export async function ask(what, body, lane = what) {
  const before = running.get(lane);
  before?.stop.abort();
  const question = { n: (before?.n ?? 0) + 1, stop: new AbortController() };
  running.set(lane, question);
  if (isAway()) return null;
  try {
    const response = await fetch(`/d/${dossier}/${what}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ n: question.n, ...body }),
      signal: question.stop.signal,
    });
    if (!response.ok) return null;
    const answer = await response.json();
    return running.get(lane) === question ? answer : null;
  } catch (error) {
    if (error.name === 'TypeError') serverIs(false);
    return null;
  }
}
