// The open line: the crop, the marking, what it may be, the size, the role. Enter goes on; Esc goes back to the plate.
// Tells of: done (the part is written), left (back to the plate).

import { ask } from '../ask.js';
import { write } from '../edits.js';
import { say } from '../foot.js';
import { refresh } from '../page.js';
import { bounds } from './bodies.js';
import { node } from './nodes.js';

const TOLD_AFTER = 600;
export class Line extends EventTarget {
  constructor(section, plate) {
    super();
    Object.assign(this, { section, plate, choices: null, chosen: 0, byName: null, turn: 0, number: 0 });
    this.hint = [...section.querySelectorAll('.hint')];
    this.which = section.querySelector('.which');
    this.sides = section.querySelector('.sides');
    plate.addEventListener('held', () => this.open());
    plate.addEventListener('snapped', ({ detail }) => this.measured(detail.box));
    plate.addEventListener('dropped', () => this.close());
    plate.addEventListener('typed', ({ detail }) => this.begin(detail.key));
    plate.addEventListener('begun', () => this.begin(''));
  }

  tell(name) { this.dispatchEvent(new CustomEvent(name)); }

  // ---- the line itself

  open() {
    this.endDoubt?.(null);
    const { plate } = this;
    const row = plate.box.item && [...document.querySelectorAll('#parts [data-item]')].find(tr => tr.dataset.item === plate.box.item);
    this.item = plate.box.item ?? null;
    this.group = null;
    this.choices = null;
    this.turn = 0;
    this.taken = null;
    this.marking = node('input', {
      id: 'marking', class: 'marking', role: 'combobox', 'aria-expanded': 'false', 'aria-controls': 'choices', 'aria-autocomplete': 'list',
      'aria-describedby': 'marking-reads', autocomplete: 'off', autocapitalize: 'off', autocorrect: 'off', spellcheck: 'false', enterkeyhint: 'next', lang: 'zxx',
    });
    this.designator = node('input', { id: 'designator', class: 'designator', autocomplete: 'off', autocapitalize: 'characters', spellcheck: 'false', enterkeyhint: 'next', lang: 'zxx' });
    this.list = node('ul', { id: 'choices', role: 'listbox', 'aria-label': 'What it may be' });
    this.reads = node('p', { id: 'marking-reads', class: 'reads' });
    this.decides = node('p', { class: 'decides' });
    this.size = node('span', { class: 'size', text: 'measuring …' });
    this.doubts = node('span', { class: 'doubts' });
    this.crop = node('div', { class: 'crop' }, node('img', { alt: '' }));
    this.rest = node('div', { class: 'rest' });
    this.section.replaceChildren(
      node('h2', {}, this.which, this.sides),
      this.crop,
      node('div', { class: 'entry' },
        node('div', {}, node('label', { for: 'designator', text: 'Printed beside' }), this.designator),
        node('div', { class: 'wide' }, node('label', { for: 'marking' }, 'Marking as seen', node('span', { class: 'chord' }, node('kbd', { text: 'Shift+Enter' }), ' next line')), this.marking)),
      this.list, this.decides, this.reads,
      node('dl', {}, node('dt', { text: 'Size' }), node('dd', {}, this.size, this.doubts)),
      this.rest,
    );
    this.which.textContent = row ? row.dataset.called : `Part ${1 + plate.bodies.filter(body => body.item).length}`;
    this.sides.textContent = '';
    if (row) {
      this.marking.value = row.querySelector('.mono :is(input, textarea)[name=new]')?.value.replaceAll('\n', '|') ?? '';
      this.designator.value = row.dataset.called;
      this.designator.disabled = true;
    }
    if (row?.hasAttribute('data-unlisted')) {
      const add = node('button', { type: 'button', class: 'goes', text: 'add it to them' });
      add.onclick = () => this.learned(this.item);
      this.rest.append(node('p', { class: 'unlisted' }, 'Not among the known parts: ', add, ' ', node('kbd', { text: 'Ctrl+Enter' })));
    }
    this.listen();
    this.showCrop();
  }

