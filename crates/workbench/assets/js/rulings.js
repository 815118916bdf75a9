// Proposals in a list: arrow keys go along them, Enter takes one, Delete refuses it; the next one takes the focus. A form
// that says `undecided` takes a decision back.

import { write } from './edits.js';

/// Listens for the rows that `selector` finds; `keep(row, accepted)` writes the decision down.
export function rulings(selector, keep) {
  const all = () => [...document.querySelectorAll(selector)];
  const go = (from, by) => { const rows = all(); rows[rows.indexOf(from) + by]?.focus(); };
  const decide = (row, accepted) => {
    const rows = all();
    const next = rows[rows.indexOf(row) + 1] ?? rows[rows.indexOf(row) - 1];
    next?.focus();
    return keep(row, accepted);
  };
  document.addEventListener('keydown', event => {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    const row = event.target;
    if (!row.matches?.(selector)) return;
    const acts = {
      ArrowDown: () => go(row, 1), ArrowUp: () => go(row, -1),
      Enter: () => decide(row, true), Delete: () => decide(row, false),
    };
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  });
  document.addEventListener('submit', event => {
    const row = event.target.closest(selector);
    if (row) {
      event.preventDefault();
      decide(row, event.submitter?.value !== 'no');
    } else if (event.target.dataset.undecided) {
      event.preventDefault();
      write([{ do: 'remove', at: event.target.dataset.undecided }]);
    }
  });
}
