// What is not saved yet, kept in the browser: lists of edits on their way, and drafts.
// Without storage both live in memory, and the foot says so once.

const NAME = 'underlid';
let opened = null;
const memory = { outbox: new Map(), drafts: new Map(), seqs: new Map() };
export let durable = true;

function open() {
  opened ??= new Promise(resolve => {
    let request;
    try { request = indexedDB.open(NAME, 1); } catch { durable = false; resolve(null); return; }
    request.onupgradeneeded = () => {
      const db = request.result;
      db.createObjectStore('outbox', { keyPath: ['dossier', 'client', 'seq'] });
      db.createObjectStore('drafts', { keyPath: ['dossier', 'at'] });
      db.createObjectStore('seqs', { keyPath: ['dossier', 'client'] });
    };
    request.onsuccess = () => resolve(request.result);
    request.onerror = request.onblocked = () => { durable = false; resolve(null); };
  });
  return opened;
}

const done = transaction => new Promise((resolve, reject) => {
  transaction.oncomplete = () => resolve();
  transaction.onerror = transaction.onabort = () => reject(transaction.error);
});
const got = request => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});
const key = (...parts) => JSON.stringify(parts);

/// Numbers a list and keeps it, in one step, so that no number is lost or used twice.
export async function enter(dossier, client, list) {
  const db = await open();
  if (!db) {
    const seq = (memory.seqs.get(key(dossier, client)) ?? 0) + 1;
    memory.seqs.set(key(dossier, client), seq);
    const kept = { dossier, client, seq, made: Date.now(), ...list };
    memory.outbox.set(key(dossier, client, seq), kept);
    return kept;
  }
  const transaction = db.transaction(['outbox', 'seqs'], 'readwrite', { durability: 'strict' });
  const seqs = transaction.objectStore('seqs');
  const last = await got(seqs.get([dossier, client]));
  const seq = (last?.seq ?? 0) + 1;
  seqs.put({ dossier, client, seq });
  const kept = { dossier, client, seq, made: Date.now(), ...list };
  transaction.objectStore('outbox').put(kept);
  await done(transaction);
  return kept;
}

export async function leave(dossier, client, seq) {
  const db = await open();
  if (!db) { memory.outbox.delete(key(dossier, client, seq)); return; }
  const transaction = db.transaction('outbox', 'readwrite');
  transaction.objectStore('outbox').delete([dossier, client, seq]);
  await done(transaction);
}

/// Numbers lists anew for another window, in one step: a reload in between finds each of them once.
export async function renumber(dossier, from, to, lists) {
  const db = await open();
  const anew = lists.map((list, at) => ({ ...list, client: to, seq: at + 1 }));
  if (!db) {
    for (const list of lists) memory.outbox.delete(key(dossier, from, list.seq));
    for (const list of anew) memory.outbox.set(key(dossier, to, list.seq), list);
    memory.seqs.set(key(dossier, to), anew.length);
    return;
  }
  const transaction = db.transaction(['outbox', 'seqs'], 'readwrite', { durability: 'strict' });
  const kept = transaction.objectStore('outbox');
  for (const list of lists) kept.delete([dossier, from, list.seq]);
  for (const list of anew) kept.put(list);
  transaction.objectStore('seqs').put({ dossier, client: to, seq: anew.length });
  await done(transaction);
}

export async function waiting(dossier) {
  const db = await open();
  if (!db) return [...memory.outbox.values()].filter(list => list.dossier === dossier);
  const range = IDBKeyRange.bound([dossier], [dossier, []]);
  return got(db.transaction('outbox').objectStore('outbox').getAll(range));
}

export async function draft(dossier, at, words, old) {
  const db = await open();
  const kept = { dossier, at, words, old, time: Date.now() };
  if (!db) { memory.drafts.set(key(dossier, at), kept); return; }
  const transaction = db.transaction('drafts', 'readwrite');
  transaction.objectStore('drafts').put(kept);
  await done(transaction);
}

export async function forget(dossier, at) {
  const db = await open();
  if (!db) { memory.drafts.delete(key(dossier, at)); return; }
  const transaction = db.transaction('drafts', 'readwrite');
  transaction.objectStore('drafts').delete([dossier, at]);
  await done(transaction);
}

export async function drafts(dossier) {
  const db = await open();
  if (!db) return [...memory.drafts.values()].filter(kept => kept.dossier === dossier);
  const range = IDBKeyRange.bound([dossier], [dossier, []]);
  return got(db.transaction('drafts').objectStore('drafts').getAll(range));
}
