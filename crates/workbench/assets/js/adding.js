// Open lines: an entry is typed field by field; Enter goes on and, in the last one, writes it whole.

import { dossier, write, events } from './edits.js';
import { events as pageEvents } from './page.js';
import * as outbox from './outbox.js';
import { ask } from './ask.js';
import { balanceWith } from './balance.js';
import { valueOf, put, idOf } from './values.js';

const lead = form => form.querySelector('[data-lead]');
const controls = form => [...form.querySelectorAll('input:not([type=hidden]), textarea, select')].filter(one => one.offsetParent !== null);
const reads = form => form.querySelector('.reads');
const timers = new WeakMap();
/// Lists whose entries have an id, made of their first words.
const WITH_ID = new Set(['claims', 'instruments', 'readings', 'product.labels', 'label', 'items', 'steps', 'photos', 'measures']);

/// A number without its unit.
const BARE = /^[-+]?[\d.,]+$/;

/// What a module adds to the entry of its own line, by the name of the draft.
export const completing = new Map();

const taken = new Set();
const idsTaken = () => new Set([...taken, ...[...document.querySelectorAll('[data-claim]')].map(one => one.dataset.claim)]);

export function entryOf(form) {
  const entry = {};
  for (const control of form.elements) {
    if (!control.name.startsWith('entry.')) continue;
    const value = valueOf(control.dataset.shape ?? 'text', control.value);
    if (value !== null) put(entry, control.name.slice(6), value);
  }
  withUnit(form, entry);
  const to = form.elements.to.value;
  const list = to.replace(/^.*\./, '');
  if (WITH_ID.has(to) || WITH_ID.has(list)) {
    const words = [entry.what, entry.item].filter(Boolean).join(' ') || entry.text || entry.name || entry.place || lead(form)?.value || list;
    // Another window may take the same words at the same moment, so a few random characters tell entries apart.
    const random = crypto.getRandomValues(new Uint8Array(2)).reduce((text, byte) => text + byte.toString(16).padStart(2, '0'), '');
    const id = idOf(words.split('\n')[0], idsTaken());
    entry.id ??= to === 'claims' || to === 'readings' ? `${id.slice(0, 24)}-${random}` : id;
    taken.add(entry.id);
  }
  completing.get(form.dataset.draft)?.(entry, form);
  return entry;
}

/// A bare number takes the unit of the instrument chosen beside it.
function withUnit(form, entry) {
  const box = form.elements['entry.value'];
  if (!box || !BARE.test(box.value.trim())) return;
  const instrument = form.elements['entry.instrument'];
  const { unit } = (instrument?.selectedOptions?.[0] ?? instrument)?.dataset ?? {};
  if (unit) entry.value = `${box.value.trim()} ${unit}`;
}

const edit = form => ({ do: 'add', to: form.elements.to.value, entry: entryOf(form) });

async function typed(form) {
  clearTimeout(timers.get(form));
  if (controls(form).every(one => one.value === one.defaultValue || one instanceof HTMLSelectElement)) {
    delete form.dataset.typed;
    outbox.forget(dossier, form.dataset.draft);
    if (reads(form)) reads(form).textContent = '';
    return;
  }
  form.dataset.typed = '';
  timers.set(form, setTimeout(() => outbox.draft(dossier, form.dataset.draft, lead(form).value, null), 200));
  if (completing.has(form.dataset.draft) || lead(form).value.trim() === '') return;
  const words = lead(form).value;
  const box = form.elements['entry.value'];
  const answer = await ask('would', { edits: [edit(form)] }, form.dataset.draft);
  if (!answer || lead(form).value !== words || !reads(form)) return;
  delete form.dataset.unread;
  if (answer.refused) {
    form.dataset.unread = words;
    const bare = box && BARE.test(box.value.trim());
    reads(form).textContent = bare ? `${box.value.trim()} of what? Write the unit, or choose the instrument` : `${answer.refused}: ${answer.remedy}`;
    return;
  }
  reads(form).textContent = `would move: ${answer.words}`;
  const balance = await balanceWith(form, edit(form));
  if (balance && lead(form).value === words) reads(form).textContent = `would balance to: ${balance}`;
}

