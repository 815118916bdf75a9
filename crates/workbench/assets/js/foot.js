// The foot: how saving stands, what would be taken back, what moved; what is said to those who listen.

import { events, state, undo } from './edits.js';
import { events as live } from './live.js';
import { refresh } from './page.js';

const two = n => String(n).padStart(2, '0');
const clock = time => `${two(time.getHours())}:${two(time.getMinutes())}`;
const clockSeconds = time => `${clock(time)}:${two(time.getSeconds())}`;

/// Says a sentence to those who listen; `now` interrupts.
export function say(words, now = false) {
  const region = document.getElementById(now ? 'alerts' : 'says');
  if (region) region.textContent = words;
}

let kind = 'saved';
let lastKept = null;

function showState(bold, rest, what) {
  const box = document.getElementById('state');
  if (!box) return;
  box.parentElement.className = `state ${what}`;
  const words = `${bold}${rest}`;
  // The region speaks when the kind of state changes, not at each save.
  box.setAttribute('aria-live', kind === what ? 'off' : 'polite');
  kind = what;
  if (box.textContent === words) return;
  const strong = document.createElement('b');
  strong.textContent = bold;
  box.replaceChildren(strong, rest);
}

function stateChanged({ away, waiting, since, refused, durable }) {
  document.body.classList.toggle('server-away', away);
  if (waiting > 0 && (away || Date.now() - since > 1500)) {
    showState('Kept here', `: ${waiting} not saved since ${clock(new Date(since))}`, 'away');
  } else if (away) {
    showState('Kept here', ': the server is away', 'away');
  } else if (refused > 0) {
    showState('Not taken', `: ${refused}, look`, 'not-taken');
  } else if (waiting === 0 && lastKept) {
    showState('Saved', ` ${clockSeconds(lastKept)},`, 'saved');
  } else if (waiting === 0 && kind !== 'saved') {
    showState('Saved', '', 'saved');
  }
  if (!durable && !document.body.dataset.toldMemory) {
    document.body.dataset.toldMemory = 'yes';
    const box = document.getElementById('arrivals');
    if (box) box.textContent = 'This browser keeps nothing: what is typed is lost with the page';
  }
}

let fresh = 0;
function soon() {
  clearTimeout(fresh);
  fresh = setTimeout(refresh, 0);
}

function movedSaid({ verdicts }) {
  if (verdicts.length === 0) return;
  const [first] = verdicts;
  const more = verdicts.length > 1 ? `, and ${verdicts.length - 1} more` : '';
  say(`${first.title}: was ${first.was ?? 'none'}, now ${first.now ?? 'none'}${more}`);
}

function peopleShown({ people }) {
  const box = document.getElementById('people');
  const others = people.filter(one => one.name !== document.body.dataset.person);
  const words = others.map(one => one.place ? `${one.name} in ${one.place}` : one.name).join(', ');
  const told = words && `Also here: ${words}`;
  if (box && box.textContent !== told) box.textContent = told;
}

export function takeBack(what) {
  const form = document.querySelector(`form[data-undo][data-what="${what}"]`);
  if (form) undo(Number(form.dataset.undo));
}

export function start() {
  events.addEventListener('state', ({ detail }) => stateChanged(detail));
  events.addEventListener('writing', () => showState('Writing…', '', 'saved'));
  events.addEventListener('kept', ({ detail: { revision } }) => {
    lastKept = new Date();
    const link = document.getElementById('revision');
    if (link) link.textContent = `revision ${revision}`;
  });
  events.addEventListener('trouble', ({ detail }) => say(`${detail.message}; ${detail.remedy ?? ''}`, true));
  events.addEventListener('signed-out', () => {
    showState('Not let in', ': open the address that `underlid serve` printed; what is typed stays here', 'away');
    say('This browser is not let in any more', true);
  });
  live.addEventListener('saved', ({ detail }) => { if (detail.revision > Number(document.body.dataset.revision)) soon(); });
  live.addEventListener('again', soon);
  live.addEventListener('here', ({ detail }) => { if (detail.revision > Number(document.body.dataset.revision)) soon(); });
  live.addEventListener('people', ({ detail }) => peopleShown(detail));
  live.addEventListener('moved', ({ detail }) => movedSaid(detail));
  document.addEventListener('submit', event => {
    const form = event.target.closest?.('form[data-undo]');
    if (!form) return;
    event.preventDefault();
    undo(Number(form.dataset.undo));
  });
  state();
}
