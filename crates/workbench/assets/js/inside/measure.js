// Measuring on the plate: what is of known size, or what is to be measured, is typed; then points are set by keys, by
// taps or by a stroke, each moved to the edges near it while they are set; Enter writes.
// While it goes on it is the plate's `tool`: keys and strokes come here first.

import { ask } from '../ask.js';
import { write } from '../edits.js';
import { say } from '../foot.js';
import { node } from './nodes.js';
import { holds, middle } from './bodies.js';

const REST = 150;
const NEXT = {
  ends: ['One end', 'The other end'],
  row: ['One end of the row', 'The other end of the row'],
  places: ['A place', 'The next place'],
  corners: ['Enter grows an outline here; a stroke draws one; Shift+Enter sets a corner'],
  rim: ['Enter grows an outline here; a stroke draws one; Shift+Enter sets a point of the rim'],
};
/// What can be measured: words, and what they mean to the server.
const WHATS = [
  ['distance', {}], ['length', {}], ['width', {}], ['height', {}], ['thickness', {}], ['diameter', {}], ['body', {}], ['area', {}],
  ['pitch of things', { what: 'pitch' }], ['pitch of gaps', { what: 'pitch', gaps: true }], ['angle', {}],
].map(([word, more]) => ({ word, asked: { what: word, ...more } }));

export class Measuring {
  constructor(section, plate, line) {
    Object.assign(this, { section, plate, line });
  }

  /// Asks what is meant. `known` for a thing of known size; `item` is what is measured.
  begin(known, item = null, called = null) {
    const { plate } = this;
    this.end(false);
    plate.drop();
    Object.assign(this, { known, item, points: [], outlines: [], which: 0, found: null, wanted: null, asked: null });
    const title = known ? 'Known length' : `Measure${called ? ` ${called}` : ''}`;
    this.input = node('input', { id: 'measured', autocomplete: 'off', spellcheck: 'false', enterkeyhint: 'next', list: known ? 'known-things' : 'measurable', 'aria-describedby': 'measured-note' });
    this.gives = node('output', { id: 'gives', class: 'gives', for: 'measured' });
    this.told = node('p', { class: 'reads quiet' });
    this.step = node('p', { id: 'measured-step', class: 'hint' });
    this.button = node('button', { type: 'button', hidden: true, text: 'Write' });
    this.button.onclick = () => this.write();
    this.section.replaceChildren(
      node('h2', {}, node('span', { class: 'which', text: title }), node('span', { class: 'sides quiet' })),
      node('label', { for: 'measured', text: known ? 'What of known size is in view?' : 'What is measured?' }),
      this.input,
      node('datalist', { id: 'measurable' }, ...WHATS.map(({ word }) => node('option', { value: word }))),
      node('p', { id: 'measured-note', class: 'quiet', text: known
        ? '40 mm · plate 25 x 15 mm · ID-1 card · ruler every 1 mm'
        : 'distance, length, width, diameter, area, pitch of things or gaps, angle' }),
      this.step, this.gives, this.told, this.button,
    );
    if (!known) this.input.value = item ? 'length' : 'distance';
    this.input.addEventListener('keydown', event => {
      if (event.isComposing) return;
      if (event.key === 'Enter') { event.preventDefault(); this.meant(); }
      if (event.key === 'Escape') { event.preventDefault(); event.stopPropagation(); this.end(); }
    });
    this.input.focus();
    this.input.select();
  }

  /// Reads what was typed, and goes to the plate.
  async meant() {
    const text = this.input.value.trim();
    if (!text) return;
    const short = WHATS.find(({ word }) => word === text) ?? WHATS.find(({ word }) => word.startsWith(text.toLowerCase()));
    const asked = this.known ? { known: text } : { ...(short?.asked ?? { what: text }), item: this.item };
    const answer = await ask('measure', { photo: this.plate.photo, at: [], ...asked });
    if (!answer) { say('no answer while the server is away', true); return; }
    if (answer.refused) { this.told.textContent = answer.refused; say(answer.refused, true); return; }
    if (short && !this.known) this.input.value = short.word;
    this.asked = asked;
    this.wanted = answer.measured.wanted;
    this.plate.tool = this;
    this.plate.strides = [null, null];
    this.plate.figure.focus({ preventScroll: true });
    this.show();
  }

  /// Whether outlines are grown and drawn instead of single points.
  get grows() { return this.wanted.by === 'corners' || this.wanted.by === 'rim'; }

  get complete() { return this.points.length >= this.wanted.most; }

  get enough() { return this.points.length >= this.wanted.least; }

  // ---- keys and strokes of the plate

  key(event) {
    const { plate } = this;
    const { key, shiftKey: shift } = event;
    if (key.startsWith('Arrow')) {
      plate.shiftArrow(key);
      this.moved();
      return true;
    }
    switch (key) {
      case 'Enter': this.enter(shift); return true;
      case ' ': this.nextOutline(); return true;
      case 'Backspace': case 'Delete': this.back(); return true;
      case 'Escape': this.end(); return true;
      default: return key.length === 1;
    }
  }

