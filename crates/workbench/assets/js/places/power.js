// Power: arrow keys walk along the links, on the diagram or in the list; Enter links to what is typed, Delete removes
// a link.

import { ask } from '../ask.js';
import { write } from '../edits.js';
import { say } from '../foot.js';
import { events as page, refresh } from '../page.js';

const all = () => [...document.querySelectorAll('[data-node]')];
const node = id => all().find(one => one.dataset.node === id);
const words = text => text.split(' ').filter(Boolean);

const diagram = () => document.getElementById('diagram');
/// The chosen box, in the drawing that stands at this width.
const shownHeld = () => [...diagram().querySelectorAll('.held')].find((box) => box.getClientRects().length > 0);
const present = () => all().find(one => one.getAttribute('aria-current') === 'true') ?? all()[0];

let arrived = null;

/// Goes to a thing: its line stands in the margin. On the diagram the focus stays there and the name is said.
function go(id, from) {
  const to = node(id);
  if (!to) return;
  arrived = from ?? arrived;
  for (const one of all()) { one.tabIndex = one === to ? 0 : -1; one.toggleAttribute('aria-current', false); }
  to.setAttribute('aria-current', 'true');
  if (diagram()?.contains(document.activeElement)) say(to.textContent.replace(/\s+/g, ' ').trim()); else to.focus();
  const address = new URL(location.href);
  address.searchParams.set('at', id);
  history.replaceState(null, '', address);
  refresh();
}

/// The things on the same giver, or where there is none, all others with none.
function beside(one) {
  const [giver] = arrived && words(one.dataset.up).includes(arrived) ? [arrived] : words(one.dataset.up);
  if (giver) return words(node(giver)?.dataset.down ?? '').map(node).filter(Boolean);
  return all().filter(other => other.dataset.up === '');
}

function step(one, key) {
  if (key === 'ArrowRight' || key === 'ArrowLeft') {
    const [next] = words(key === 'ArrowRight' ? one.dataset.down : one.dataset.up);
    if (next) go(next, key === 'ArrowRight' ? one.dataset.node : null);
    else say(key === 'ArrowRight' ? 'nothing is fed by it' : 'nothing feeds it');
    return;
  }
  const row = beside(one);
  const list = row.length > 1 ? row : all();
  const at = list.indexOf(one) + (key === 'ArrowDown' ? 1 : -1);
  if (list[at]) go(list[at].dataset.node);
}

/// The item that is meant: by its id, its whole name, the beginning, any part of it.
function meant(form) {
  const text = form.elements['entry.to'].value.trim().toLowerCase();
  if (text === '') return null;
  const options = [...form.querySelectorAll('option')].map(one => ({ id: one.value, name: one.textContent }));
  const tests = [one => one.id === text, one => one.name.toLowerCase() === text, one => one.name.toLowerCase().startsWith(text), one => one.name.toLowerCase().includes(text)];
  for (const test of tests) {
    const found = options.find(test);
    if (found) return { ...found, others: options.filter(test).length - 1 };
  }
  return undefined;
}

function shows(form) {
  const found = meant(form);
  const text = found === null ? '' : found === undefined ? 'no such thing here; enter it in Inside first' :
    `feeds ${found.name}${found.others > 0 ? `; ${found.others} more would fit` : ''}`;
  form.querySelector('.reads').textContent = text;
}

async function link(form) {
  const found = meant(form);
  if (!found) { shows(form); return; }
  const from = form.dataset.link;
  form.elements['entry.to'].value = '';
  form.querySelector('.reads').textContent = '';
  say(`linked to ${found.name}`);
  arrived = from;
  await write([{ do: 'add', to: 'links', entry: { from, to: found.id, kind: 'power' } }]);
}

async function narrows() {
  const box = document.getElementById('narrows');
  const answer = await ask('narrows', {});
  if (!box || !answer) return;
  const element = (name, text, kind = '') => { const made = document.createElement(name); made.textContent = text; made.className = kind; return made; };
  if (answer.tooMany) { box.replaceChildren(element('p', `${answer.tooMany} stages are unknown; that is too many to compute over. Say what some of them are.`)); return; }
  if (answer.found.length === 0) { box.replaceChildren(element('p', 'No unknown stage lies on a path, or none would narrow a figure.', 'quiet')); return; }
  const list = document.createElement('ul');
  list.append(...answer.found.map(one => {
    const row = element('li', `What ${one.name} is: `);
    const then = one.then.map(other => `${other.then} if it is a ${other.if}`).join(', ');
    row.append(element('span', `${one.figure}, ${one.now}; ${then}`), element('p', 'Each unknown stage taken once to pass current, once to pass energy.', 'quiet'));
    return row;
  }));
  box.replaceChildren(list);
}

export function start() {
  document.addEventListener('keydown', event => {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    const one = event.target === diagram() ? present() : event.target.closest?.('[data-node]');
    if (one) {
      if (event.key.startsWith('Arrow')) { event.preventDefault(); step(one, event.key); }
      else if (event.key === 'Home' || event.key === 'End') { event.preventDefault(); go(all().at(event.key === 'Home' ? 0 : -1).dataset.node); }
      else if (event.key === 'Enter') { event.preventDefault(); document.getElementById('taker')?.focus(); }
    } else if (event.key === 'Delete' && event.target.closest?.('form[data-unlink]')) {
      event.preventDefault();
      event.target.closest('form').requestSubmit();
    } else if (event.key === 'Escape' && event.target.id === 'taker') {
      event.preventDefault();
      event.target.value = '';
      shows(event.target.form);
      (diagram() ?? node(event.target.form.dataset.link))?.focus();
    }
  });
  document.addEventListener('click', event => {
    const box = event.target.closest?.('.walked');
    if (box) { diagram().focus({ preventScroll: true }); go(words(box.dataset.of)[0]); return; }
    const one = event.target.closest?.('[data-node]');
    if (one && !event.ctrlKey && !event.metaKey && !event.shiftKey && event.button === 0) { event.preventDefault(); go(one.dataset.node); }
  });
  document.addEventListener('input', event => { if (event.target.id === 'taker') shows(event.target.form); });
  document.addEventListener('submit', event => {
    if (event.target.dataset.link) { event.preventDefault(); link(event.target); }
    else if (event.target.dataset.unlink) {
      event.preventDefault();
      write([{ do: 'remove', at: event.target.dataset.unlink }]);
      document.getElementById('taker')?.focus();
    }
  });
  let revision = document.body.dataset.revision;
  page.addEventListener('fresh', () => {
    if (document.activeElement === diagram()) shownHeld()?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
    if (document.body.dataset.revision !== revision) { revision = document.body.dataset.revision; narrows(); }
  });
  narrows();
  (diagram() ?? document.querySelector('[data-node][tabindex="0"]'))?.focus({ preventScroll: true });
}
