// Fields: typing is a draft and shows what it would move; Enter, or leaving, writes; Esc brings the old value.

import { dossier, write, events, settled } from './edits.js';
import { events as pageEvents } from './page.js';
import { ask } from './ask.js';
import { balanceWith } from './balance.js';
import * as outbox from './outbox.js';
import { valueOf, wordsOf } from './values.js';
import { say } from './foot.js';

const control = form => form.elements.new;
const reads = form => form.querySelector('.reads');
const at = form => form.elements.at.value;
const old = form => JSON.parse(form.elements.old.value);
/// A bare number keeps the unit of the value that stood there.
const whole = ({ value: words, dataset: { unit } }) => unit && /^[-+]?[\d.,]+$/.test(words.trim()) ? `${words.trim()} ${unit}` : words;
const value = form => valueOf(control(form).dataset.shape, whole(control(form)));
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const formOf = place => [...document.querySelectorAll('form[data-field]')].find(form => at(form) === place);

const timers = new WeakMap();

function typed(form) {
  clearTimeout(timers.get(form));
  if (same(old(form), value(form))) { clear(form); return; }
  form.dataset.typed = '';
  timers.set(form, setTimeout(() => outbox.draft(dossier, at(form), control(form).value, old(form)), 200));
  would(form);
}

async function would(form) {
  const edit = { do: 'set', at: at(form), old: old(form), new: value(form) };
  if (same(edit.old, edit.new)) { show(form, ''); return; }
  const words = control(form).value;
  const answer = await ask('would', { edits: [edit] });
  if (!answer || control(form).value !== words) return;
  if (answer.refused) { form.dataset.unread = words; show(form, `${answer.refused}: ${answer.remedy}`, false); return; }
  delete form.dataset.unread;
  const read = answer.reads.map(one => `reads as ${one.reads} · `).join('');
  show(form, `${read}would move: ${answer.words}`);
  const balance = await balanceWith(form, edit);
  if (balance && control(form).value === words) show(form, `${read}would balance to: ${balance}`);
}

function show(form, words, wrong = false) {
  reads(form).textContent = words;
  reads(form).classList.toggle('wrong', wrong);
  control(form).toggleAttribute('aria-invalid', wrong);
}

/// Writes a field; false where there is nothing to write or it cannot be read.
export async function writeField(form) {
  clearTimeout(timers.get(form));
  const edit = { do: 'set', at: at(form), old: old(form), new: value(form) };
  if (same(edit.old, edit.new)) { await clear(form); return true; }
  if (form.dataset.unread === control(form).value) {
    show(form, reads(form).textContent, true);
    await outbox.draft(dossier, at(form), control(form).value, old(form));
    return false;
  }
  delete form.dataset.typed;
  form.classList.add('unsaved');
  form.elements.old.value = JSON.stringify(edit.new);
  control(form).defaultValue = control(form).value;
  show(form, '');
  await write([edit]);
  await outbox.forget(dossier, edit.at);
  return true;
}

async function clear(form) {
  delete form.dataset.typed;
  delete form.dataset.unread;
  show(form, '');
  await outbox.forget(dossier, at(form));
}

/// Goes to the next field that is wanted.
export function goOn(from) {
  const all = [...document.querySelectorAll('main input:not([type=hidden]), main textarea, main select, aside input:not([type=hidden])')]
    .filter(one => one.offsetParent !== null && !one.disabled);
  const next = all[all.indexOf(from) + 1];
  next?.focus();
  next?.select?.();
}

function twoValues(form, why) {
  const mine = value(form);
  form.dataset.two = '';
  const box = document.createElement('div');
  box.className = 'two';
  box.setAttribute('role', 'group');
  box.setAttribute('aria-label', 'Two values for one place');
  const row = (words, who, pressed) => {
    const button = document.createElement('button');
    button.type = 'button';
    button.setAttribute('aria-pressed', String(pressed));
    const told = document.createElement('span');
    told.className = 'who';
    told.textContent = ` ${who}`;
    button.append(words === '' ? 'nothing' : words, told);
    return button;
  };
  const by = why.by ? `${why.by} wrote this, revision ${why.revision}` : 'written meanwhile';
  const own = row(wordsOf(mine), 'yours, not taken', true);
  const other = row(wordsOf(why.now), by, false);
  const settle = async keep => {
    box.remove();
    delete form.dataset.two;
    form.elements.old.value = JSON.stringify(why.now ?? null);
    settled();
    if (keep) { control(form).value = wordsOf(mine); await writeField(form); } else {
      control(form).value = wordsOf(why.now);
      control(form).defaultValue = control(form).value;
      form.classList.remove('unsaved');
      await clear(form);
    }
    control(form).focus();
  };
  own.onclick = () => settle(true);
  other.onclick = () => settle(false);
  box.onkeydown = event => {
    if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      const to = event.key === 'ArrowDown' ? other : own;
      own.setAttribute('aria-pressed', String(to === own));
      other.setAttribute('aria-pressed', String(to === other));
      to.focus();
      event.preventDefault();
      event.stopPropagation();
    }
  };
  box.append(own, other);
  form.append(box);
  if (form.contains(document.activeElement) || document.activeElement === document.body) own.focus();
}

