// How the weighings would balance with one that is being typed.

import { ask } from './ask.js';

/// Returns it in words, for a field of a weighing; nothing for any other.
export async function balanceWith(form, edit) {
  const item = form.closest('[data-weighs]')?.dataset.weighs;
  if (!item) return '';
  const answer = await ask('balance', { edits: [edit], item });
  if (!answer || answer.refused) return '';
  return (answer.balance.length > 0 ? answer.balance : answer.says.slice(0, 1)).join('; ');
}
