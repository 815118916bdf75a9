// Texts published before: parts taken or refused; what is taken is more than an edit, so the server decides.

import { say } from '../foot.js';
import { refresh } from '../page.js';
import { rulings } from '../rulings.js';

async function keep(row, accepted) {
  const form = row.querySelector('form');
  const body = new URLSearchParams(new FormData(form));
  body.set('accepted', accepted ? 'yes' : 'no');
  const answer = await fetch(form.action, { method: 'POST', body }).catch(() => null);
  say(answer?.ok ? `${body.get('part')}: ${accepted ? 'taken' : 'refused'}` : `${body.get('part')}: not kept; try again`);
  if (answer?.ok) refresh();
}

export function start() {
  rulings('[data-proposal]', keep);
}
