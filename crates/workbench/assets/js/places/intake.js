// Intake: a claim is read while it is typed; Down offers its other readings.

import { ask } from '../ask.js';
import { isAway } from '../edits.js';
import { completing } from '../adding.js';
import { start as startLines } from './intake-lines.js';

const form = () => document.getElementById('new-claim');
const box = () => document.getElementById('claim-text');
const reads = () => document.getElementById('claim-reads');
const list = () => document.getElementById('claim-proposals');
let proposals = [];
let chosen = 0;

const words = proposal => [...proposal.says, ...(proposal.says.includes(proposal.kind) ? [] : [proposal.kind]), ...proposal.open].join(' · ');

function show() {
  const one = proposals[chosen];
  const told = document.createElement('b');
  told.textContent = 'reads as ';
  reads().replaceChildren(...(one ? [told, words(one)] : []));
}

function choose(at) {
  chosen = Math.max(0, Math.min(proposals.length - 1, at));
  [...list().children].forEach((row, n) => row.setAttribute('aria-selected', String(n === chosen)));
  box().setAttribute('aria-activedescendant', list().children[chosen]?.id ?? '');
  show();
}

function offer() {
  if (proposals.length < 2) return;
  list().hidden = false;
  list().setAttribute('role', 'listbox');
  list().setAttribute('aria-label', 'Readings of the sentence');
  list().replaceChildren(...proposals.map((proposal, n) => {
    const row = document.createElement('li');
    row.id = `claim-proposal-${n}`;
    row.setAttribute('role', 'option');
    row.textContent = words(proposal);
    row.addEventListener('click', () => { choose(n); box().focus(); });
    return row;
  }));
}

function fold() {
  list().hidden = true;
  box().removeAttribute('aria-activedescendant');
}

async function read() {
  fold();
  const text = box().value;
  if (text.trim() === '') { proposals = []; reads().textContent = ''; return; }
  if (isAway()) { proposals = []; reads().textContent = 'no answer while the server is away; the sentence is kept by its text'; return; }
  const answer = await ask('claim-reads', { text });
  if (!answer || box().value !== text) return;
  ({ proposals } = answer);
  chosen = 0;
  show();
  if (answer.known) reads().append(' · this sentence is written already');
}

/// Where there is no room beside it, the list of what is to be taken starts folded.
function foldBefore() {
  const list = document.querySelector('details.takings');
  const wanted = document.getElementById(location.hash.slice(1));
  if (list && matchMedia('(max-width:1099px)').matches && !list.contains(wanted)) list.open = false;
}

export function start() {
  startLines();
  foldBefore();
  completing.set('new claim', entry => {
    const one = proposals[chosen];
    if (one) Object.assign(entry, one.entry);
  });
  form()?.addEventListener('input', event => { if (event.target === box()) read(); });
  form()?.addEventListener('written', () => { proposals = []; reads().textContent = ''; fold(); });
  box()?.addEventListener('keydown', event => {
    if (event.altKey || event.key !== 'ArrowDown' && event.key !== 'ArrowUp') return;
    if (list().hidden) { if (event.key === 'ArrowDown') { offer(); choose(chosen); } } else choose(chosen + (event.key === 'ArrowDown' ? 1 : -1));
    event.preventDefault();
  });
  if (box()?.value) read();
  if (new URLSearchParams(location.search).get('at') === 'new-claim') box()?.focus();
}
