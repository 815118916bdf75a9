// Keys that hold everywhere.

import { takeBack } from './foot.js';
import { dress } from './keymap.js';
import { events as page } from './page.js';

const PLACES = ['intake', 'opening', 'inside', 'power', 'claims', 'cost', 'standing', 'publish'];
const isField = node => node instanceof HTMLInputElement || node instanceof HTMLTextAreaElement || node instanceof HTMLSelectElement;
let choosing = null;

function choose() {
  choosing = { from: document.activeElement };
  document.querySelector('.rule')?.classList.add('choosing');
}

function leave() {
  const from = choosing?.from;
  choosing = null;
  document.querySelector('.rule')?.classList.remove('choosing');
  return from;
}

async function showKeys() {
  const open = document.querySelector('.overlay');
  if (open) { open.remove(); return; }
  const from = document.activeElement;
  const response = await fetch('/keys');
  if (!response.ok) return;
  const page = new DOMParser().parseFromString(await response.text(), 'text/html');
  const box = document.createElement('section');
  box.className = 'overlay';
  box.tabIndex = -1;
  box.setAttribute('aria-label', 'Keys');
  box.append(document.importNode(page.querySelector('#keys'), true));
  box.addEventListener('keydown', event => {
    if (event.key === 'Escape' || event.key === '?') { box.remove(); from?.focus?.(); event.stopPropagation(); event.preventDefault(); }
  });
  document.body.append(box);
  dress();
  box.focus();
}

function chosen(event) {
  const from = leave();
  const { dossier } = document.body.dataset;
  const number = Number(event.key);
  if (number >= 1 && number <= 8 && dossier) location.assign(`/d/${dossier}/${PLACES[number - 1]}`);
  else if (event.key === '9') {
    const moved = document.querySelector('details#moved');
    if (moved) { moved.open = !moved.open; moved.querySelector(moved.open ? '.all' : 'summary')?.focus(); }
  } else if (event.key === '0') showKeys();
  else if (event.key === 'Enter') document.dispatchEvent(new CustomEvent('take-arrival'));
  else if (/^[a-z]$/i.test(event.key)) document.dispatchEvent(new CustomEvent('chord', { detail: event.key.toLowerCase() }));
  else from?.focus?.();
}

/// Ctrl+Z takes back typing first, then the last edit.
function takesTyping(target) {
  const form = target.closest?.('[data-field],[data-add]');
  return isField(target) && target.type !== 'hidden' && form?.hasAttribute('data-typed') && target.value !== target.defaultValue;
}

export function start() {
  page.addEventListener('fresh', dress);
  // On a narrow screen the rule shows the places before and after, and this button all of them.
  const all = document.getElementById('all-places');
  if (all) all.hidden = false;
  all?.addEventListener('click', () => {
    const open = document.body.classList.toggle('all-places');
    all.setAttribute('aria-expanded', String(open));
  });
  document.addEventListener('keydown', event => {
    if (event.isComposing) return;
    if (choosing && !['Shift', 'Control', 'Alt', 'Meta'].includes(event.key)) {
      event.preventDefault();
      event.stopImmediatePropagation();
      if (event.key === 'F8' || event.key === 'Escape') leave()?.focus?.();
      else chosen(event);
      return;
    }
    const plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    if (event.key === 'F8' && plain) { event.preventDefault(); choose(); return; }
    if (event.key === 'F2' && plain) { event.preventDefault(); const find = document.getElementById('find'); find?.focus(); find?.select(); return; }
    // A box takes every character as the first of its marking.
    if (event.key === '?' && plain && !isField(event.target) && !event.target.dataset?.takes) { event.preventDefault(); showKeys(); return; }
    if ((event.ctrlKey || event.metaKey) && !event.altKey) {
      const key = event.key.toLowerCase();
      const back = key === 'z' && !event.shiftKey;
      const forth = key === 'y' || key === 'z' && event.shiftKey;
      if ((back || forth) && !takesTyping(event.target)) {
        event.preventDefault();
        takeBack(back ? 'Take back' : 'Put back');
      }
    }
  }, true);
}
