// One body like another: counted in with a part that was read, or joined where one thing was boxed twice.

import { ask } from '../ask.js';
import { write } from '../edits.js';
import { say } from '../foot.js';
import { holds, middle } from './bodies.js';

const bodies = n => n === 1 ? '1 body looks' : `${n} bodies look`;

export class Same {
  constructor(plate) {
    Object.assign(this, { plate, of: null, alike: [] });
    plate.addEventListener('held', () => this.tell());
    plate.addEventListener('same', ({ detail }) => this.take(detail.all));
  }

  /// Looks for bodies like the one whose part was taken.
  async look(part, corners) {
    const { plate } = this;
    this.of = part;
    this.alike = [];
    this.tell();
    const answer = await ask('alike', { photo: plate.photo, corners });
    if (!answer || this.of !== part) return;
    this.alike = answer.alike.map(one => one.body);
    this.tell();
    if (this.alike.length) say(`${bodies(this.alike.length)} the same as ${part.name}`);
  }

  get called() { return this.plate.nameOf(this.of.item, this.of.name); }

  free() { return this.alike.filter(body => this.plate.bodies.some(other => !other.item && near(other, body))); }

  /// Whether the body that is held looks the same.
  get here() {
    const { box } = this.plate;
    return box && !box.item ? this.free().find(body => holds(body, middle({ corners: box.marked }))) : null;
  }

  tell() {
    const box = document.getElementById('same');
    if (!box) return;
    const free = this.free();
    box.hidden = free.length === 0;
    if (!free.length) { box.replaceChildren(); return; }
    const key = text => { const made = document.createElement('kbd'); made.textContent = text; return made; };
    const button = (text, all) => {
      const made = document.createElement('button');
      made.type = 'button';
      made.className = 'goes';
      made.textContent = text;
      made.onclick = () => this.take(all);
      return made;
    };
    box.replaceChildren(
      `${bodies(free.length)} the same as ${this.called}: `, button(free.length === 1 ? 'count it in' : 'count all in', true), ' ', key('Ctrl+Enter'),
      ...this.here ? [' · ', button('this one is the same', false), ' ', key('Shift+Enter')] : [],
    );
  }

  /// Counts all in, or the one that is held.
  async take(all) {
    const { plate } = this;
    const held = plate.box?.item ? document.querySelector(`#twice li[data-kept="${CSS.escape(plate.box.item)}"],#twice li[data-other="${CSS.escape(plate.box.item)}"]`) : null;
    if (held) { this.join(held); return; }
    if (plate.box?.item && all) { this.plate.dispatchEvent(new CustomEvent('learn', { detail: { item: plate.box.item } })); return; }
    const which = all ? this.free() : this.here ? [this.here] : [];
    if (!which.length) { say(this.of ? `no body here looks the same as ${this.called}` : 'no part was read before'); return; }
    const { of } = this;
    const answer = await ask('count-in', { photo: plate.photo, item: of.item, boxes: which.map(body => body.corners) });
    if (!answer) { say('not counted in: the part is not written yet, or the server is away', true); return; }
    await write(answer.edits, `same-${of.item}-${Date.now().toString(36)}`);
    for (const body of plate.bodies) if (which.some(one => near(one, body))) body.item = of.item;
    say(`${which.length} counted in with ${this.called}`);
    plate.next();
    this.tell();
  }

  /// Makes one of two items that were boxed at the same place.
  async join(row) {
    const { kept, other } = row.dataset;
    const answer = await ask('join', { kept, other });
    if (!answer) { say('not joined: no answer while the server is away', true); return; }
    await write(answer.edits, `join-${kept}-${Date.now().toString(36)}`);
    this.plate.drop();
    say('joined');
  }
}

const near = (a, b) => {
  const [p, q] = [middle(a), middle(b)];
  return Math.hypot(p[0] - q[0], p[1] - q[1]) < 3;
};
