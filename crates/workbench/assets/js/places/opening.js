// Opening: words are read as they are typed, one key starts and stops, what a step ends is told before it starts.
// The clock is the server's: its time comes with each answer, and half the round trip is taken off.

import { ask } from '../ask.js';
import { isAway, write } from '../edits.js';
import { say } from '../foot.js';
import { events as page } from '../page.js';

const $ = id => document.getElementById(id);
const LONG = 60 * 60 * 1000;
const SHORT = 2000;

let ahead = 0;
let read = null;
let chosen = 0;
let stopped = null;

const element = (name, text = '', attributes = {}) => {
  const made = document.createElement(name);
  made.textContent = text;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
};

async function question(body) {
  const sent = Date.now();
  const answer = await ask('step-reads', body);
  // The offset of two clocks from the four times of one exchange: RFC 5905, section 8.
  if (answer) ahead = (answer.arrived - sent + answer.left - Date.now()) / 2;
  return answer;
}

const two = n => String(Math.trunc(n)).padStart(2, '0');

/// A moment as the record notes it: to the second, with the offset in force here.
function moment(time) {
  const at = new Date(time);
  const offset = -at.getTimezoneOffset();
  const local = new Date(time + offset * 60000).toISOString().slice(0, 19);
  const size = Math.abs(offset);
  return `${local}${offset < 0 ? '-' : '+'}${two(size / 60)}:${two(size % 60)}`;
}

const now = () => Math.round((Date.now() + ahead) / 1000) * 1000;

// What is typed

async function typed() {
  const text = $('step-words').value;
  chosen = 0;
  if (text.trim() === '') { read = null; show(); return null; }
  const answer = await question({ text });
  if (!answer || $('step-words').value !== text) return null;
  read = { text, proposals: answer.proposals };
  show();
  return read;
}

function show() {
  const box = $('step-reads');
  const all = read?.proposals ?? [];
  box.replaceChildren(...all.map((one, at) => {
    const words = one.says.join(' · ');
    const row = element('div', all.length > 1 && !one.planned ? `new: ${words}` : words, { role: 'option', 'aria-selected': String(at === chosen) });
    if (all.length === 1) row.removeAttribute('role');
    if (one.freed) row.append(element('p', `came free before, in “${one.freed}”`));
    if (one.instead.length > 0 && at === chosen) row.append(element('p', `or: ${one.instead.join(', ')}`, { class: 'quiet' }));
    if (one.refused) row.append(element('p', `${one.refused}: ${one.remedy}`));
    return row;
  }));
  if (all.length > 1) { box.setAttribute('role', 'listbox'); box.setAttribute('aria-label', 'Read as'); } else { box.removeAttribute('role'); box.removeAttribute('aria-label'); }
  beside(all[chosen]);
}

/// What it ends and what is dangerous, in the margin.
function beside(one, start) {
  const ends = $('step-ends');
  const list = one?.ends ?? [];
  ends.parentElement.classList.toggle('asks', Boolean(start));
  if (!one) ends.replaceChildren(element('p', 'Say the step: what can no longer be measured after it is told here before it starts.', { class: 'quiet' }));
  else if (list.length === 0) ends.replaceChildren(element('p', 'Nothing that a claim needs.'));
  else {
    const rows = element('ul', '', { tabindex: '-1', 'aria-labelledby': 'h-ends' });
    rows.append(...list.map(end => {
      const row = element('li', end.what);
      row.append(element('p', `${end.why} needs it${end.how ? `, to ${end.how}` : ''}`, { class: 'quiet' }), element('a', 'Take it first', { href: end.take }));
      return row;
    }));
    ends.replaceChildren(rows);
    if (start) {
      const row = element('p', '', { class: 'go' });
      const go = element('button', 'Go on', { type: 'button', id: 'step-go-on' });
      go.onclick = start;
      go.onkeydown = event => { if (event.key === 'Escape') { beside(one); $('step-words').focus(); event.stopPropagation(); } };
      row.append(go);
      ends.append(row);
    }
  }
  $('step-cautions').replaceChildren(...(one?.cautions ?? []).map(text => element('li', text)));
}

// Start and stop

/// Begins a step, after what it ends was told.
function begin(one) {
  if (!one) return;
  if (one.refused) { say(`${one.refused}: ${one.remedy}`, true); return; }
  if ((one.ends ?? []).length > 0) {
    beside(one, () => started(one));
    const [first] = one.ends;
    say(`This step ends what can be measured: ${first.what}, ${first.why} needs it`, true);
    $('step-ends').querySelector('ul').scrollIntoView({ block: 'nearest' });
    $('step-go-on').focus();
    return;
  }
  started(one);
}

async function started(one) {
  const at = now();
  const edits = structuredClone(one.edits);
  for (const edit of edits) {
    if (edit.do === 'add') edit.entry.started = moment(at);
    else if (String(edit.at).endsWith('.started')) edit.new = moment(at);
  }
  const runs = $('step-runs');
  runs.dataset.step = one.step;
  runs.dataset.since = at;
  runs.elements.stop.value = one.step;
  $('step-doing').textContent = one.text || one.doing || '';
  $('step-began').textContent = new Date(at).toTimeString().slice(0, 8);
  $('running-cautions').replaceChildren(...(one.cautions ?? []).map(text => element('li', text)));
  running(true);
  beside(null);
  $('step-words').value = '';
  read = null;
  $('step-reads').replaceChildren();
  $('step-stop').focus();
  tick();
  await write(edits);
}

