// Other keys for commands, chosen and kept in this browser: a key that was chosen is handed on as the one that
// everything else listens for, and the key that gave way does nothing any more.

const KEPT = 'keys';
const CONTEXTS = {
  everywhere: target => !isText(target),
  plate: target => Boolean(target.closest?.('[role=application]')),
  marking: target => Boolean(target.closest?.('[role=combobox]')) && Boolean(target.closest('.middle')),
};
const BROWSER = new Set(['F1', 'F3', 'F5', 'F6', 'F7', 'F10', 'F11', 'F12', '/', '\'', 'Alt+ArrowLeft', 'Alt+ArrowRight', 'Ctrl+t', 'Ctrl+n', 'Ctrl+w', 'Ctrl+l', 'Ctrl+Tab', 'Ctrl+PageUp', 'Ctrl+PageDown']);
const FIRM = new Set(['Enter', 'Escape', 'Tab', 'ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight', 'Backspace', 'Alt+ArrowDown', 'Ctrl+Enter', 'Ctrl+Shift+z']);
const WORDS = { PageUp: 'PgUp', PageDown: 'PgDn', ArrowUp: 'Up', ArrowDown: 'Down', ArrowLeft: 'Left', ArrowRight: 'Right', Escape: 'Esc' };

const isText = target => target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement ||
  target instanceof HTMLInputElement && !['radio', 'checkbox', 'button', 'submit', 'file'].includes(target.type);
const isCharacter = key => [...key].length === 1;

let chosen = {};
try { chosen = JSON.parse(localStorage.getItem(KEPT) ?? '{}'); } catch { /* The keys that are printed. */ }
/// Commands as the keys page lists them: context, name, key as printed.
const commands = [
  ['everywhere', 'find', 'F2'], ['everywhere', 'places', 'F8'], ['everywhere', 'keys', '?'],
  ['everywhere', 'back', 'Ctrl+z'], ['everywhere', 'forth', 'Ctrl+y'], ['everywhere', 'step', ''], ['everywhere', 'photographs', ''],
  ['plate', 'next', 'Space'], ['plate', 'nearer', 'PageUp'], ['plate', 'farther', 'PageDown'], ['plate', 'whole', 'Home'],
  ['plate', 'fill', 'End'], ['plate', 'before', 'Shift+PageUp'], ['plate', 'after', 'Shift+PageDown'],
  ['plate', 'outline', 'Shift+Space'], ['plate', 'none', 'Delete'],
  ['marking', 'left', 'PageUp'], ['marking', 'right', 'PageDown'], ['marking', 'contrast', 'Shift+PageDown'],
].map(([context, name, key]) => ({ context, name, key }));

const keyOf = command => chosen[command.name] ?? command.key;

/// A key with those held, as `Ctrl+z`, `Shift+PageUp`, `?`.
export function chord(event) {
  const key = event.key === ' ' ? 'Space' : event.key;
  const plain = isCharacter(key);
  const name = plain && (event.ctrlKey || event.metaKey) ? key.toLowerCase() : key;
  const held = [event.ctrlKey || event.metaKey ? 'Ctrl' : '', event.altKey ? 'Alt' : '', event.shiftKey && (!plain || event.ctrlKey) ? 'Shift' : ''];
  return [...held.filter(Boolean), name].join('+');
}

const inWords = key => key.split('+').map(part => WORDS[part] ?? (isCharacter(part) && key.length > 1 ? part.toUpperCase() : part)).join('+');

/// Whether a key of a command acts where the focus is; a character acts outside fields alone.
function acts({ context }, key, target) {
  if (context !== 'everywhere') return CONTEXTS[context](target);
  return !isCharacter(key) || CONTEXTS.everywhere(target) && !target.dataset?.takes;
}

/// Says why a key cannot be chosen for a command; nothing where it can.
function against(command, key) {
  if (BROWSER.has(key) || /^Ctrl\+\d$/.test(key) || /^Alt\+\d$/.test(key)) return `${inWords(key)} belongs to the browser`;
  if (FIRM.has(key) || /^Shift\+Arrow/.test(key)) return `${inWords(key)} has its own use in fields, lists and on plates`;
  if (isCharacter(key) && command.context !== 'everywhere') return `${inWords(key)} would be the first character of a marking`;
  const meets = other => other !== command && (other.context === command.context || other.context === 'everywhere' || command.context === 'everywhere');
  const other = commands.find(one => meets(one) && keyOf(one) === key);
  return other ? `${inWords(key)} is taken: ${doesOf(other)}` : null;
}

const doesOf = command => document.querySelector(`[data-command="${command.name}"] + dd`)?.firstChild?.textContent ?? command.name;