  async enter(single) {
    const { plate } = this;
    plate.strides = [null, null];
    const last = this.points.at(-1);
    const again = last && Math.hypot(last[0] - plate.cross[0], last[1] - plate.cross[1]) < 0.5;
    if (this.enough && (this.complete || this.outlines.length || again)) { await this.write(); return; }
    if (this.grows && !single && this.points.length === 0) { await this.grow(plate.cross); return; }
    this.points.push([...plate.cross]);
    this.look();
  }

  async grow(at) {
    const answer = await ask('grow', { photo: this.plate.photo, at });
    if (!answer || !this.wanted) return;
    this.plate.cross = [...at];
    this.outlines = answer.outlines;
    this.which = 0;
    this.outlined();
  }

  nextOutline() {
    if (this.outlines.length < 2) return;
    this.which = (this.which + 1) % this.outlines.length;
    say(`outline ${this.which + 1} of ${this.outlines.length}`);
    this.outlined();
  }

  outlined() {
    const { corners } = this.outlines[this.which];
    this.points = this.wanted.by === 'rim' ? rim(corners) : corners.map(c => [...c]);
    this.look();
  }

  back() {
    if (this.outlines.length) this.points = []; else this.points.pop();
    this.outlines = [];
    this.look();
  }

  /// The cross moved: what one more point there would give is shown.
  moved() {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.look(), REST);
  }

  /// A stroke: two ends, or the frame of an outline.
  stroke(from, to, corners) {
    if (this.grows) {
      this.outlines = [{ corners }];
      this.which = 0;
      this.outlined();
    } else {
      this.points = [from, to].slice(0, this.wanted.most);
      this.plate.cross = [...to];
      this.look();
    }
  }

  tap(at) {
    this.plate.cross = [...at];
    if (this.grows && this.points.length === 0) { this.grow(at); return; }
    if (!this.complete) this.points.push([...at]);
    this.look();
  }

  // ---- what the points give

  async look() {
    clearTimeout(this.resting);
    const { plate } = this;
    const set = [...this.points];
    const tentative = !this.outlines.length && !this.complete && set.length > 0;
    const last = set.at(-1);
    const away = last && Math.hypot(last[0] - plate.cross[0], last[1] - plate.cross[1]) >= 1;
    const at = tentative && away ? [...set, [...plate.cross]] : set;
    this.show();
    if (at.length < this.wanted.least) { this.found = null; this.show(); plate.soon(); return; }
    const within = Math.max(1, this.outlines.length ? Math.max(2, Math.max(plate.width, plate.height) / 1600) : 2 / plate.camera.scale);
    const answer = await ask('measure', { photo: plate.photo, at, within, ...this.asked });
    if (!answer || !this.wanted) return;
    this.found = answer.measured ?? { gives: [], at: [], edits: [], why: answer.refused };
    this.foundFor = JSON.stringify(this.points);
    this.show();
    plate.soon();
  }

  show() {
    const { points, wanted, found } = this;
    const steps = NEXT[wanted.by];
    const step = this.enough ? 'Enter writes it; Backspace takes the last point back' : steps[Math.min(points.length, steps.length - 1)];
    const more = this.enough && !this.complete && !this.outlines.length ? `${steps.at(-1)}: Enter; Enter again in the same place writes` : step;
    this.step.textContent = `${more}${this.outlines.length > 1 ? ` · Space: outline ${this.which + 1} of ${this.outlines.length}` : ''}`;
    this.gives.textContent = found?.gives.join(' · ') ?? '';
    this.told.textContent = found?.why ?? found?.told ?? '';
    this.told.title = found?.notes?.join('\n') ?? '';
    this.button.hidden = !this.enough || !found?.edits.length;
    if (found?.gives.length && this.enough) say(found.gives.join(', '));
  }

  async write() {
    if (this.writing) return;
    this.writing = true;
    try {
      // What is written is what the points that are set give, not what was tried with the cross.
      if (this.foundFor !== JSON.stringify(this.points) || this.found?.at.length === 0) await this.look();
      const { found } = this;
      if (!found?.edits.length) { say(found?.why ?? 'not written yet: nothing is found there', true); return; }
      await write(found.edits, `measure-${Date.now().toString(36)}`);
      say(`${found.gives.join(', ')}, written`);
      this.end();
    } finally {
      this.writing = false;
    }
  }

  /// Leaves; the plate is as before.
  end(close = true) {
    clearTimeout(this.resting);
    const { plate } = this;
    this.wanted = null;
    if (plate.tool === this) plate.tool = null;
    if (!close) return;
    this.line.close();
    plate.figure.focus({ preventScroll: true });
    plate.soon();
  }

  /// The item that lies under the cross, and what it is called.
  static under(plate) {
    const body = plate.bodies.find(one => one.item && holds(one, plate.cross));
    return body ? [body.item, plate.nameOf(body.item)] : [null, null];
  }
}

/// Eight points on the ellipse within four corners.
function rim(corners) {
  const [mx, my] = middle({ corners });
  const half = (a, b, i) => (corners[a][i] - corners[b][i]) / 2;
  const [u, v] = [[half(1, 0, 0), half(1, 0, 1)], [half(2, 1, 0), half(2, 1, 1)]];
  return [...Array(8).keys()].map(n => {
    const [c, s] = [Math.cos(n * Math.PI / 4), Math.sin(n * Math.PI / 4)];
    return [mx + c * u[0] + s * v[0], my + c * u[1] + s * v[1]];
  });
}