function refused({ list, why }) {
  const one = why[0] ?? { text: 'not taken', remedy: '' };
  const edit = list?.edits?.[0];
  const form = edit && formOf(edit.at);
  say(`Not taken: ${one.text}`, true);
  if (!form) { notTaken(one); return; }
  form.classList.remove('unsaved');
  if (one.kind === 'changed' && edit.do === 'set') {
    control(form).value = wordsOf(edit.new);
    twoValues(form, one);
    return;
  }
  form.elements.old.value = JSON.stringify(edit.old ?? null);
  form.dataset.typed = '';
  form.dataset.unread = control(form).value;
  show(form, `${one.text}: ${one.remedy}`, true);
  outbox.draft(dossier, edit.at, control(form).value, edit.old ?? null);
}

function notTaken(why) {
  const foot = document.querySelector('#arrivals');
  if (foot) foot.textContent = `Not taken: ${why.text}; ${why.remedy}`;
}

async function restore() {
  if (!dossier) return;
  for (const { at: place, words, time } of await outbox.drafts(dossier)) {
    const form = formOf(place) ?? document.querySelector(`form[data-draft="${CSS.escape(place)}"]`);
    const box = form && (form.matches('[data-field]') ? control(form) : form.querySelector('[data-lead]'));
    if (!box || box.value === words || form.hasAttribute('data-typed')) continue;
    box.value = words;
    form.dataset.typed = '';
    const told = form.querySelector('.reads');
    if (told) told.textContent = `typed ${new Date(time).toTimeString().slice(0, 5)}, not written`;
  }
  for (const list of await outbox.waiting(dossier)) {
    for (const edit of list.edits ?? []) {
      const form = edit.do === 'set' && formOf(edit.at);
      if (!form || form.hasAttribute('data-typed')) continue;
      control(form).value = wordsOf(edit.new);
      form.classList.add('unsaved');
    }
  }
}

export function start() {
  document.addEventListener('input', event => {
    const form = event.target.closest?.('form[data-field]');
    if (form) typed(form);
  });
  document.addEventListener('change', event => {
    const form = event.target.closest?.('form[data-field]');
    if (form && event.target instanceof HTMLSelectElement) writeField(form);
  });
  document.addEventListener('submit', async event => {
    const form = event.target.closest?.('form[data-field]');
    if (!form) return;
    event.preventDefault();
    if (await writeField(form)) goOn(control(form));
  });
  document.addEventListener('focusout', event => {
    const form = event.target.closest?.('form[data-field]');
    if (form && form.hasAttribute('data-typed') && !form.hasAttribute('data-two') && !form.contains(event.relatedTarget)) writeField(form);
  });
  document.addEventListener('keydown', event => {
    const form = event.target.closest?.('form[data-field]');
    if (!form || event.isComposing) return;
    if (event.key === 'Escape' && form.hasAttribute('data-typed')) {
      const box = control(form);
      box.value = box instanceof HTMLSelectElement ? wordsOf(old(form)) : box.defaultValue;
      clear(form);
      event.preventDefault();
      event.stopPropagation();
    } else if (event.key === 'Enter' && event.target instanceof HTMLTextAreaElement && (event.ctrlKey || 'line' in event.target.dataset)) {
      event.preventDefault();
      form.requestSubmit();
    } else if (event.key === 'Enter' && event.target instanceof HTMLSelectElement) {
      event.preventDefault();
      form.requestSubmit();
    } else if (event.key === 'ArrowDown' && event.altKey) {
      event.preventDefault();
      say(reads(form).textContent || 'nothing would move');
    }
  });
  events.addEventListener('kept', ({ detail: { list } }) => {
    for (const edit of list?.edits ?? []) {
      const form = edit.do === 'set' && formOf(edit.at);
      if (form) form.classList.remove('unsaved');
    }
  });
  events.addEventListener('refused', ({ detail }) => refused(detail));
  pageEvents.addEventListener('fresh', restore);
  restore();
}
