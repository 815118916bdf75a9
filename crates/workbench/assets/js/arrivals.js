// Arrivals: what an instrument typed, or the telephone sent. A fitting field keeps it; else the row that was armed for
// it; else it waits in the foot until F8 Enter says where it goes. It is never lost and never placed unseen.

import { ask } from './ask.js';
import { Burst } from './burst.js';
import { dossier, events as edits, write } from './edits.js';
import { entryOf, submitted } from './adding.js';
import { goOn, writeField } from './field.js';
import { say } from './foot.js';
import { events as live } from './live.js';
import { events as page } from './page.js';

const FIELDS = 'main input:not([type=hidden]):not([type=checkbox]), main textarea, aside input:not([type=hidden])';
const KEY = `arrivals-${dossier}`;
const formOf = box => box?.closest?.('form');
const isField = node => node instanceof HTMLInputElement || node instanceof HTMLTextAreaElement;
const node = (name, text = '', attributes = {}) => {
  const made = document.createElement(name);
  made.textContent = text;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
};

// ---- what waits

let memory = [];
const waiting = () => { try { return JSON.parse(localStorage.getItem(KEY)) ?? []; } catch { return memory; } };
function keep(list) {
  memory = list;
  try { localStorage.setItem(KEY, JSON.stringify(list)); } catch { /* No storage: they wait in this window alone. */ }
  show();
}
const enter = arrival => {
  // Every window hears of what the telephone sends.
  if (!waiting().some(one => one.id === arrival.id)) keep([...waiting(), arrival]);
};
const letGo = id => keep(waiting().filter(one => one.id !== id));

const held = () => document.querySelector('[data-item-held]')?.dataset.itemHeld || null;
const questionOf = text => ask('arrives', { text, held: held() }, 'arrives');

const labelOf = box => box.labels?.[0]?.textContent.trim() || box.getAttribute('aria-label') || box.placeholder || 'the field';
let lastField = null;
const openField = () => {
  if (lastField?.id && !lastField.isConnected) lastField = document.getElementById(lastField.id);
  return lastField?.isConnected ? lastField : null;
};

/// Where one may go: the field left last behind what the server knows.
async function choices({ text }) {
  const answer = await questionOf(text);
  const found = (answer?.destinations ?? []).map(one => ({ ...one, words: one.says }));
  const box = openField();
  if (box) found.push({ words: `“${labelOf(box)}”`, box });
  return found;
}

let shown = 0;
async function show() {
  const foot = document.getElementById('arrivals');
  const [first, ...more] = waiting();
  const number = shown += 1;
  if (!foot) return;
  if (!first) { if (foot.querySelector('button')) foot.replaceChildren(); return; }
  const button = node('button', `Arrived ${first.text}`, { type: 'button' });
  button.onclick = takeFirst;
  const tell = where => foot.replaceChildren(button, `${first.from ? ` from ${first.from}` : ''}${where ? `: ${where}?` : ''}${more.length ? `, and ${more.length} more` : ''} `, node('kbd', 'F8 Enter'));
  tell('');
  const [likeliest] = await choices(first);
  if (number === shown) tell(likeliest?.words ?? '');
}

// ---- where it goes

let open = null;

async function takeFirst() {
  const [first] = waiting();
  if (!first || open) return;
  const from = document.activeElement;
  const found = await choices(first);
  if (found.length === 1 && found[0].box) { put(first, found[0], from); return; }
  choose(first, found, from);
}

async function put(arrival, one, from) {
  letGo(arrival.id);
  if (one.box) {
    one.box.focus();
    one.box.value = arrival.text;
    one.box.dispatchEvent(new Event('input', { bubbles: true }));
    return;
  }
  back(from);
  say(`${arrival.text} written: ${one.says}`);
  await write(one.edits);
}

const back = from => { (from?.isConnected && from !== document.body ? from : document.getElementById(from?.id))?.focus({ preventScroll: true }); };

function choose(arrival, found, from) {
  const rows = [...found, { words: 'let it go', go: true }];
  let at = 0;
  const list = node('ul', '', { role: 'listbox', tabindex: '0', 'aria-label': `Where ${arrival.text} goes`, id: 'arriving-list' });
  list.append(...rows.map((one, n) => {
    const row = node('li', one.words, { role: 'option', id: `arriving-${n}` });
    if (one.note) row.append(node('span', ` · ${one.note}`, { class: 'quiet' }));
    row.onclick = () => take(n);
    return row;
  }));
  const panel = node('section', '', { class: 'arriving-at', 'aria-label': 'Arrived' });
  panel.append(node('p', `Arrived ${arrival.text}${arrival.from ? ` from ${arrival.from}` : ''}: it goes to`), list);
  const mark = to => {
    at = Math.max(0, Math.min(rows.length - 1, to));
    [...list.children].forEach((row, n) => row.setAttribute('aria-selected', String(n === at)));
    list.setAttribute('aria-activedescendant', `arriving-${at}`);
    list.children[at].scrollIntoView({ block: 'nearest' });
  };
  const close = () => { panel.remove(); open = null; };
  const take = n => {
    close();
    if (rows[n].go) { letGo(arrival.id); say(`${arrival.text} let go`); back(from); } else put(arrival, rows[n], from);
  };
  list.onkeydown = event => {
    const steps = { ArrowDown: 1, ArrowUp: -1, Home: -rows.length, End: rows.length };
    if (event.key in steps) mark(at + steps[event.key]);
    else if (event.key === 'Enter') take(at);
    else if (event.key === 'Escape') { close(); back(from); } else return;
    event.preventDefault();
    event.stopPropagation();
  };
  document.body.append(panel);
  open = panel;
  mark(0);
  list.focus();
}

// ---- rows that wait for an instrument

