// The telephone's page: pictures are sent one after the other and stay here until they are kept.

const $ = id => document.getElementById(id);
const waiting = [];
let busy = false;

function row(file) {
  const made = document.createElement('li');
  made.textContent = `${file.name || 'picture'}: kept here`;
  $('sent').prepend(made);
  return made;
}

async function send() {
  if (busy) return;
  busy = true;
  while (waiting.length > 0) {
    const [{ file, line, tries }] = waiting;
    const name = file.name || 'picture';
    line.textContent = `${name}: sending`;
    try {
      const response = await fetch(`/take?name=${encodeURIComponent(name)}`, { method: 'POST', body: file });
      if (response.ok) {
        const answer = await response.json();
        line.textContent = answer.state === 'here' ? `${name}: already here as ${answer.photo}` : `${name}: kept as ${answer.photo}`;
        waiting.shift();
        continue;
      }
      if (response.status === 403) { line.textContent = `${name}: not sent, this telephone is not paired any more`; break; }
      const told = await response.json().catch(() => ({ message: response.status === 413 ? 'it is too large' : `answer ${response.status}` }));
      line.textContent = `${name}: not taken, ${told.message}`;
      waiting.shift();
    } catch {
      waiting[0].tries = tries + 1;
      line.textContent = `${name}: kept here, tried again soon`;
      await new Promise(done => setTimeout(done, Math.min(15000, 1000 * 2 ** tries)));
    }
  }
  busy = false;
}

async function look() {
  try {
    const response = await fetch('/state');
    if (response.status === 403) { location.reload(); return; }
    const told = await response.json();
    $('goes').textContent = told.goes;
    $('step-button').textContent = told.button;
    $('step-button').disabled = told.running === null && told.next === null;
  } catch { /* Away for a moment. */ }
}

if ($('code') && location.hash.length > 1) {
  $('code').value = location.hash.slice(1);
  history.replaceState(null, '', '/');
  $('code').focus();
}
if ($('take')) {
  $('take').addEventListener('change', event => {
    for (const file of event.target.files) waiting.push({ file, line: row(file), tries: 0 });
    event.target.value = '';
    send();
  });
  $('step').addEventListener('submit', async event => {
    event.preventDefault();
    await fetch('/step', { method: 'POST', redirect: 'manual' }).catch(() => null);
    look();
  });
  $('value').addEventListener('submit', async event => {
    event.preventDefault();
    const box = $('value-words');
    const response = await fetch('/value', { method: 'POST', body: new URLSearchParams({ value: box.value }), redirect: 'manual' }).catch(() => null);
    const sent = response && (response.ok || response.type === 'opaqueredirect');
    $('value-says').textContent = sent ? `sent ${box.value}` : 'not sent';
    if (sent) box.value = '';
  });
  setInterval(look, 2000);
  look();
}
