// The page brought to the latest revision in place: asked for again, and only what differs is changed.
// The field in use, what is typed in it, what is unfolded and where one is stay as they are.

let asked = 0;
let wanted = false;
export const events = new EventTarget();

export async function refresh() {
  if (asked > 0) { wanted = true; return; }
  asked += 1;
  try {
    const address = new URL(location.href);
    address.searchParams.set('since', document.body.dataset.since);
    const response = await fetch(address, { headers: { accept: 'text/html' } });
    if (!response.ok) return;
    const fresh = new DOMParser().parseFromString(await response.text(), 'text/html');
    for (const part of ['.rule', 'main', 'aside', '.foot']) {
      const [old, now] = [document.querySelector(part), fresh.querySelector(part)];
      if (old && now) morph(old, now);
      else if (now) document.querySelector('.middle')?.append(now);
      else old?.remove();
    }
    document.body.dataset.revision = fresh.body.dataset.revision;
    events.dispatchEvent(new CustomEvent('fresh'));
  } catch { /* The server is away; it is asked again when it is back. */ } finally {
    asked -= 1;
    if (wanted) { wanted = false; refresh(); }
  }
}

const KEPT = new Set(['open', 'data-kept', 'aria-expanded', 'aria-activedescendant']);
const keyOf = node => node.nodeType === 1 ? node.id || node.dataset.key || null : null;

/// Makes `old` equal to `now`. An element with `data-own` belongs to its module and is left alone.
export function morph(old, now) {
  if (old.nodeType !== 1 || old.hasAttribute('data-own')) return;
  for (const { name, value } of [...now.attributes]) {
    if (!KEPT.has(name) && old.getAttribute(name) !== value) {
      if (name === 'class' && old.classList.contains('unsaved')) continue;
      old.setAttribute(name, value);
    }
  }
  for (const { name } of [...old.attributes]) {
    if (!now.hasAttribute(name) && !KEPT.has(name) && name !== 'class') old.removeAttribute(name);
    if (name === 'class' && !now.hasAttribute('class')) old.removeAttribute('class');
  }
  if (value(old, now)) return;
  children(old, now);
}

/// Takes over the value of a control, unless a person has typed in it.
function value(old, now) {
  if (!(old instanceof HTMLInputElement || old instanceof HTMLTextAreaElement || old instanceof HTMLSelectElement)) return false;
  if (old.type === 'hidden') { old.value = now.value; return true; }
  const field = old.closest('[data-field],[data-add]');
  const touched = field?.hasAttribute('data-typed') || field?.hasAttribute('data-two') || old === document.activeElement && old.value !== old.defaultValue;
  if (old instanceof HTMLSelectElement) {
    const was = old.value;
    children(old, now);
    old.value = touched ? was : now.value;
  } else {
    const fresh = now.defaultValue;
    if (!touched && old.value !== fresh) old.value = fresh;
    old.defaultValue = fresh;
    if (touched && field) old.value = old.value;
  }
  return true;
}

function children(old, now) {
  const keyed = new Map();
  for (const child of old.childNodes) { const key = keyOf(child); if (key) keyed.set(key, child); }
  let at = old.firstChild;
  for (const fresh of [...now.childNodes]) {
    const key = keyOf(fresh);
    let match = key ? keyed.get(key) : null;
    if (match && match.nodeName !== fresh.nodeName) match = null;
    if (!match && !key && at && !keyOf(at) && at.nodeType === fresh.nodeType && at.nodeName === fresh.nodeName) match = at;
    if (!match) { old.insertBefore(document.importNode(fresh, true), at); continue; }
    if (key) keyed.delete(key);
    if (match !== at) {
      // Moving an element takes its focus; what is in use stays and the others move about it.
      if (match.contains(document.activeElement)) {
        while (at && at !== match) { const next = at.nextSibling; at.remove(); at = next; }
      } else old.insertBefore(match, at);
    }
    at = match.nextSibling;
    if (match.nodeType === 3) { if (match.data !== fresh.data) match.data = fresh.data; } else morph(match, fresh);
  }
  while (at) { const next = at.nextSibling; at.remove(); at = next; }
}
