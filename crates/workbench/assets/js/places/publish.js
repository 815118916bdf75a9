// Publish: captions in `films.js`; progress and what is left out are shown in place; without this the page is loaded anew.

import { events } from '../live.js';
import { events as page, refresh } from '../page.js';
import { start as films } from './films.js';

export function start() {
  films();
  let used = null;
  // What was used may be another control now, or gone; the next one at hand takes the focus.
  const keep = () => {
    if (!used || document.activeElement !== document.body) return;
    [used, 'stop', 'publish'].map(id => document.getElementById(id)).find(Boolean)?.focus();
  };
  events.addEventListener('job', refresh);
  page.addEventListener('fresh', keep);
  document.addEventListener('submit', async event => {
    const form = event.target.closest('form[data-quiet]');
    if (!form) return;
    event.preventDefault();
    used = event.submitter?.id;
    const response = await fetch(form.action, { method: 'POST', body: new URLSearchParams(new FormData(form)) }).catch(() => null);
    if (!response?.ok) { form.removeAttribute('data-quiet'); form.submit(); return; }
    refresh();
  });
}