  close() {
    this.endDoubt?.(null);
    this.section.replaceChildren(node('h2', {}, this.which, this.sides), ...this.hint);
    this.which.textContent = 'No box';
    this.sides.textContent = '';
    this.marking = null;
  }

  begin(text) {
    if (!this.marking) return;
    this.marking.focus();
    if (text) { this.marking.value += text; this.typed(); }
  }

  showCrop() {
    const corners = this.plate.box?.snapped?.corners ?? this.plate.box?.marked;
    if (!corners) return;
    const [l, t, r, b] = bounds({ corners });
    const box = this.crop.getBoundingClientRect();
    const aspect = box.width > 0 ? box.width / Math.max(1, box.height) : 4;
    const upright = this.turn % 2 === 0;
    const [w, h] = [r - l, b - t];
    let height = 1.2 * h;
    let width = upright ? Math.max(1.1 * w, height * aspect) : height;
    if (!upright) { const side = 1.15 * Math.max(w, h); [width, height] = [side, side]; }
    const left = Math.max(0, Math.round(upright ? l - 0.08 * w : (l + r - width) / 2));
    const top = Math.max(0, Math.round((t + b - height) / 2));
    const image = this.crop.firstElementChild;
    const address = `/t/${this.plate.sha256}/crop/${left}-${top}-${Math.max(1, Math.round(width))}-${Math.max(1, Math.round(height))}.jpg`;
    if (image.getAttribute('src') !== address) image.src = address;
    image.className = this.turn ? `turn-${this.turn}` : '';
  }

  measured(box) {
    if (!this.marking) return;
    const [moved, ...doubts] = box.told.split('; ');
    this.sides.textContent = moved;
    this.sides.title = box.told;
    this.size.replaceChildren(box.size, node('span', { class: 'quiet', text: box.fits.length ? `, fits ${box.fits.slice(0, 3).join(', ')}` : '' }));
    const more = doubts.length > 1 ? `, and ${doubts.length - 1} more` : '';
    this.doubts.textContent = doubts.length ? `${doubts[0]}${more}` : '';
    this.doubts.title = doubts.join('; ');
    this.showCrop();
    if (this.marking.value) this.typed();
    if (document.activeElement === this.plate.figure) say(box.told);
  }

  // ---- the marking

  listen() {
    this.marking.addEventListener('input', () => this.typed());
    this.marking.addEventListener('keydown', event => { if (!event.isComposing && this.key(event)) { event.preventDefault(); event.stopPropagation(); } });
    this.designator.addEventListener('keydown', event => {
      if (event.key === 'Enter') { event.preventDefault(); this.marking.focus(); }
      if (event.key === 'Escape') { event.stopPropagation(); this.leave(); }
    });
    this.list.addEventListener('pointerdown', event => event.preventDefault());
    this.list.addEventListener('click', event => {
      const row = event.target.closest('[role=option]');
      if (row) { this.choose(Number(row.dataset.row)); this.take(); }
    });
  }

  key(event) {
    const { key } = event;
    if (key === 'ArrowDown' || key === 'ArrowUp') {
      if (!this.choices?.rows.length) return true;
      const step = key === 'ArrowDown' ? 1 : -1;
      this.choose(Math.max(0, Math.min(this.choices.rows.length - 1, this.chosen + step)));
      return true;
    }
    if (key === 'Enter' && event.shiftKey) { this.marking.setRangeText('|', this.marking.selectionStart, this.marking.selectionEnd, 'end'); this.typed(); return true; }
    if (key === 'Enter') { this.take(event.ctrlKey || event.metaKey); return true; }
    if (key === 'Escape') { this.leave(); return true; }
    if (key === 'PageUp' || key === 'PageDown') {
      if (event.shiftKey && key === 'PageDown') this.crop.classList.toggle('stretched');
      else { this.turn = (this.turn + (key === 'PageDown' ? 1 : 3)) % 4; this.showCrop(); }
      return true;
    }
    return false;
  }

  leave() {
    this.plate.figure.focus({ preventScroll: true });
    this.tell('left');
  }

