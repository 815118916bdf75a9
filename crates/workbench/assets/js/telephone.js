// The telephone at the bench: F8 T shows how to pair one. What it sends is an arrival.

import { events as live } from './live.js';
import { refresh } from './page.js';

export function start() {
  document.addEventListener('chord', ({ detail }) => {
    if (detail === 't') location.assign(`/d/${document.body.dataset.dossier}/telephone`);
  });
  live.addEventListener('pair', refresh);
}
