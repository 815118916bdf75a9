// Lists of edits: into the outbox, to the server in order, one request under way, done once however often sent.

import * as outbox from './outbox.js';

export const dossier = document.body.dataset.dossier ?? null;
/// Tells of: state {kind, …}, kept {list, revision}, refused {list, why}.
export const events = new EventTarget();
const tell = (name, detail) => events.dispatchEvent(new CustomEvent(name, { detail }));

const MOST_LISTS = 64;
const MOST_BYTES = 256 * 1024;
const AGAIN = [500, 1000, 2000, 4000, 8000, 15000];

const digits = '0123456789abcdefghjkmnpqrstvwxyz';
const random = () => [...crypto.getRandomValues(new Uint8Array(12))].map(b => digits[b % 32]).join('');

/// Holds a name for as long as the window lives; false where another window holds it.
const hold = name => new Promise(resolve => {
  if (!navigator.locks) { resolve(true); return; }
  navigator.locks.request(name, { ifAvailable: true }, lock => {
    resolve(lock !== null);
    return lock === null ? undefined : new Promise(() => {});
  });
});

async function ownClient() {
  let id = null;
  try { id = sessionStorage.getItem('client'); } catch { /* No storage: a new name each time. */ }
  if (id === null || !await hold(`client-${id}`)) {
    id = random();
    await hold(`client-${id}`);
    try { sessionStorage.setItem('client', id); } catch { /* As above. */ }
  }
  return id;
}

const client = dossier === null ? Promise.resolve(null) : ownClient();
let failures = 0;
let sending = false;
let timer = 0;
let away = false;
let refused = 0;

/// Writes edits: keeps them here first, then sends.
export async function write(edits, group) {
  const list = await outbox.enter(dossier, await client, group === undefined ? { edits } : { edits, group });
  await state();
  send();
  return list;
}

/// Takes a revision back.
export async function undo(revision) {
  await outbox.enter(dossier, await client, { undo: revision });
  await state();
  send();
}

/// Tells how saving stands.
export async function state() {
  const lists = await outbox.waiting(dossier);
  const since = Math.min(...lists.map(list => list.made));
  tell('state', { away, waiting: lists.length, since, refused, durable: outbox.durable });
}

export const isAway = () => away;

/// Says that the server answers again, or no more.
export function serverIs(there) {
  if (away === !there) return;
  away = !there;
  if (there) { failures = 0; send(); }
  state();
}

/// Sends what waits, the oldest window first.
export async function send() {
  if (sending || dossier === null) return;
  sending = true;
  clearTimeout(timer);
  try {
    for (;;) {
      const own = await client;
      const lists = await outbox.waiting(dossier);
      // Those of windows that are gone are sent by whoever is left.
      let whose = null;
      for (const list of lists) {
        if (list.client === own || list.client === whose || await hold(`client-${list.client}`)) {
          whose ??= list.client;
        }
      }
      if (whose === null) break;
      if (!await submit(whose, lists.filter(list => list.client === whose))) break;
    }
  } finally {
    sending = false;
    state();
  }
}

async function submit(whose, all) {
  const lists = [];
  let size = 0;
  for (const { seq, edits, undo: back, group } of all.sort((a, b) => a.seq - b.seq).slice(0, MOST_LISTS)) {
    const list = { seq, ...(group && { group }), ...(edits && { edits }), ...(back && { undo: back }) };
    size += JSON.stringify(list).length;
    if (lists.length > 0 && size > MOST_BYTES) break;
    lists.push(list);
  }
  const slow = setTimeout(() => tell('writing', {}), 150);
  let response;
  try {
    response = await fetch(`/d/${dossier}/edits`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ client: whose, lists }),
      signal: AbortSignal.timeout(30000),
    });
  } catch {
    return later(true);
  } finally {
    clearTimeout(slow);
  }
  if (response.status === 403) { tell('signed-out', {}); return later(false); }
  if (!response.ok) {
    const told = await response.json().catch(() => ({ message: `the server answers ${response.status}` }));
    tell('trouble', told);
    return later(false);
  }
  failures = 0;
  away = false;
  const answer = await response.json();
  if (answer.expect !== undefined) return gap(whose, all, answer.expect);
  for (const { seq, state: what, revision, why } of answer.lists) {
    const list = all.find(one => one.seq === seq);
    await outbox.leave(dossier, whose, seq);
    if (what === 'kept') tell('kept', { list, revision });
    else { refused += 1; tell('refused', { list, why }); }
  }
  return answer.lists.length > 0;
}

/// An earlier list never arrived. What is still here is sent from there; what is not is numbered anew.
async function gap(whose, all, expect) {
  if (all.some(list => list.seq === expect)) return true;
  await outbox.renumber(dossier, whose, random(), all);
  return true;
}

function later(gone) {
  away = gone;
  const wait = AGAIN[Math.min(failures, AGAIN.length - 1)];
  failures += 1;
  timer = setTimeout(send, wait);
  state();
  return false;
}

/// Says that a refusal was looked at.
export function settled() {
  refused = Math.max(0, refused - 1);
  state();
}
