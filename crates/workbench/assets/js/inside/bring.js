// Photographs coming in: dropped anywhere, chosen, or pasted; three at once, each for itself.

import { dossier, write } from '../edits.js';
import { say } from '../foot.js';

const AT_ONCE = 3;
const waiting = [];
let underWay = 0;
let done = 0, refused = 0;

function row(file) {
  const item = document.createElement('li');
  const name = document.createElement('span');
  name.className = 'file';
  name.textContent = file.name;
  const state = document.createElement('span');
  state.className = 'state';
  state.textContent = 'waiting';
  const bar = document.createElement('progress');
  bar.max = 1;
  bar.value = 0;
  bar.setAttribute('aria-label', file.name);
  item.append(name, bar, state);
  document.getElementById('arriving')?.append(item);
  const tell = (words, share = null) => {
    state.textContent = words;
    bar.hidden = share === null;
    if (share !== null) bar.value = share;
  };
  return { item, tell };
}

function send(file, { item, tell }) {
  const form = new FormData();
  form.append('file', file, file.name);
  const request = new XMLHttpRequest();
  request.open('POST', `/d/${dossier}/photographs`);
  request.responseType = 'json';
  request.upload.onprogress = ({ loaded, total }) => tell(loaded < total ? `${Math.floor(100 * loaded / total)} %` : 'looking at it', loaded / total);
  const end = () => { underWay -= 1; next(); };
  request.onerror = () => { item.classList.add('refused'); refused += 1; tell('not sent: the server is away; choose it again'); end(); };
  request.onload = async () => {
    const told = request.response?.files?.[0];
    if (!told) { item.classList.add('refused'); refused += 1; tell(request.response?.message ?? `not taken: ${request.status}`); end(); return; }
    if (told.state === 'refused') { item.classList.add('refused'); refused += 1; tell(`not taken: ${told.message}; ${told.remedy}`); }
    if (told.state === 'here') { item.classList.add('here'); tell(`already here as ${told.photo}`); }
    if (told.state === 'new') {
      await write(told.edits);
      done += 1;
      tell('making tiles', 1);
      const image = new Image();
      image.onload = image.onerror = () => { tell('ready'); item.classList.add('ready'); setTimeout(() => item.remove(), 4000); };
      image.src = `/t/${told.sha256}/0/0-0.jpg`;
    }
    end();
  };
  request.send(form);
}

function next() {
  while (underWay < AT_ONCE && waiting.length > 0) {
    const { file, shown } = waiting.shift();
    underWay += 1;
    send(file, shown);
  }
  const told = document.getElementById('arriving-told');
  if (told && underWay === 0 && waiting.length === 0 && done + refused > 0) {
    const words = [done && `${done} ${done === 1 ? 'photograph' : 'photographs'} in`, refused && `${refused} not taken`].filter(Boolean).join(', ');
    told.textContent = words;
    if (refused) say(words);
    done = 0; refused = 0;
  }
}

export function bring(files) {
  for (const file of files) waiting.push({ file, shown: row(file) });
  next();
}

export function start() {
  const input = document.getElementById('bring');
  document.addEventListener('change', event => {
    if (event.target.id !== 'bring') return;
    bring([...event.target.files]);
    event.target.value = '';
  });
  document.addEventListener('dragover', event => {
    if (![...event.dataTransfer.types].includes('Files')) return;
    event.preventDefault();
    document.body.classList.add('dropping');
  });
  document.addEventListener('dragleave', event => { if (!event.relatedTarget) document.body.classList.remove('dropping'); });
  document.addEventListener('drop', event => {
    document.body.classList.remove('dropping');
    if (!event.dataTransfer.files.length) return;
    event.preventDefault();
    bring([...event.dataTransfer.files]);
  });
  document.addEventListener('chord', ({ detail }) => { if (detail === 'p') input?.click(); });
}