let armed = null;
const armedForm = () => armed && document.querySelector(`form[data-draft="${CSS.escape(armed)}"]`);

function arm(form) {
  armedForm()?.classList.remove('armed');
  armed = form ? form.dataset.draft : null;
  showArmed();
  if (form) say(`waits for the instrument: ${labelOf(form.querySelector('[data-lead]'))}`);
}
function showArmed() {
  document.querySelectorAll('form.armed').forEach(form => form.classList.toggle('armed', form.dataset.draft === armed));
  armedForm()?.classList.add('armed');
}

// ---- a burst has ended

let before = null;

/// Keeps what stood before the first key of what may be a burst.
function begins() {
  const box = document.activeElement;
  before = { box, text: isField(box) ? box.value : null, from: box?.selectionStart ?? null, to: box?.selectionEnd ?? null };
}

/// Puts back what the keys of the burst did.
function restore(text) {
  const { box, text: was, from, to } = before;
  const now = document.activeElement;
  if (isField(now) && now !== box && now.value.endsWith(text)) {
    now.value = now.value.slice(0, -text.length);
    now.dispatchEvent(new Event('input', { bubbles: true }));
  }
  if (isField(box) && box.value !== was) {
    box.value = was;
    try { box.setSelectionRange(from, to); } catch { /* Not every field has a selection. */ }
    box.dispatchEvent(new Event('input', { bubbles: true }));
  }
  if (box?.isConnected && now !== box) box.focus({ preventScroll: true });
}

/// A value in its field: with the unit of what stood there, or of the instrument beside it.
async function takenByField(box, text) {
  const form = formOf(box);
  const isCode = form?.matches('[data-add$=identifiers]') && box.name === 'entry.text';
  // Scanned again where one stands, a code takes its place; undo brings the old one back.
  const isAgain = form?.matches('.identifiers [data-field]') && form.elements.at.value.endsWith('.text');
  if (!form || !isCode && !isAgain && !('quantity' in box.dataset) || !form.matches('[data-field], [data-add]')) return false;
  if (isAgain) {
    box.value = text;
    if (await writeField(form)) { goOn(box); say(`${text} kept: ${labelOf(box)}`); }
    return true;
  }
  const answer = await questionOf(text);
  if (isCode) return takenByIdentifier(form, box, text, answer);
  const read = answer ? answer.value : text;
  if (read === null) return false;
  const bare = /^[-+]?[\d.,]+$/.test(read);
  const was = box.value;
  box.value = form.matches('[data-field]') && bare && box.dataset.unit ? `${read} ${box.dataset.unit}` : read;
  const edit = form.matches('[data-field]')
    ? { do: 'set', at: form.elements.at.value, old: JSON.parse(form.elements.old.value), new: box.value }
    : { do: 'add', to: form.elements.to.value, entry: entryOf(form) };
  const would = await ask('would', { edits: [edit] }, 'arrival');
  if (would?.refused) { box.value = was; return false; }
  delete form.dataset.unread;
  if (form.matches('[data-field]')) { if (await writeField(form)) goOn(box); } else await submitted(form);
  say(`${text} kept: ${labelOf(box)}`);
  return true;
}

async function takenByIdentifier(form, box, text, answer) {
  const kind = form.elements['entry.kind'];
  const code = answer?.destinations.find(one => one.edits[0].entry?.kind);
  box.value = text;
  if (kind && kind.value.trim() === '') kind.value = code?.edits[0].entry.kind ?? 'code as scanned';
  await submitted(form, true);
  say(`${text} kept: identifier, ${code?.note ?? code?.says ?? 'as scanned'}`);
  return true;
}

async function arrived(text) {
  const { box } = before;
  restore(text);
  if (await takenByField(box, text)) return;
  const form = armedForm();
  if (form) {
    const lead = form.querySelector('[data-lead]');
    const all = [...document.querySelectorAll('.weigh')];
    const next = form.matches('.weigh') ? all[all.indexOf(form) + 1] : null;
    const focus = document.activeElement;
    if (await takenByField(lead, text)) {
      back(focus);
      arm(next);
      return;
    }
  }
  const idle = box === document.body || box?.id === 'main' || box === null;
  if (idle && document.body.dataset.place === 'intake') {
    const code = (await questionOf(text))?.destinations.find(one => one.code);
    if (code) { say(`${text} written: ${code.says}`); await write(code.edits); return; }
  }
  enter({ id: `${Date.now()}-${Math.random()}`, text });
}

export function start() {
  if (!dossier) return;
  const burst = new Burst(begins);
  document.addEventListener('keydown', event => {
    const told = burst.key(event);
    if (!told) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (told.arrived) arrived(told.arrived);
  }, true);
  // Enter on an empty row of a reading arms it.
  document.addEventListener('keydown', event => {
    const { target, key } = event;
    const form = formOf(target);
    if (key !== 'Enter' && key !== 'Escape' || event.isComposing || !form?.matches('.take, .weigh') || !target.matches('[data-lead]') || target.value.trim() !== '') return;
    if (key === 'Enter') { event.preventDefault(); arm(form); } else if (armed) arm(null);
  });
  document.addEventListener('focusin', ({ target }) => { if (target.matches?.(FIELDS)) lastField = target; });
  document.addEventListener('take-arrival', takeFirst);
  live.addEventListener('arrival', ({ detail }) => enter({ id: detail.id, text: detail.text, from: detail.from }));
  page.addEventListener('fresh', () => { showArmed(); show(); });
  edits.addEventListener('kept', ({ detail: { list } }) => { if (list?.edits?.some(one => one.do === 'add' && one.to === 'readings')) show(); });
  addEventListener('storage', ({ key }) => { if (key === KEY) show(); });
  show();
}
