// "All fields" unfolds every key of an entry in place; kept fresh while nobody is in it.

import { events as pageEvents } from './page.js';

async function fill(fold) {
  const response = await fetch(fold.dataset.fields);
  if (!response.ok) return;
  const page = new DOMParser().parseFromString(await response.text(), 'text/html');
  const box = document.createElement('div');
  box.dataset.own = '';
  for (const part of page.querySelectorAll('main > .of, main > .all-fields, main > .remove, main > section')) box.append(document.importNode(part, true));
  fold.querySelector('[data-own]')?.remove();
  fold.querySelector('p')?.setAttribute('hidden', '');
  fold.append(box);
}

export function start() {
  document.addEventListener('toggle', event => {
    const fold = event.target;
    if (fold.matches?.('details[data-fields]') && fold.open && !fold.querySelector('[data-own]')) fill(fold);
  }, true);
  pageEvents.addEventListener('fresh', () => {
    for (const fold of document.querySelectorAll('details[data-fields][open]')) {
      if (!fold.contains(document.activeElement)) fill(fold);
    }
  });
}
