// Texts published before: arrow keys go along the proposals, Enter takes one, Delete refuses it; the next one takes the
// focus.

import { write } from '../edits.js';
import { say } from '../foot.js';
import { refresh } from '../page.js';

const all = () => [...document.querySelectorAll('[data-proposal]')];

function go(from, by) {
  const rows = all();
  rows[rows.indexOf(from) + by]?.focus();
}

async function decide(row, accepted) {
  const rows = all();
  const next = rows[rows.indexOf(row) + 1] ?? rows[rows.indexOf(row) - 1];
  const form = row.querySelector('form');
  const body = new URLSearchParams(new FormData(form));
  body.set('accepted', accepted ? 'yes' : 'no');
  next?.focus();
  const answer = await fetch(form.action, { method: 'POST', body }).catch(() => null);
  say(answer?.ok ? `${body.get('part')}: ${accepted ? 'taken' : 'refused'}` : `${body.get('part')}: not kept; try again`);
  if (answer?.ok) refresh();
}

export function start() {
  document.addEventListener('keydown', event => {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    const row = event.target;
    if (!row.matches?.('[data-proposal]')) return;
    const acts = {
      ArrowDown: () => go(row, 1), ArrowUp: () => go(row, -1),
      Enter: () => decide(row, true), Delete: () => decide(row, false),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  });
  document.addEventListener('submit', event => {
    const row = event.target.closest('[data-proposal]');
    if (row) {
      event.preventDefault();
      decide(row, event.submitter?.value !== 'no');
    } else if (event.target.dataset.undecided) {
      event.preventDefault();
      write([{ do: 'remove', at: event.target.dataset.undecided }]);
    }
  });
}
