// Events of the server, by one stream a browser: the window with the lock listens and passes on.

import { dossier, serverIs, send } from './edits.js';

export const events = new EventTarget();
const NAMES = ['here', 'saved', 'moved', 'again', 'photo', 'bodies', 'step', 'people', 'job', 'pair', 'arrival', 'heartbeat'];
const SILENCE = 40000;
const AGAIN = [500, 1000, 2000, 4000, 8000, 15000];

const channel = 'BroadcastChannel' in self && dossier ? new BroadcastChannel(`live-${dossier}`) : null;
let quiet = 0;

function heard(name, data) {
  clearTimeout(quiet);
  quiet = setTimeout(() => serverIs(false), SILENCE);
  if (name === 'gone') { serverIs(false); return; }
  serverIs(true);
  events.dispatchEvent(new CustomEvent(name, { detail: data }));
}

function listen() {
  let last = null;
  let failures = 0;
  let stream = null;
  const connect = () => {
    // A page beside the eight places is in none of them.
    const place = document.querySelector('.rule .here') ? document.body.dataset.place : '';
    stream = new EventSource(`/d/${dossier}/live?place=${place}`);
    for (const name of NAMES) {
      stream.addEventListener(name, event => {
        failures = 0;
        last = event.lastEventId || last;
        const data = JSON.parse(event.data);
        channel?.postMessage({ name, data });
        heard(name, data);
      });
    }
    stream.onerror = () => {
      // The stream's own repetition would lose our times between tries.
      stream.close();
      channel?.postMessage({ name: 'gone' });
      heard('gone');
      setTimeout(connect, AGAIN[Math.min(failures, AGAIN.length - 1)]);
      failures += 1;
    };
  };
  connect();
  // A page that the browser keeps for going back to is not one that somebody is in.
  addEventListener('pagehide', () => stream.close());
  addEventListener('pageshow', event => { if (event.persisted) connect(); });
}

export function start() {
  if (!dossier) return;
  channel?.addEventListener('message', ({ data: { name, data } }) => heard(name, data));
  if (navigator.locks) navigator.locks.request(`live-${dossier}`, () => { listen(); return new Promise(() => {}); });
  else listen();
  addEventListener('online', send);
}
