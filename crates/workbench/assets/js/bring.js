// A log or a recording brought in: chosen or dropped, shown as it would be taken, corrected, then kept.

import { dossier, events, write } from './edits.js';
import { say } from './foot.js';

const form = () => document.getElementById('bring-file');
const into = () => document.getElementById('brought-shown');
let file = null;
let asked = 0;

function columns() {
  const all = [...into().querySelectorAll('[data-holds]')];
  const unit = at => into().querySelector(`[data-unit-of="${at}"]`).value;
  return all.length ? all.map(one => ({ holds: one.value || null, unit: unit(one.dataset.holds) })) : null;
}

async function send(taken, keep) {
  const body = new FormData();
  for (const one of form().elements) if (one.name && one.name !== 'file' && one.value) body.append(one.name, one.value);
  if (taken) {
    body.append('columns', JSON.stringify(taken));
    for (const one of into().querySelectorAll('[name]')) if (one.value) body.append(one.name, one.value);
  }
  if (keep) body.append('keep', 'yes');
  body.append('file', file, file.name);
  try {
    const response = await fetch(form().action, { method: 'POST', body });
    return await response.json();
  } catch {
    return { message: 'No answer while the server is away', remedy: 'choose it again when it is back' };
  }
}

function tell(answer) {
  const focus = document.activeElement?.id;
  if (answer.html) into().innerHTML = answer.html;
  else into().textContent = `${answer.message}; ${answer.remedy}.`;
  into().classList.toggle('wrong', !answer.html);
  if (focus) document.getElementById(focus)?.focus();
  say(into().querySelector('.wrong, .tally')?.textContent.trim() || into().textContent.slice(0, 200));
}

async function look(taken) {
  if (!file) return;
  const number = asked += 1;
  const answer = await send(taken, false);
  if (number === asked) tell(answer);
}

async function keep() {
  const answer = await send(columns(), true);
  if (!answer.edits) { tell(answer); return; }
  const back = form().dataset.back;
  const { seq } = await write(answer.edits, `bring-${Date.now().toString(36)}`);
  events.addEventListener('kept', ({ detail }) => { if (detail.list?.seq === seq) location.assign(`/d/${dossier}/${back}`); });
  events.addEventListener('refused', ({ detail }) => { if (detail.list?.seq === seq) tell({ message: detail.message ?? 'It was not taken', remedy: detail.remedy ?? 'see what is said above' }); });
}

export function start() {
  if (!form()) return;
  form().addEventListener('submit', event => event.preventDefault());
  form().addEventListener('change', ({ target }) => {
    if (target.id === 'brought') { [file] = target.files; look(null); } else look(columns());
  });
  into().addEventListener('change', () => look(columns()));
  into().addEventListener('click', ({ target }) => { if (target.id === 'brought-keep') keep(); });
  document.addEventListener('dragover', event => { if ([...event.dataTransfer.types].includes('Files')) event.preventDefault(); });
  document.addEventListener('drop', event => {
    if (!event.dataTransfer.files.length) return;
    event.preventDefault();
    [file] = event.dataTransfer.files;
    look(null);
  });
  document.getElementById('brought').focus();
}
