// Publish: progress and what is left out are shown in place; without this the page is loaded anew.

import { events } from '../live.js';
import { refresh } from '../page.js';

export function start() {
  events.addEventListener('job', refresh);
  document.addEventListener('submit', async event => {
    const form = event.target.closest('form[data-quiet]');
    if (!form) return;
    event.preventDefault();
    const used = event.submitter?.id;
    const response = await fetch(form.action, { method: 'POST', body: new URLSearchParams(new FormData(form)) }).catch(() => null);
    if (!response?.ok) { form.removeAttribute('data-quiet'); form.submit(); return; }
    await refresh();
    // What was used may be another control now; the next one at hand takes the focus.
    if (document.activeElement === document.body) (document.getElementById(used) ?? document.getElementById('stop') ?? document.getElementById('publish'))?.focus();
  });
}
