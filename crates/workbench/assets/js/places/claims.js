// Claims: rows by Up and Down, Enter unfolds, Esc folds; what moved is marked until it was looked at.

export function start() {
  const rows = () => [...document.querySelectorAll('#judged > li summary')];
  document.addEventListener('keydown', event => {
    const row = event.target.closest?.('#judged > li');
    if (!row || event.ctrlKey || event.altKey) return;
    const all = rows();
    const summary = row.querySelector('summary');
    const at = all.indexOf(summary);
    const on = event.target === summary;
    const go = n => { all[Math.max(0, Math.min(all.length - 1, n))]?.focus(); event.preventDefault(); };
    if (on && event.key === 'ArrowDown') go(at + 1);
    else if (on && event.key === 'ArrowUp') go(at - 1);
    else if (on && event.key === 'Home') go(0);
    else if (on && event.key === 'End') go(all.length - 1);
    else if (event.key === 'Escape' && !event.defaultPrevented) {
      row.querySelector('details').open = false;
      summary.focus();
    }
  });
}
