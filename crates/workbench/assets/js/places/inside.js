// Inside: the plate, the open line and the parts in step.

import { dossier } from '../edits.js';
import { events as page } from '../page.js';
import * as bring from '../inside/bring.js';
import { Line } from '../inside/line.js';
import { Measuring } from '../inside/measure.js';
import { forget } from '../inside/passed.js';
import { Same } from '../inside/same.js';
import { Plate } from '../inside/plate.js';
import { whereabouts } from '../inside/bodies.js';

/// What stands behind the caption: scale, and how many bodies have a part.
function told(plate) {
  const box = document.getElementById('told');
  if (!box) return;
  const free = plate.bodies.filter(body => !body.small || body.item);
  const parts = free.filter(body => body.item).length;
  const scale = plate.pxPerMm ? ` · ${plate.pxPerMm.toFixed(1)} px/mm` : ' · no scale: what is in view?';
  const bodies = free.length ? ` · ${parts} of ${free.length} bodies have a part` : ' · Nothing offered. Enter grows a box at the cross; a stroke draws one.';
  box.textContent = scale + bodies;
  const gone = plate.passed.size;
  if (!gone) return;
  const again = document.createElement('button');
  again.type = 'button';
  again.className = 'goes';
  again.textContent = `${gone} said to be no part: offer again`;
  again.onclick = () => { forget(plate.sha256); plate.look(); };
  box.append(' · ', again);
}

/// The bodies without a part as rows: the same as on the picture, without it.
function others(plate) {
  const body = document.getElementById('others');
  if (!body) return;
  const rows = plate.bodies.map((one, at) => ({ one, at })).filter(({ one }) => !one.item && !one.small && !plate.passed.has(one));
  body.replaceChildren(...rows.map(({ one, at }) => {
    const row = document.createElement('tr');
    const cell = document.createElement('td');
    cell.colSpan = 6;
    const button = document.createElement('button');
    button.type = 'button';
    button.className = 'goes';
    const size = one.size_mm ? `, ${one.size_mm.map(v => v.toFixed(1)).join(' by ')} mm` : '';
    button.textContent = `body ${at + 1}, ${whereabouts(one, plate.width, plate.height)}${size}, no part`;
    button.onclick = () => { plate.hold(at); plate.tell('begun'); };
    cell.append(button);
    row.append(cell);
    return row;
  }));
}

/// The row of the part that is held is marked.
function follow(plate) {
  const item = plate.box?.item ?? null;
  for (const row of document.querySelectorAll('#parts tr[data-item]')) {
    const here = row.dataset.item === item;
    row.classList.toggle('on', here);
    if (here) row.setAttribute('aria-current', 'true'); else row.removeAttribute('aria-current');
  }
}

const openParts = () => new Set([...document.querySelectorAll('#parts tr.open')].map(row => row.dataset.item));

/// Where one is stands in the address, so that a reload comes back to it.
function remember(plate) {
  const address = new URL(location.href);
  address.searchParams.set('plate', plate.photo);
  if (plate.box?.item) address.searchParams.set('at', plate.box.item); else address.searchParams.delete('at');
  history.replaceState(history.state, '', address);
}

/// The plate before or after; the focus goes with it.
function goes(by) {
  const links = [...document.querySelectorAll('.strip a')];
  const here = links.findIndex(link => link.getAttribute('aria-current'));
  const to = links[here + by];
  if (!to) return;
  sessionStorage.setItem('plate-focus', 'yes');
  location.assign(to.href);
}

export async function start() {
  bring.start();
  const figure = document.getElementById('plate');
  if (!figure) return;
  document.querySelector('.strip [aria-current]')?.scrollIntoView({ block: 'nearest', inline: 'center' });
  const plate = new Plate(figure);
  const line = new Line(document.getElementById('line'), plate);
  const measuring = new Measuring(document.getElementById('line'), plate, line);
  const same = new Same(plate);
  const measure = (known, item = null) => {
    const [at, called] = item ? [item, plate.nameOf(item)] : known ? [null, null] : Measuring.under(plate);
    measuring.begin(known, at, called);
  };
  plate.addEventListener('learn', ({ detail }) => {
    if (document.querySelector(`#parts tr[data-item="${CSS.escape(detail.item)}"][data-unlisted]`)) line.learned(detail.item);
  });
  plate.addEventListener('measure', ({ detail }) => measure(detail.known));
  line.addEventListener('taken', ({ detail }) => same.look(detail.part, detail.corners));
  const step = () => {
    follow(plate);
    others(plate);
    told(plate);
    remember(plate);
  };
  for (const name of ['held', 'dropped', 'looked']) plate.addEventListener(name, step);
  plate.addEventListener('plate', ({ detail }) => goes(detail.by));
  line.addEventListener('done', () => {
    figure.focus({ preventScroll: true });
    plate.next();
    step();
  });
  document.addEventListener('click', event => {
    const tool = event.target.closest?.('[data-measure]');
    if (tool) { measure(tool.dataset.measure === 'known', tool.dataset.of ?? null); return; }
    const both = event.target.closest?.('[data-join]');
    if (both) { same.join(both.closest('li')); return; }
    const button = event.target.closest?.('[data-goes]');
    if (!button) return;
    const at = plate.bodies.findIndex(body => body.item === button.dataset.goes);
    if (at < 0) return;
    plate.hold(at);
    figure.focus();
  });
  page.addEventListener('fresh', () => {
    if (!document.contains(figure)) return;
    plate.open = openParts();
    plate.look().then(() => same.tell());
  });
  plate.open = openParts();
  const wanted = new URL(location.href).searchParams.get('at');
  if (sessionStorage.getItem('plate-focus')) { sessionStorage.removeItem('plate-focus'); figure.focus(); }
  await plate.look();
  const at = wanted ? plate.bodies.findIndex(body => body.item === wanted || body.region === wanted) : -1;
  if (at >= 0) plate.hold(at);
  figure.dataset.ready = dossier;
}