async function stop() {
  const runs = $('step-runs');
  const { step, since } = runs.dataset;
  if (!step || runs.hidden) return;
  const at = Math.max(now(), Number(since));
  stopped = { step, short: at - Number(since) < SHORT };
  running(false);
  delete runs.dataset.step;
  $('step-words').focus();
  await write([
    { do: 'set', at: `steps.${step}.stopped`, old: null, new: moment(at) },
    { do: 'set', at: `steps.${step}.done`, old: false, new: null },
  ]);
}

function running(is) {
  $('step-runs').hidden = !is;
  $('step-line').hidden = is;
  $('running-cautions').hidden = !is;
  $('step-cautions').hidden = is;
  $('ends-with').hidden = is;
}

function tick() {
  const runs = $('step-runs');
  if (runs.hidden || !runs.dataset.since) return;
  const gone = Math.max(0, Date.now() + ahead - Number(runs.dataset.since));
  const seconds = Math.floor(gone / 1000);
  const words = seconds >= 3600 ? `${Math.floor(seconds / 3600)}:${two(seconds / 60 % 60)}:${two(seconds % 60)}` : `${two(seconds / 60)}:${two(seconds % 60)}`;
  if ($('step-clock').textContent !== words) $('step-clock').textContent = words;
  const long = gone > LONG ? 'Running for more than an hour: stop it, and correct its time if it was over before.' : '';
  if ($('step-long').textContent !== long) $('step-long').textContent = long;
}

/// After a step is stopped: what came free, whether it goes back, its time.
function after() {
  if (!stopped) return;
  const row = document.getElementById(`step-${stopped.step}`);
  const details = row?.querySelector('details');
  if (!details) return;
  details.open = true;
  const { short } = stopped;
  stopped = null;
  const time = details.querySelector('[name=at][value$=".duration"]')?.form;
  if (short && time) {
    time.querySelector('.reads').textContent = '0 min? type the time';
    time.elements.new.focus();
    return;
  }
  (details.querySelector('[name=free]') ?? details.querySelector('.frees button'))?.focus();
}

async function frees(form) {
  const marked = [...form.querySelectorAll('[name=free]:checked')].map(box => box.value);
  const old = JSON.parse(form.dataset.old);
  form.closest('details').querySelector('[name=at][value$=".undo"]')?.form.elements.new.focus();
  if (JSON.stringify(marked) === JSON.stringify(old)) return;
  form.dataset.old = JSON.stringify(marked);
  await write([{ do: 'set', at: form.dataset.at, old: old.length > 0 ? old : null, new: marked.length > 0 ? marked : null }]);
}

export function start() {
  // Where there is no room beside the step, what is at risk starts folded: its count is enough.
  const risk = document.querySelector('.at-risk');
  if (risk && matchMedia('(max-width:1099px)').matches) risk.open = false;
  document.addEventListener('input', event => { if (event.target.id === 'step-words') typed(); });
  document.addEventListener('submit', async event => {
    const form = event.target;
    if (form.id === 'step-line') {
      event.preventDefault();
      if (isAway()) { say('No answer while the server is away: nothing was started', true); return; }
      const text = $('step-words').value;
      if (text.trim() === '') return;
      const current = read?.text === text ? read : await typed();
      begin(current?.proposals[chosen]);
    } else if (form.id === 'step-runs') {
      event.preventDefault();
      stop();
    } else if (form.dataset.planned) {
      event.preventDefault();
      const answer = await question({ planned: form.dataset.planned });
      const one = answer?.proposals[0];
      if (one) { one.text = form.querySelector('.text').textContent; begin(one); }
    } else if (form.hasAttribute('data-frees')) {
      event.preventDefault();
      frees(form);
    }
  });
  document.addEventListener('keydown', event => {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
    const { target, key } = event;
    const all = read?.proposals ?? [];
    if (target.id === 'step-words' && all.length > 1 && (key === 'ArrowDown' || key === 'ArrowUp')) {
      chosen = (chosen + (key === 'ArrowDown' ? 1 : all.length - 1)) % all.length;
      show();
      say(all[chosen].says.join(', '));
      event.preventDefault();
    } else if (target.id === 'step-words' && key === 'Escape') {
      target.value = '';
      typed();
    } else if (target.name === 'free' && key === 'Enter') {
      event.preventDefault();
      target.form.requestSubmit();
    } else if (target.name === 'free' && (key === 'ArrowDown' || key === 'ArrowUp')) {
      const boxes = [...target.form.querySelectorAll('[name=free]')];
      boxes[boxes.indexOf(target) + (key === 'ArrowDown' ? 1 : -1)]?.focus();
      event.preventDefault();
    } else if ((key === 'Enter' || key === ' ') && (target === document.body || target.id === 'main')) {
      // With no field in use one key starts and stops.
      event.preventDefault();
      if (!$('step-runs').hidden) stop();
      else $('step-words').focus();
    }
  });
  page.addEventListener('fresh', () => { after(); tick(); });
  setInterval(tick, 250);
  tick();
  question({ text: '' }).then(tick);
  ($('step-runs').hidden ? $('step-words') : $('step-stop')).focus();
}