  async typed() {
    const text = this.marking.value;
    this.byName = this.pinned ? this.choices?.rows[this.chosen]?.name : null;
    const waits = setTimeout(() => this.list.classList.add('late'), 100);
    const asked = performance.now();
    const question = ask('marking', { text, body_mm: this.plate.box?.snapped?.size_mm ?? null, board: this.plate.board ?? null, item: this.item });
    this.asking = question;
    const answer = await question;
    clearTimeout(waits);
    if (!answer || !this.marking || this.marking.value !== text) return;
    this.list.classList.remove('late');
    this.list.dataset.of = text;
    this.list.dataset.took = (performance.now() - asked).toFixed(1);
    const { choices } = answer;
    this.reads.textContent = choices.fault ?? choices.code ?? '';
    if (choices.fault) return;
    this.choices = choices;
    this.chosen = choices.marked;
    if (this.byName) {
      const at = choices.rows.findIndex(row => row.name === this.byName);
      if (at >= 0) this.chosen = at;
      else { this.pinned = false; say(`${this.byName} is no candidate any more`); }
    }
    this.show();
    clearTimeout(this.telling);
    this.telling = setTimeout(() => say(choices.told), TOLD_AFTER);
  }

  choose(at) {
    this.chosen = at;
    this.pinned = true;
    this.show();
  }

  show() {
    const { rows, decides, others, also } = this.choices;
    this.list.replaceChildren(...rows.map((row, at) => this.option(row, at)));
    this.marking.setAttribute('aria-expanded', String(rows.length > 0));
    const on = this.list.children[this.chosen];
    if (on) { this.marking.setAttribute('aria-activedescendant', on.id); keepInView(this.list, on); } else this.marking.removeAttribute('aria-activedescendant');
    const more = [decides, others && `Others ${others}.`, also.length && `Also for ${also.length === 1 ? '1 other' : `${also.length} others`} with this marking: Ctrl+Enter.`];
    this.decides.textContent = more.filter(Boolean).join(' ');
  }

  option(row, at) {
    const name = node('span', { class: 'name' });
    if (row.letters.length) for (const [letter, other] of row.letters) name.append(other ? node('b', { text: letter }) : letter);
    else name.textContent = row.name;
    const differs = row.letters.findIndex(([, other]) => other);
    const spoken = [row.name, row.about.replaceAll(' · ', ', '), row.percent?.replace('%', 'percent'), row.word, ...row.against, differs >= 0 && `differs at character ${differs + 1}`].filter(Boolean).join(', ');
    return node('li', { id: `choice-${at}`, role: 'option', 'aria-selected': String(at === this.chosen), 'aria-label': spoken, class: `${row.sort}${row.unlike ? ' unlike' : ''}`, 'data-row': at },
      name,
      node('span', { class: 'percent', text: row.percent ?? '' }),
      node('span', { class: 'word', text: row.word ?? '' }),
      row.about || row.against.length ? node('span', { class: 'about' }, row.about, row.about && row.against.length ? ' · ' : '', row.against.length ? node('span', { class: 'against', text: row.against.join(' · ') }) : '') : null);
  }

  // ---- taking