/// Writes the entry of a line and empties it for the next.
export async function writeLine(form) {
  if (lead(form).value.trim() === '') return false;
  if (form.dataset.unread === lead(form).value) { reads(form).classList.add('wrong'); return false; }
  clearTimeout(timers.get(form));
  const one = edit(form);
  shownMeanwhile(form, one.entry);
  lead(form).value = '';
  delete form.dataset.typed;
  if (reads(form)) { reads(form).textContent = ''; reads(form).classList.remove('wrong'); }
  for (const control of form.querySelectorAll('textarea, input:not([type=hidden])')) if (control !== lead(form) && control.name !== 'entry.printed') control.value = '';
  form.dispatchEvent(new CustomEvent('written'));
  await write([one]);
  await outbox.forget(dossier, form.dataset.draft);
  return true;
}

/// Shows an entry that is on its way, until the page has it.
function shownMeanwhile(form, entry) {
  const list = form.previousElementSibling;
  if (!list?.matches('ol, ul')) return;
  const row = document.createElement('li');
  row.className = 'kept-here';
  row.dataset.meanwhile = '';
  row.textContent = entry.text ?? entry.name ?? entry.value ?? '';
  list.append(row);
}

export function start() {
  document.addEventListener('input', event => {
    const form = event.target.closest?.('form[data-add]');
    if (form && lead(form)) typed(form);
  });
  document.addEventListener('submit', async event => {
    const form = event.target.closest?.('form[data-add]');
    if (!form || !lead(form)) return;
    event.preventDefault();
    await submitted(form);
  });
  document.addEventListener('keydown', event => {
    const form = event.target.closest?.('form[data-add]');
    if (!form || !lead(form) || event.isComposing) return;
    if (event.key === 'Escape' && form.hasAttribute('data-typed')) {
      lead(form).value = '';
      delete form.dataset.typed;
      outbox.forget(dossier, form.dataset.draft);
      if (reads(form)) reads(form).textContent = '';
      form.dispatchEvent(new CustomEvent('written'));
      event.preventDefault();
    } else if (event.key === 'Enter' && event.target instanceof HTMLTextAreaElement && event.ctrlKey
      || event.key === 'Enter' && event.target instanceof HTMLSelectElement) {
      event.preventDefault();
      submitted(form);
    }
  });
  document.addEventListener('submit', async event => {
    const form = event.target.closest?.('form[data-remove]');
    if (!form) return;
    event.preventDefault();
    await write([{ do: 'remove', at: form.dataset.remove }]);
    if (location.pathname.endsWith('/fields')) history.back();
  });
  pageEvents.addEventListener('fresh', async () => {
    for (const row of document.querySelectorAll('[data-meanwhile]')) row.remove();
    await waitingRows();
  });
  events.addEventListener('refused', ({ detail: { list } }) => {
    const add = list?.edits?.[0];
    if (add?.do === 'add') for (const row of document.querySelectorAll('[data-meanwhile]')) if (row.textContent === add.entry.text) row.remove();
  });
  waitingRows();
}

/// Entries that wait in the outbox are shown again after a reload.
async function waitingRows() {
  if (!dossier) return;
  for (const list of await outbox.waiting(dossier)) {
    for (const one of list.edits ?? []) {
      if (one.do !== 'add') continue;
      const form = [...document.querySelectorAll('form[data-add]')].find(line => line.elements.to.value === one.to && lead(line));
      if (form) shownMeanwhile(form, one.entry);
    }
  }
}

/// Goes on in a line, or writes it from its last field; `whole` writes it at once.
export async function submitted(form, whole = false) {
  const all = controls(form);
  const at = all.indexOf(document.activeElement);
  const next = all.slice(at + 1).find(control => control.required || control.tagName === 'TEXTAREA' || control === all.at(-1) && control.name === 'entry.printed');
  if (!whole && at >= 0 && next && document.activeElement.value.trim() !== '' && !form.matches('.take')) {
    next.focus();
    next.select?.();
    return;
  }
  if (await writeLine(form)) goToNext(form);
}

/// The same line for the next entry of its list; down the tree and the list for readings.
function goToNext(form) {
  if (!form.matches('.take, .weigh')) { lead(form).focus(); return; }
  const all = [...document.querySelectorAll(form.matches('.weigh') ? '.weigh' : '.take')];
  const next = all[all.indexOf(form) + 1] ?? form;
  lead(next).focus();
}
