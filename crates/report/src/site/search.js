// Searching the site without a server: the index is fetched in pieces when the first letter is typed.

const form = document.querySelector('.search');
const words = document.getElementById('words');
const found = document.getElementById('found');
const count = document.getElementById('count');
const SHOWN = 50;
let entries;

const folded = (text) => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();

/** Fetches the pieces one after the other; each is searched as soon as it is there. */
async function fetched() {
  if (entries) return;
  entries = [];
  const pieces = await (await fetch('search/list.json')).json();
  for (let n = 0; n < pieces; n += 1) {
    const piece = await (await fetch(`search/${n}.json`)).json();
    entries.push(...piece.map(([name, beside, address]) => ({ name, beside, address, text: folded(`${name} ${beside}`) })));
    show();
  }
}

function show() {
  const wanted = folded(words.value).split(/\s+/).filter(Boolean);
  found.replaceChildren();
  if (!wanted.length) {
    count.textContent = '';
    return;
  }
  const hits = entries.filter(({ text }) => wanted.every((word) => text.includes(word)));
  for (const { name, beside, address } of hits.slice(0, SHOWN)) {
    const item = document.createElement('li');
    const link = document.createElement('a');
    link.href = address;
    link.textContent = name;
    const about = document.createElement('span');
    about.textContent = beside;
    item.append(link, ' ', about);
    found.append(item);
  }
  count.textContent = hits.length > SHOWN ? `${hits.length} found, the first ${SHOWN} shown` : `${hits.length} found`;
}

form.hidden = false;
form.addEventListener('submit', (event) => {
  event.preventDefault();
  found.querySelector('a')?.click();
});
words.addEventListener('input', async () => {
  try {
    await fetched();
    show();
  } catch {
    entries = undefined;
    count.textContent = 'The index could not be fetched; the lists below hold everything.';
  }
});
