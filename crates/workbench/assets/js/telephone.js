// The telephone at the bench: F8 T shows how to pair one; what it sends waits in the foot for F8 Enter.

import { events as live } from './live.js';
import { refresh } from './page.js';
import { say } from './foot.js';

let arrived = null;
let field = null;

export function start() {
  document.addEventListener('chord', ({ detail }) => {
    if (detail === 't') location.assign(`/d/${document.body.dataset.dossier}/telephone`);
  });
  document.addEventListener('focusin', ({ target }) => { if (target.matches?.('main input:not([type=hidden]), main textarea, aside input:not([type=hidden])')) field = target; });
  live.addEventListener('pair', refresh);
  live.addEventListener('arrival', ({ detail }) => {
    arrived = detail.text;
    const box = document.getElementById('arrivals');
    if (box) box.textContent = `Arrived ${detail.text} from ${detail.from}: F8 Enter`;
  });
  document.addEventListener('take-arrival', () => {
    if (arrived === null) return;
    if (!field?.isConnected) { say('No field is open for it', true); return; }
    field.focus();
    field.value = arrived;
    field.dispatchEvent(new Event('input', { bubbles: true }));
    arrived = null;
    document.getElementById('arrivals').textContent = '';
  });
}