  async take(others = false) {
    if (this.taking) return;
    this.taking = true;
    try {
      // The list that is shown counts; one on its way for what was typed last is waited for.
      await this.asking;
      const { plate } = this;
      if (!plate.box || !this.marking) return;
      const text = this.marking.value.trim();
      const answered = this.list.dataset.of?.trim() === text;
      if (text && !answered) { say(this.reads.textContent || 'still reading: Enter again takes', true); return; }
      const row = text && this.choices?.rows[this.chosen] || null;
      if (!await this.settled(row)) return;
      if (!plate.box || !this.marking) return;
      const identity = row?.identity ? { ...row.identity, because: undefined } : null;
      const because = row?.sort === 'as-on' ? row.identity.because : null;
      const snapped = plate.box.snapped;
      const answer = await ask('part', {
        photo: plate.photo,
        boxed: { corners: snapped?.corners ?? plate.box.marked, at: snapped?.at ?? [], snapped: snapped?.snapped ?? [], told: [this.kept, snapped?.told].filter(Boolean).join('; ') },
        marking: text,
        identity: identity && because ? { ...identity, because } : identity,
        package: row?.package ?? null,
        pins: row?.pins ?? null,
        designator: this.item ? null : this.designator.value.trim() || null,
        item: this.item,
      });
      if (!answer) { say('not taken: no answer while the server is away', true); return; }
      const { part } = answer;
      this.group = `part-${part.item}-${Date.now().toString(36)}`;
      const edits = [...part.edits];
      if (others && row?.identity) for (const id of this.choices.also) edits.push({ do: 'set', at: `items.${id}.part.identity`, old: null, new: { ...identity, because: `same marking as ${part.name}` } });
      await write(edits, this.group);
      const body = plate.bodies[plate.held];
      if (body) body.item = part.item;
      else plate.bodies.push({ corners: snapped?.corners ?? plate.box.marked, form: 'rectangle', size_mm: null, region: part.region, item: part.item, small: false });
      plate.box.item = part.item;
      plate.box.byHand = false;
      this.taken = { ...part, fresh: !this.item };
      this.item = part.item;
      this.marking.setAttribute('aria-expanded', 'false');
      say(`${part.name} taken${row?.word ? `, ${row.word}` : ''}`);
      plate.soon();
      this.dispatchEvent(new CustomEvent('taken', { detail: { part, corners: plate.box.snapped?.corners ?? plate.box.marked } }));
      if (row?.sort === 'part' && row.identity.certainty !== 'read') this.because(row);
      else this.role(row);
    } finally {
      this.taking = false;
    }
  }

  /// Asks about a size that is in doubt: rivals of its sides, a body that is not that of the part. False where the
  /// person goes back.
  async settled(row) {
    const { plate } = this;
    this.kept = '';
    // The sides are looked for while one types; a size is asked about once it is there.
    for (let box = plate.box?.snapped; box; box = plate.box?.snapped) {
      const rivals = box.asks.filter(ask => !this.kept.includes(ask.kept));
      const body = rivals.length ? null : row?.against.find(text => text.startsWith('its body is'));
      if (!rivals.length && (!body || this.kept.includes(body))) return true;
      const chosen = await this.doubt(box, rivals, body && `${row.name}: ${body}`);
      if (chosen === null) return false;
      if (chosen >= 0) { if (!await plate.takeRival(rivals[chosen].side)) return false; }
      else this.kept = [this.kept, ...rivals.map(ask => ask.kept), body].filter(Boolean).join('; ');
    }
    return true;
  }

  /// One key decides: Enter keeps the size, a digit takes the rival of that number; null where one goes back.
  doubt(box, rivals, body) {
    const rows = [
      [node('kbd', { text: 'Enter' }), ` keeps ${box.size}`],
      ...rivals.map((ask, n) => [node('kbd', { text: String(n + 1) }), ` takes the ${ask.told}`]),
    ];
    const list = node('div', { id: 'doubt', role: 'group', tabindex: '0', 'aria-label': ['The size is in doubt', body, ...rivals.map((ask, n) => `${n + 1} takes the ${ask.told}`), `Enter keeps ${box.size}`].filter(Boolean).join('. ') },
      node('p', {}, node('b', { text: 'Which edge?' }), ` ${box.told.split('; ')[0]}${body ? ` · ${body}` : ''}`),
      ...rows.map((parts, n) => { const button = node('button', { type: 'button', class: 'goes', tabindex: '-1' }, ...parts); button.dataset.n = String(n - 1); return button; }));
    this.rest.replaceChildren(list);
    list.focus();
    list.scrollIntoView({ block: 'nearest' });
    return new Promise(done => {
      const end = value => { this.endDoubt = null; this.rest.replaceChildren(); if (value === null) this.marking?.focus(); done(value); };
      this.endDoubt = end;
      list.addEventListener('keydown', event => {
        const digit = Number(event.key) - 1;
        const value = event.key === 'Enter' ? -1 : event.key === 'Escape' ? null : event.key === ' ' ? 0 : digit;
        if (value !== null && (Number.isNaN(value) || value >= rivals.length)) return;
        event.preventDefault();
        event.stopPropagation();
        end(value);
      });
      list.addEventListener('click', event => { const button = event.target.closest('button'); if (button) end(Number(button.dataset.n)); });
    });
  }