function keep(command, key) {
  if (key === null || key === command.key) delete chosen[command.name]; else chosen[command.name] = key;
  try { localStorage.setItem(KEPT, JSON.stringify(chosen)); } catch { /* For this page alone. */ }
  shown();
}

/// Commands that no key has but a chosen one.
const OWN = {
  step: () => {
    const button = [...document.querySelectorAll('#step-start, #step-stop')].find(one => one.offsetParent !== null);
    const { dossier, place } = document.body.dataset;
    if (button) button.click(); else if (dossier && place !== 'opening') location.assign(`/d/${dossier}/opening`);
  },
  photographs: () => document.dispatchEvent(new CustomEvent('chord', { detail: 'p' })),
};

function translated(event) {
  if (!event.isTrusted || event.isComposing || waiting) return;
  const key = chord(event);
  const command = commands.find(one => chosen[one.name] === key && acts(one, key, event.target));
  if (command) {
    event.preventDefault();
    event.stopImmediatePropagation();
    if (OWN[command.name]) { OWN[command.name](); return; }
    const parts = command.key.split('+');
    const name = parts.pop();
    event.target.dispatchEvent(new KeyboardEvent('keydown', {
      key: name === 'Space' ? ' ' : name, ctrlKey: parts.includes('Ctrl'), shiftKey: parts.includes('Shift'), bubbles: true, cancelable: true,
    }));
    return;
  }
  const gaveWay = commands.find(one => one.key === key && keyOf(one) !== key && acts(one, key, event.target));
  if (!gaveWay) return;
  event.stopImmediatePropagation();
  // What the browser does with it in a field, such as taking typing back, stays.
  if (gaveWay.context !== 'everywhere') event.preventDefault();
}

let waiting = null;

/// The next key is taken for a command.
function wait(command, button, told) {
  waiting = { command, button, told };
  button.textContent = 'press a key';
  told.textContent = 'Esc leaves it as it is';
}

function pressed(event) {
  if (!waiting || ['Shift', 'Control', 'Alt', 'Meta'].includes(event.key)) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  const { command, told } = waiting;
  const key = chord(event);
  const why = key === 'Escape' ? '' : against(command, key);
  waiting = null;
  if (!why && key !== 'Escape') keep(command, key);
  else shown();
  told.textContent = why ?? '';
}

/// Puts the keys that hold into every hint, and beside each command how to choose another.
function shown() {
  for (const hint of document.querySelectorAll('kbd[data-for]')) {
    const command = commands.find(one => one.name === hint.dataset.for);
    if (command) hint.textContent = inWords(keyOf(command));
  }
  for (const row of document.querySelectorAll('[data-command]')) {
    const command = commands.find(one => one.name === row.dataset.command);
    if (!command) continue;
    const key = keyOf(command);
    row.querySelector('kbd').textContent = key ? inWords(key) : 'no key';
    row.classList.toggle('other', command.name in chosen);
    const beside = row.nextElementSibling;
    if (!beside.querySelector('.chooses')) dressed(beside, command);
    const choose = beside.querySelector('.chooses');
    choose.textContent = 'other key';
    choose.setAttribute('aria-label', `Choose another key for: ${beside.firstChild.textContent}`);
    beside.querySelector('.asbefore').hidden = !(command.name in chosen);
  }
  const told = document.getElementById('keys-chosen');
  if (told) told.hidden = Object.keys(chosen).length === 0;
}

function dressed(beside, command) {
  const button = (words, kind) => {
    const made = document.createElement('button');
    made.type = 'button';
    made.className = kind;
    made.textContent = words;
    return made;
  };
  const choose = button('other key', 'chooses');
  const before = button('as before', 'asbefore');
  const told = document.createElement('span');
  told.className = 'under';
  told.setAttribute('role', 'status');
  choose.addEventListener('click', () => wait(command, choose, told));
  before.addEventListener('click', () => { keep(command, null); choose.focus(); });
  const both = document.createElement('span');
  both.className = 'choose';
  both.append(choose, before);
  beside.append(both, told);
}

/// Shows the keys of a list that was put into the page.
export const dress = shown;

export function start() {
  addEventListener('keydown', event => { if (waiting) pressed(event); else translated(event); }, true);
  const told = document.getElementById('keys-chosen');
  if (told) {
    told.textContent = 'Keys were chosen in this browser. ';
    const all = document.createElement('button');
    all.type = 'button';
    all.id = 'keys-reset';
    all.textContent = 'All as before';
    all.addEventListener('click', () => { chosen = {}; try { localStorage.removeItem(KEPT); } catch { /* Nothing was kept. */ } shown(); });
    told.append(all);
  }
  shown();
}
