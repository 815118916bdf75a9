// The plate: a photograph under the hand. Keys, pointer, wheel and pinch; bodies, the cross, the box.
// Tells of: held {body}, dropped, snapped {box}, typed {key}, begun (go to an empty marking), plate {by}, measure {known},
// same {all}. While something is measured, `tool` gets keys and strokes first.

import { ask } from '../ask.js';
import { say } from '../foot.js';
import { Camera } from './camera.js';
import { Tiles } from './tiles.js';
import { WAYS, bounds, holds, middle, nextFree, thatWay, whereabouts } from './bodies.js';
import { draw, graduate, layer } from './marks.js';
import { pass, passed } from './passed.js';

const SIDES = ['upper side', 'right side', 'lower side', 'left side'];
/// Which side an arrow points at.
const POINTS = { ArrowUp: 0, ArrowRight: 1, ArrowDown: 2, ArrowLeft: 3 };
const STROKE = 8;
const REST = 150;

export class Plate extends EventTarget {
  constructor(figure) {
    super();
    this.figure = figure;
    const { photo, sha256, width, height } = figure.dataset;
    Object.assign(this, { photo, sha256, width: Number(width), height: Number(height) });
    Object.assign(this, { bodies: [], held: -1, box: null, side: null, strides: [null, null], open: new Set(), passed: new Set(), tool: null });
    this.cross = [this.width / 2, this.height / 2];
    this.camera = new Camera(this.width, this.height);
    this.picture = document.createElement('div');
    this.picture.className = 'picture';
    Object.assign(this.picture.style, { width: `${width}px`, height: `${height}px` });
    this.picture.append(...figure.querySelectorAll('.preview'));
    this.view = document.createElement('div');
    this.view.className = 'view';
    this.view.append(this.picture);
    this.svg = layer(this.view);
    this.rims = ['below', 'beside'].map(where => {
      const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
      svg.setAttribute('class', `rim ${where}`);
      svg.setAttribute('aria-hidden', 'true');
      return svg;
    });
    figure.append(this.view, ...this.rims);
    this.tiles = new Tiles(this.picture, sha256, this.width, this.height);
    new ResizeObserver(() => { this.camera.resize(this.view.clientWidth, this.view.clientHeight); this.soon(); }).observe(this.view);
    this.listen();
  }

  // ---- drawing

  soon() {
    this.frame ??= requestAnimationFrame(() => {
      this.frame = null;
      const { camera } = this;
      const [x, y] = camera.toScreen([0, 0]);
      this.picture.style.transform = `translate(${x}px,${y}px) scale(${camera.scale})`;
      this.tiles.show(camera);
      draw(this.svg, camera, { ...this, focus: document.activeElement === this.figure });
      graduate(this.rims, camera, this.pxPerMm);
      this.figure.dataset.cross = this.cross.map(v => v.toFixed(1)).join(' ');
      this.figure.dataset.takes = this.box ? 'characters' : '';
      this.figure.dataset.itemHeld = this.box?.item ?? '';
      this.figure.dataset.asks = String(this.box?.snapped?.asks.length ?? '');
      this.figure.dataset.scale = camera.scale.toFixed(4);
    });
  }

  label() {
    const parts = this.bodies.filter(body => body.item).length;
    const caption = document.querySelector('.caption b')?.textContent ?? this.photo;
    this.figure.setAttribute('aria-label', `${caption}; ${this.bodies.length} bodies, ${parts} with a part; arrows go from body to body; F8 0 lists keys`);
  }

  // ---- bodies

  /// Asks what is on the photograph.
  async look() {
    const answer = await ask('bodies', { photo: this.photo });
    if (!answer) return;
    const kept = this.box && this.held < 0 ? [] : this.box ? [bounds(this.bodies[this.held])] : [];
    const { found } = answer;
    this.pxPerMm = found.px_per_mm;
    this.board = found.board;
    const own = this.bodies.filter(body => body.own && !found.bodies.some(b => holds(b, middle(body))));
    this.bodies = [...found.bodies, ...own];
    this.passed = passed(this.sha256, this.bodies);
    this.held = kept.length ? this.bodies.findIndex(b => holds(b, [(kept[0][0] + kept[0][2]) / 2, (kept[0][1] + kept[0][3]) / 2])) : -1;
    this.label();
    this.soon();
    this.tell('looked');
  }

  tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }

  /// Holds a body: the cross goes there, and a box is there by itself.
  hold(at) {
    const body = this.bodies[at];
    this.held = at;
    this.cross = middle(body);
    this.begin([body], 0, at);
    this.camera.bring(bounds(body));
    const size = body.size_mm ? `, ${body.size_mm.map(v => v.toFixed(1)).join(' by ')} mm` : '';
    const part = body.item ? `, ${this.nameOf(body.item)}` : ', no part';
    say(`body ${at + 1}, ${whereabouts(body, this.width, this.height)}${size}${part}`);
    this.soon();
  }

  nameOf(item, otherwise = item) {
    const row = [...document.querySelectorAll('#parts [data-item]')].find(tr => tr.dataset.item === item);
    return row?.dataset.called ?? otherwise;
  }

  /// Goes to the next body without a part; false where there is none.
  next() {
    const at = nextFree(this.bodies, this.held >= 0 ? this.held : this.before(), this.passed);
    if (at < 0) { this.drop(); this.held = -1; say('every body has a part'); return false; }
    this.hold(at);
    return true;
  }

  /// The body before the cross in reading order.
  before() {
    const at = this.bodies.findIndex(body => holds(body, this.cross));
    return at >= 0 ? at : -1;
  }

  // ---- the box

  begin(outlines, which, held) {
    this.outlines = outlines;
    this.which = which;
    this.held = held;
    this.side = null;
    this.strides = [null, null];
    const outline = outlines[which];
    this.box = { marked: outline.corners.map(c => [...c]), snapped: null, item: held >= 0 ? this.bodies[held].item : null };
    this.exact = 3;
    this.tell('held', { item: this.box.item });
    this.snap();
  }

  /// Asks for the edges near the box; the latest answer counts.
  async snap(rest = 0) {
    clearTimeout(this.resting);
    if (rest) { this.resting = setTimeout(() => this.snap(), rest); return; }
    const { box } = this;
    if (!box) return;
    this.within = Math.max(1, this.exact === 3 ? Math.max(2, Math.max(this.width, this.height) / 1600) : 2 / this.camera.scale);
    const answer = await ask('snap', { photo: this.photo, corners: box.marked, within: this.within });
    if (!answer || this.box !== box) return;
    box.snapped = answer.box;
    this.tell('snapped', { box: answer.box });
    this.soon();
  }

  /// Puts a side on its rival.
  async takeRival(side) {
    const { box } = this;
    const answer = await ask('snap', { photo: this.photo, corners: box.marked, within: this.within, rival: side });
    if (!answer || this.box !== box) return null;
    box.snapped = answer.box;
    this.tell('snapped', { box: answer.box });
    this.soon();
    return answer.box;
  }

  /// Drops the box; one made by hand stays as an offered body.
  drop() {
    if (!this.box) return false;
    if (this.held < 0 && this.box.byHand) {
      this.bodies.push({ corners: this.box.snapped?.corners ?? this.box.marked, form: 'rectangle', size_mm: this.box.snapped?.size_mm ?? null, region: null, item: null, small: false, own: true });
      this.label();
    }
    this.box = null;
    this.side = null;
    this.held = -1;
    this.strides = [null, null];
    this.tell('dropped');
    this.soon();
    return true;
  }

  /// Grows a box at a place, or holds the part that lies there.
  async grow(at) {
    const there = this.bodies.findIndex(body => holds(body, at) && (body.item || body.own));
    if (there >= 0) { this.hold(there); return; }
    const answer = await ask('grow', { photo: this.photo, at });
    if (!answer) return;
    this.cross = [...at];
    this.begin(answer.outlines, 0, -1);
    this.box.byHand = true;
    say(`box ${answer.outlines.length > 1 ? `, 1 of ${answer.outlines.length} outlines` : ''}`);
    this.soon();
  }

  async nextOutline() {
    if (!this.box) return;
    if (this.outlines.length < 2) {
      const answer = await ask('grow', { photo: this.photo, at: middle({ corners: this.box.marked }) });
      if (!answer || !this.box) return;
      this.outlines = [this.outlines[0], ...answer.outlines];
    }
    this.which = (this.which + 1) % this.outlines.length;
    this.box.marked = this.outlines[this.which].corners.map(c => [...c]);
    this.box.snapped = null;
    say(`outline ${this.which + 1} of ${this.outlines.length}`);
    this.snap();
    this.soon();
  }

  /// A box by its opposite corners, snapped.
  boxOf([x1, y1], [x2, y2]) {
    const [l, r] = [Math.min(x1, x2), Math.max(x1, x2)];
    const [t, b] = [Math.min(y1, y2), Math.max(y1, y2)];
    const outline = { corners: [[l, t], [r, t], [r, b], [l, b]] };
    this.cross = [(l + r) / 2, (t + b) / 2];
    this.begin([outline], 0, -1);
    this.exact = 1;
    this.box.byHand = true;
    this.soon();
  }

  /// Moves a side out (1) or in (-1) by some pixels of the photograph.
  moveSide(side, by, rest = REST) {
    const { box } = this;
    if (box.snapped) box.marked = box.snapped.corners.map(c => [...c]);
    const ways = [[0, -1], [1, 0], [0, 1], [-1, 0]];
    for (const n of [side, (side + 1) % 4]) {
      box.marked[n] = box.marked[n].map((v, i) => Math.min([this.width, this.height][i], Math.max(0, v + ways[side][i] * by)));
    }
    box.snapped = null;
    this.exact = 1;
    this.snap(rest);
    this.soon();
  }

  shiftArrow(key) {
    const way = WAYS[key];
    const axis = way[0] === 0 ? 1 : 0;
    const sign = way[axis];
    if (this.box) {
      if (this.side === null || this.side % 2 !== POINTS[key] % 2) {
        this.side = POINTS[key];
        this.strides = [null, null];
        say(SIDES[this.side]);
        this.soon();
        return;
      }
      const outwards = this.side === 1 || this.side === 2 ? sign : -sign;
      this.moveSide(this.side, outwards * this.stride(axis, sign, 4 / this.camera.scale));
      return;
    }
    const [l, t, r, b] = this.camera.seen();
    const stride = this.stride(axis, sign, Math.min(r - l, b - t) / 8);
    const most = [this.width, this.height][axis];
    this.cross[axis] = Math.min(most, Math.max(0, this.cross[axis] + sign * stride));
    this.camera.bring([...this.cross, ...this.cross]);
    this.soon();
  }

  /// The stride along an axis: each turn back halves it.
  stride(axis, sign, first) {
    const before = this.strides[axis];
    if (!before) { this.strides[axis] = { sign, stride: Math.max(1, first) }; return this.strides[axis].stride; }
    if (before.sign !== sign) { before.sign = sign; before.stride = Math.max(1, Math.ceil(before.stride / 2)); }
    return before.stride;
  }

  // ---- keys

  listen() {
    const { figure } = this;
    figure.addEventListener('keydown', event => { if (event.target === figure && !event.isComposing && this.key(event)) { event.preventDefault(); event.stopPropagation(); } });
    figure.addEventListener('focus', () => this.soon());
    figure.addEventListener('blur', () => this.soon());
    this.listenToPointer();
  }

  /// True where the key was one of the plate's.
  key(event) {
    const { key, shiftKey: shift } = event;
    if (key === 'Enter' && !event.altKey && !this.tool && (event.ctrlKey || event.metaKey || shift)) { this.tell('same', { all: !shift }); return true; }
    if (event.ctrlKey || event.metaKey || event.altKey) return false;
    if (this.tool?.key(event)) return true;
    if (key in WAYS) {
      if (shift) this.shiftArrow(key);
      else {
        const at = thatWay(this.bodies, this.cross, WAYS[key], this.held);
        if (at < 0) say('no body that way'); else this.hold(at);
      }
      return true;
    }
    switch (key) {
      case ' ': if (shift) this.nextOutline(); else this.next(); return true;
      case 'Enter': if (this.box) this.tell('begun'); else { this.strides = [null, null]; this.grow(this.cross); } return true;
      case 'Escape': this.strides = [null, null]; return this.drop();
      case 'PageUp': if (shift) this.tell('plate', { by: -1 }); else this.nearer(2); return true;
      case 'PageDown': if (shift) this.tell('plate', { by: 1 }); else this.nearer(0.5); return true;
      case 'Home': this.toggle('whole'); return true;
      case 'End': this.toggle('box'); return true;
      case 'Delete': this.remove(); return true;
      default:
        if (key.length !== 1) return false;
        if (this.box) this.tell('typed', { key });
        else if (/^[lm]$/i.test(key)) this.tell('measure', { known: key.toLowerCase() === 'l' });
        else return false;
        return true;
    }
  }

  nearer(factor) {
    this.strides = [null, null];
    this.camera.zoom(factor, ...this.camera.toScreen(this.cross));
    this.soon();
  }

  /// The whole plate, or the box in full; the same again goes back.
  toggle(what) {
    const { camera } = this;
    if (this.back?.what === what) { Object.assign(camera, this.back.was); this.back = null; camera.hold(); this.soon(); return; }
    this.back = { what, was: { scale: camera.scale, x: camera.x, y: camera.y } };
    if (what === 'whole') camera.showWhole();
    else if (this.box) camera.fill(bounds({ corners: this.box.marked }));
    this.soon();
  }

  /// On an offered body: no part here, and on to the next one. A box made by hand is gone.
  remove() {
    if (!this.box || this.box.item) return;
    const body = this.bodies[this.held];
    const from = this.held;
    this.box = null;
    this.held = -1;
    this.tell('dropped');
    this.soon();
    if (!body) return;
    this.passed.add(body);
    pass(this.sha256, body);
    this.held = from;
    this.next();
  }

  // ---- pointer

  listenToPointer() {
    const { view, figure } = this;
    const down = new Map();
    let from = null, moved = false, pinch = 0, caught = -1;
    const place = event => { const box = view.getBoundingClientRect(); return [event.clientX - box.left, event.clientY - box.top]; };
    const apart = () => { const [a, b] = [...down.values()]; return Math.hypot(a[0] - b[0], a[1] - b[1]); };
    view.addEventListener('pointerdown', event => {
      if (event.button > 0) return;
      figure.focus({ preventScroll: true });
      view.setPointerCapture(event.pointerId);
      down.set(event.pointerId, place(event));
      from = place(event); moved = false;
      caught = down.size === 1 ? this.sideAt(from, event.pointerType === 'touch' ? 24 : 8) : -1;
      if (down.size === 2) pinch = apart();
    });
    view.addEventListener('pointermove', event => {
      if (!down.has(event.pointerId)) return;
      const [was, now] = [down.get(event.pointerId), place(event)];
      down.set(event.pointerId, now);
      if (down.size === 2) {
        const far = apart();
        const [a, b] = [...down.values()];
        this.camera.zoom(far / pinch, (a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
        pinch = far; moved = true;
      } else if (caught >= 0) {
        moved = true;
        const [dx, dy] = [now[0] - was[0], now[1] - was[1]].map(v => v / this.camera.scale);
        this.moveSide(caught, [-dy, dx, dy, -dx][caught], 16);
      } else if (event.pointerType === 'touch') {
        if (Math.hypot(now[0] - from[0], now[1] - from[1]) > STROKE) moved = true;
        if (moved) this.camera.pan(now[0] - was[0], now[1] - was[1]);
      } else {
        this.traced = [...this.traced ?? [from], now];
        if (Math.hypot(now[0] - from[0], now[1] - from[1]) > STROKE) moved = true;
        if (moved && this.tool) this.trace = [from, now].map(p => this.camera.toPhoto(...p));
        else if (moved) this.box = { marked: frame(this.traced.map(p => this.camera.toPhoto(...p))), snapped: null };
      }
      this.soon();
    });
    const up = event => {
      if (!down.delete(event.pointerId)) return;
      const { traced } = this;
      this.traced = null;
      if (event.type === 'pointercancel' || down.size > 0) return;
      if (caught >= 0) { this.snap(); return; }
      this.trace = null;
      if (this.tool) {
        const ends = [from, traced?.at(-1) ?? from].map(p => this.camera.toPhoto(...p));
        if (!moved) this.tool.tap(ends[0]);
        else if (traced) this.tool.stroke(...ends, frame(traced.map(p => this.camera.toPhoto(...p))));
        return;
      }
      if (!moved) this.tap(from, event.pointerType === 'touch' ? 24 : 12);
      else if (traced) {
        const corners = frame(traced.map(p => this.camera.toPhoto(...p)));
        this.boxOf(corners[0], corners[2]);
      }
    };
    view.addEventListener('pointerup', up);
    view.addEventListener('pointercancel', up);
    view.addEventListener('wheel', event => {
      if (document.activeElement !== figure) return;
      event.preventDefault();
      if (event.ctrlKey) this.camera.zoom(2 ** (-event.deltaY / 200), ...place(event));
      else this.camera.pan(-event.deltaX, -event.deltaY);
      this.soon();
    }, { passive: false });
  }

  /// The side of the box near a place of the screen; -1 where none is.
  sideAt([x, y], reach) {
    if (!this.box) return -1;
    const [l, t, r, b] = bounds({ corners: (this.box.snapped?.corners ?? this.box.marked).map(c => this.camera.toScreen(c)) });
    const beside = (v, from, to) => v > from - reach && v < to + reach;
    const far = [[Math.abs(y - t), beside(x, l, r)], [Math.abs(x - r), beside(y, t, b)], [Math.abs(y - b), beside(x, l, r)], [Math.abs(x - l), beside(y, t, b)]]
      .map(([d, near]) => near ? d : Infinity);
    const least = Math.min(...far);
    return least <= Math.min(reach, (r - l) / 3, (b - t) / 3) ? far.indexOf(least) : -1;
  }

  tap(at, reach) {
    const place = this.camera.toPhoto(...at);
    const near = this.bodies.map((body, n) => ({ n, far: Math.hypot(...middle(body).map((v, i) => v - place[i])) * this.camera.scale, body }));
    const inside = near.filter(({ body }) => holds(body, place));
    if (inside.length === 1 || inside.length > 1 && near.filter(one => one.far < reach).length < 2) {
      inside.sort((a, b) => a.far - b.far);
      this.hold(inside[0].n);
    } else if (near.filter(one => one.far < reach).length >= 2) {
      this.camera.zoom(2, ...at);
      this.soon();
    } else this.grow(place);
  }
}

function frame(points) {
  const [xs, ys] = [points.map(p => p[0]), points.map(p => p[1])];
  const [l, t, r, b] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  return [[l, t], [r, t], [r, b], [l, b]];
}