  /// Asks for the reason of what was not read; the clues are proposed.
  because(row) {
    this.ask('because', 'Because', row.identity.because ?? '', async text => {
      if (text) await write([{ do: 'set', at: `items.${this.taken.item}.part.identity.because`, old: null, new: text }], this.group);
      this.role(row);
    });
  }

  role(row) {
    const proposal = row?.role ?? '';
    const named = row?.sort === 'unknown' || row?.sort === 'open' && this.choices?.rows.every(one => one.sort !== 'part') ? () => this.isNamed() : null;
    this.ask('role', 'Role', proposal, async text => {
      const [, role, count] = /^(.*?)\s*(?:[×x]\s*(\d+))?$/.exec(text);
      if (role || count) {
        const answer = await ask('role', {
          item: this.taken.item,
          role,
          from_catalogue: role === proposal && row?.sort === 'part',
          designator: this.designator.value.trim() || null,
          count: count ? Number(count) : null,
          named: this.taken.fresh,
        });
        if (answer?.edits.length) await write(answer.edits, this.group);
      }
      if (this.otherwise) { this.otherwise(); return; }
      this.tell('done');
    }, proposal ? 'from the catalogue; ×6 behind it counts equal ones' : '×6 behind it counts equal ones', named);
    if (named) this.rest.append(node('p', { class: 'quiet' }, 'Not among the known parts. ', node('kbd', { text: 'Ctrl+Enter' }), ' says what it is and adds it'));
  }

  /// A part that is not known: what it is, and into the catalogue.
  isNamed() {
    this.ask('named', 'It is', this.marking.value.split('|')[0].trim(), async text => {
      const [name, maker] = text.split(/\s*·\s*|\s*,\s*/);
      if (name) {
        const identity = { name, ...maker && { maker }, certainty: 'read', evidence: [`photo:${this.plate.photo}#${this.taken.region}`] };
        await write([{ do: 'set', at: `items.${this.taken.item}.part.identity`, old: null, new: identity }], this.group);
        await this.learned(this.taken.item);
      }
      this.tell('done');
    }, 'name, maker: kept among the known parts of this product, with this photograph as its source');
  }

  /// Adds what an item is to the known parts, once it is written.
  async learned(item) {
    for (let tries = 0; tries < 20; tries += 1) {
      const answer = await ask('learn', { item });
      if (answer) { say(answer.learned); this.rest.querySelector('.unlisted')?.replaceChildren(answer.learned); refresh(); return true; }
      await new Promise(done => { setTimeout(done, 150); });
    }
    say('not added: the server is away', true);
    return false;
  }

  /// One field more; Enter goes on with what stands there.
  ask(id, label, proposal, then, note = '', other = null) {
    const input = node('input', { id, autocomplete: 'off', enterkeyhint: 'next', spellcheck: 'false', 'aria-describedby': note ? `${id}-note` : null });
    input.value = proposal;
    let gone = false;
    input.addEventListener('keydown', async event => {
      if (event.isComposing || event.key !== 'Enter' && event.key !== 'Escape' || gone) return;
      event.preventDefault();
      event.stopPropagation();
      gone = true;
      if (event.key === 'Escape') { this.tell('done'); return; }
      this.otherwise = other && (event.ctrlKey || event.metaKey) ? other : null;
      await then(input.value.trim());
    });
    this.rest.replaceChildren(node('label', { for: id, text: label }), input, ...note ? [node('p', { id: `${id}-note`, class: 'quiet', text: note })] : []);
    this.list.replaceChildren();
    this.decides.textContent = '';
    input.focus();
    input.select();
  }
}

function keepInView(list, row) {
  const [top, bottom] = [row.offsetTop, row.offsetTop + row.offsetHeight];
  if (top < list.scrollTop) list.scrollTop = top;
  else if (bottom > list.scrollTop + list.clientHeight) list.scrollTop = bottom - list.clientHeight;
}
