// Find: opens under the head; Up and Down, Enter goes there, Esc returns to the field left.

import { ask } from './ask.js';

export function start() {
  const box = document.getElementById('find');
  if (!box || !document.body.dataset.dossier) return;
  let from = null;
  let caret = null;
  let on = 0;
  const panel = document.createElement('div');
  panel.className = 'finder';
  panel.hidden = true;
  panel.dataset.own = '';
  const list = document.createElement('ul');
  list.id = 'find-list';
  list.setAttribute('role', 'listbox');
  list.setAttribute('aria-label', 'Found');
  panel.append(list);
  document.querySelector('.head').after(panel);
  box.setAttribute('role', 'combobox');
  box.setAttribute('aria-controls', 'find-list');
  box.setAttribute('aria-expanded', 'false');
  const rows = () => [...list.querySelectorAll('a')];
  const choose = at => {
    const all = rows();
    on = Math.max(0, Math.min(all.length - 1, at));
    all.forEach((row, n) => { row.classList.toggle('on', n === on); row.setAttribute('aria-selected', String(n === on)); });
    box.setAttribute('aria-activedescendant', all[on]?.id ?? '');
    all[on]?.scrollIntoView({ block: 'nearest' });
  };
  const close = () => { panel.hidden = true; box.setAttribute('aria-expanded', 'false'); };
  const look = async () => {
    const answer = await ask('find', { words: box.value });
    if (!answer) return;
    list.replaceChildren(...answer.hits.map((hit, n) => {
      const row = document.createElement('li');
      row.setAttribute('role', 'presentation');
      const link = document.createElement('a');
      link.href = hit.to;
      link.id = `hit-${n}`;
      link.tabIndex = -1;
      link.setAttribute('role', 'option');
      for (const [name, words] of [['sort', hit.sort], ['words', hit.words], ['quiet', hit.beside]]) {
        const part = document.createElement('span');
        part.className = name;
        part.textContent = words;
        link.append(part);
      }
      row.append(link);
      return row;
    }));
    if (answer.hits.length === 0) {
      const none = document.createElement('li');
      none.setAttribute('role', 'presentation');
      none.className = 'quiet';
      none.textContent = `Nothing holds “${box.value}”.`;
      list.append(none);
    }
    panel.style.top = `${Math.max(0, document.querySelector('.head').getBoundingClientRect().bottom)}px`;
    panel.hidden = false;
    box.setAttribute('aria-expanded', 'true');
    choose(0);
  };
  document.addEventListener('focusin', event => {
    if (event.target !== box && !panel.contains(event.target)) { from = event.target; close(); }
  });
  document.addEventListener('focusout', event => {
    if (event.target !== box && 'selectionStart' in event.target) caret = [event.target.selectionStart, event.target.selectionEnd];
  });
  box.addEventListener('focus', look);
  box.addEventListener('input', look);
  box.addEventListener('keydown', event => {
    if (event.key === 'ArrowDown') { choose(on + 1); event.preventDefault(); } else if (event.key === 'ArrowUp') { choose(on - 1); event.preventDefault(); } else if (event.key === 'Escape') {
      close();
      event.preventDefault();
      if (from?.isConnected) { from.focus(); if (caret && 'setSelectionRange' in from) try { from.setSelectionRange(...caret); } catch { /* Some have no caret. */ } } else box.blur();
    } else if (event.key === 'Enter') {
      event.preventDefault();
      const link = rows()[on];
      if (link) location.assign(link.href);
    }
  });
}
