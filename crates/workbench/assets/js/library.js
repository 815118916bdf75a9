// The library's one field: typing finds, Down chooses, Enter opens or begins a product.

export function start() {
  const box = document.querySelector('input[data-begin]');
  if (!box) return;
  const rows = [...document.querySelectorAll('#products tr')];
  // Where the library holds more than is listed, Enter asks the server for those of the name.
  const more = document.querySelector('#products[data-more]') !== null;
  const fresh = document.querySelector('[data-new]');
  const shown = () => rows.filter(row => !row.hidden);
  let on = null;
  const choose = row => {
    on?.classList.remove('on');
    on = row ?? null;
    on?.classList.add('on');
    on?.scrollIntoView({ block: 'nearest' });
  };
  const find = () => {
    const words = box.value.trim().toLowerCase();
    for (const row of rows) if (row.dataset.words !== undefined) row.hidden = !row.dataset.words.includes(words);
    fresh.textContent = words ? `New product “${box.value.trim()}”` : 'New product';
    fresh.href = `/?name=${encodeURIComponent(box.value.trim())}`;
    // A name that is there already is opened, any other begins a product.
    const same = rows.find(row => !row.hidden && row.dataset.words?.startsWith(`${words} `));
    choose(words ? same ?? (more ? null : rows.at(-1)) : null);
  };
  box.addEventListener('input', find);
  box.addEventListener('keydown', event => {
    if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      const all = shown();
      const at = all.indexOf(on) + (event.key === 'ArrowDown' ? 1 : -1);
      choose(all[Math.max(0, Math.min(all.length - 1, at))]);
      event.preventDefault();
    }
  });
  box.form.addEventListener('submit', event => {
    const link = on?.querySelector('a');
    if (!link || !box.value.trim() && on === rows.at(-1)) return;
    event.preventDefault();
    location.assign(link.href);
  });
}
