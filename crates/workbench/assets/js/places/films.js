// Captions: corrections taken or refused, each a ruling of the record.

import { write } from '../edits.js';
import { say } from '../foot.js';
import { rulings } from '../rulings.js';

async function keep(row, accepted) {
  const value = name => row.querySelector(`[name="entry.${name}"]`).value;
  const entry = { file: value('file'), before: value('before'), after: value('after'), accepted };
  say(`${entry.before}: ${accepted ? 'taken' : 'refused'}`);
  await write([{ do: 'add', to: 'caption-rulings', entry }]);
}

export function start() {
  rulings('[data-correction]', keep);
}
