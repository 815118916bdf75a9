// Captions: arrow keys go along the corrections, Enter takes one, Delete refuses it; the next one takes the focus.

import { write } from '../edits.js';
import { say } from '../foot.js';

const all = () => [...document.querySelectorAll('[data-correction]')];

function go(from, by) {
  const rows = all();
  rows[rows.indexOf(from) + by]?.focus();
}

async function decide(row, accepted) {
  const rows = all();
  const next = rows[rows.indexOf(row) + 1] ?? rows[rows.indexOf(row) - 1];
  const value = name => row.querySelector(`[name="entry.${name}"]`).value;
  const entry = { file: value('file'), before: value('before'), after: value('after'), accepted };
  say(`${entry.before}: ${accepted ? 'taken' : 'refused'}`);
  next?.focus();
  await write([{ do: 'add', to: 'caption-rulings', entry }]);
}

export function start() {
  document.addEventListener('keydown', event => {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    const row = event.target;
    if (!row.matches?.('[data-correction]')) return;
    const acts = {
      ArrowDown: () => go(row, 1), ArrowUp: () => go(row, -1),
      Enter: () => decide(row, true), Delete: () => decide(row, false),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  });
  document.addEventListener('submit', event => {
    const row = event.target.closest('[data-correction]');
    if (row) {
      event.preventDefault();
      decide(row, event.submitter?.value !== 'no');
    } else if (event.target.dataset.undecided) {
      event.preventDefault();
      write([{ do: 'remove', at: event.target.dataset.undecided }]);
    }
  });
}
