// Words of a field as the value that an edit holds. The server judges whether it fits.

const numberOr = text => {
  const number = Number(text);
  return text.trim() !== '' && Number.isFinite(number) ? number : text;
};

const parted = (text, by) => text.split(by).map(piece => piece.trim()).filter(piece => piece !== '');

export function valueOf(shape, words) {
  const text = shape === 'text' ? words : words.trim();
  if (text.trim() === '') return null;
  switch (shape) {
    case 'count':
    case 'number': return numberOr(text);
    case 'boolean': return text === 'yes' ? true : text === 'no' ? false : text;
    case 'list-comma': return parted(text, ',');
    case 'list-bar': return parted(text, '|');
    case 'list-line': return parted(text, '\n');
    case 'row': return parted(text, ',').map(numberOr);
    case 'rows': return parted(text, ' ').map(row => parted(row, ',').map(numberOr));
    default: return text.replace(/\r\n/g, '\n').trimEnd();
  }
}

export const wordsOf = value =>
  value === null || value === undefined ? '' :
  value === true ? 'yes' : value === false ? 'no' :
  Array.isArray(value) ? value.map(wordsOf).join(', ') : String(value);

/// Puts a value into an entry below the tables that it stands in.
export function put(entry, path, value) {
  const keys = path.split('.');
  const last = keys.pop();
  let at = entry;
  for (const key of keys) at = at[key] ??= {};
  at[last] = value;
}

/// An id made of a few of the first words, as the server makes them.
export function idOf(text, taken) {
  const words = text.toLowerCase().replace(/[^a-z0-9_]+/g, ' ').trim().split(' ').filter(Boolean);
  let id = '';
  for (const word of words) {
    if (id !== '' && id.length + word.length >= 24) break;
    id += (id === '' ? '' : '-') + word;
  }
  id = id.replace(/^_+/, '') || 'short-word';
  let free = id;
  for (let n = 2; taken.has(free); n += 1) free = `${id}-${n}`;
  return free;
}
