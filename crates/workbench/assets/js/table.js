// A table brought in: pasted, chosen or dropped; shown as it would be taken, then taken as one list.

import { dossier, events, write } from './edits.js';
import { say } from './foot.js';

const form = () => document.getElementById('bring-table');
const into = () => document.getElementById('incoming');
let source = null;
let edits = [];
let asked = 0;

function map() {
  const all = [...into().querySelectorAll('[data-column]')];
  return all.length ? all.map(select => select.value || null) : null;
}

async function look(columns) {
  if (!source) return;
  const number = asked += 1;
  const body = new FormData();
  if (columns) body.append('map', JSON.stringify(columns));
  if (typeof source === 'string') body.append('cells', new Blob([source]), 'cells');
  else body.append('file', source, source.name);
  const focus = document.activeElement?.id;
  let answer;
  try {
    const response = await fetch(`/d/${dossier}/table`, { method: 'POST', body });
    answer = await response.json();
  } catch {
    answer = { message: 'No answer while the server is away', remedy: 'choose it again when it is back' };
  }
  if (number !== asked) return;
  edits = answer.edits ?? [];
  if (answer.html) into().innerHTML = answer.html;
  else into().textContent = `${answer.message}: ${answer.remedy}`;
  into().classList.toggle('wrong', !answer.html);
  (into().querySelector(`#${CSS.escape(focus || 'table-take')}`) ?? into().querySelector('#table-take') ?? into().querySelector('select'))?.focus();
  say(into().querySelector('.tally')?.textContent.trim() || into().textContent.slice(0, 200));
}

async function take() {
  if (edits.length === 0) return;
  const list = edits;
  edits = [];
  const back = form().dataset.back;
  const { seq } = await write(list, `table-${Date.now().toString(36)}`);
  events.addEventListener('kept', ({ detail }) => { if (detail.list?.seq === seq) location.assign(`/d/${dossier}/${back}`); });
  events.addEventListener('refused', ({ detail }) => { if (detail.list?.seq === seq) look(map()); });
}

export function start() {
  document.addEventListener('chord', ({ detail }) => {
    if (detail === 'l') location.assign(`/d/${dossier}/table?at=${document.body.dataset.place}`);
  });
  if (!form()) return;
  form().addEventListener('submit', event => event.preventDefault());
  form().addEventListener('input', ({ target }) => { if (target.id === 'table-cells') { source = target.value.trim() === '' ? null : target.value; if (source) look(null); else into().replaceChildren(); } });
  form().addEventListener('change', ({ target }) => { if (target.id === 'table-file' && target.files[0]) { [source] = target.files; look(null); } });
  into().addEventListener('change', ({ target }) => { if ('column' in target.dataset) look(map()); });
  into().addEventListener('click', ({ target }) => { if (target.id === 'table-take') take(); });
  document.addEventListener('dragover', event => { if ([...event.dataTransfer.types].includes('Files')) event.preventDefault(); });
  document.addEventListener('drop', event => {
    if (!event.dataTransfer.files.length) return;
    event.preventDefault();
    [source] = event.dataTransfer.files;
    look(null);
  });
  document.getElementById('table-cells').focus();
}
