// Intake's other lines: labels and identifiers are read while they are typed; one scale for all weights.

import { ask } from '../ask.js';
import { completing } from '../adding.js';

const reads = form => form.querySelector('.reads');
const element = (name, text, className = '') => {
  const made = document.createElement(name);
  made.textContent = text;
  if (className) made.className = className;
  return made;
};

// ---- labels

let ratings = {};

function rows(lines) {
  const list = element('ul', '', 'lines-read');
  list.append(...lines.map(line => {
    const row = element('li', '', line.agrees === false ? 'odd' : '');
    row.append(element('span', line.text, 'mono'), ' ', element('span', line.says, 'quiet'));
    return row;
  }));
  return list;
}

async function label(box, into) {
  const text = box.value;
  if (text.trim() === '') { into.replaceChildren(); ratings = {}; return; }
  const answer = await ask('label-reads', { text });
  if (!answer || box.value !== text) return;
  ratings = answer.entry;
  into.replaceChildren(...(answer.lines.length ? [rows(answer.lines)] : []));
}

// ---- identifiers

async function identifier(box, into) {
  const text = box.value;
  if (text.trim() === '') { into.textContent = ''; return; }
  const answer = await ask('identifier-reads', { text });
  if (!answer || box.value !== text) return;
  into.textContent = answer.says ?? 'no number with a check digit';
  into.classList.toggle('odd', answer.right === false);
}

// ---- one scale for all

function scale(select) {
  const { value, selectedOptions: [option] } = select;
  for (const box of document.querySelectorAll('.weigh [name="entry.instrument"]')) {
    box.value = value;
    box.dataset.unit = option.dataset.unit ?? '';
  }
}

export function start() {
  // A rating that a label prints is taken with its lines.
  completing.set('new label', entry => Object.assign(entry, ratings));
  completing.set('new identifier', () => {});
  document.addEventListener('input', ({ target }) => {
    const form = target.closest?.('form[data-draft]');
    if (!form) return;
    if (form.dataset.draft === 'new label' && target.name === 'entry.text') label(target, reads(form));
    else if (form.dataset.draft === 'new identifier' && target.name === 'entry.text') identifier(target, reads(form));
  });
  document.addEventListener('change', ({ target }) => { if (target.id === 'weigh-with') scale(target); });
  document.addEventListener('written', ({ target }) => { if (target.dataset?.draft === 'new label') { ratings = {}; reads(target).replaceChildren(); } }, true);
}
