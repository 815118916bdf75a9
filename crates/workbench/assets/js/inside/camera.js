// Where one looks: which part of a photograph is on the screen, how large. Pure numbers, no page.

/// Screen pixels on one of the photograph, at most.
const NEAREST = 8;

/// A view of a photograph of `width` × `height` pixels in a box on the screen.
export class Camera {
  constructor(width, height) {
    Object.assign(this, { width, height, boxWidth: 1, boxHeight: 1, scale: 0, x: width / 2, y: height / 2 });
  }

  /// The scale at which the whole photograph is seen.
  get whole() {
    return Math.min(this.boxWidth / this.width, this.boxHeight / this.height);
  }

  /// The box changed its size; what was whole stays whole.
  resize(width, height) {
    const wasWhole = this.scale <= this.whole * 1.001;
    this.boxWidth = Math.max(1, width);
    this.boxHeight = Math.max(1, height);
    if (wasWhole) this.scale = this.whole;
    this.hold();
  }

  /// Keeps the scale within bounds and the photograph in the box.
  hold() {
    this.scale = Math.min(Math.max(NEAREST, this.whole), Math.max(this.whole, this.scale));
    const middle = (at, side, box) => {
      const half = box / 2 / this.scale;
      return half * 2 >= side ? side / 2 : Math.min(side - half, Math.max(half, at));
    };
    this.x = middle(this.x, this.width, this.boxWidth);
    this.y = middle(this.y, this.height, this.boxHeight);
  }

  /// Nearer by a factor; the place at (`sx`, `sy`) of the screen stays where it is.
  zoom(factor, sx = this.boxWidth / 2, sy = this.boxHeight / 2) {
    const [px, py] = this.toPhoto(sx, sy);
    this.scale *= factor;
    this.scale = Math.min(Math.max(NEAREST, this.whole), Math.max(this.whole, this.scale));
    this.x = px - (sx - this.boxWidth / 2) / this.scale;
    this.y = py - (sy - this.boxHeight / 2) / this.scale;
    this.hold();
  }

  /// Moves by pixels of the screen.
  pan(dx, dy) {
    this.x -= dx / this.scale;
    this.y -= dy / this.scale;
    this.hold();
  }

  showWhole() {
    this.scale = this.whole;
    this.hold();
  }

  /// Fills the box with a rectangle and some room around it.
  fill([left, top, right, lower]) {
    this.scale = Math.min(this.boxWidth / (right - left), this.boxHeight / (lower - top)) / 1.5;
    this.x = (left + right) / 2;
    this.y = (top + lower) / 2;
    this.hold();
  }

  /// Brings a rectangle into view, if it is not, by moving alone.
  bring([left, top, right, lower]) {
    const [l, t, r, b] = this.seen();
    if (left < l || right > r) this.x = (left + right) / 2;
    if (top < t || lower > b) this.y = (top + lower) / 2;
    this.hold();
  }

  toPhoto(sx, sy) {
    return [this.x + (sx - this.boxWidth / 2) / this.scale, this.y + (sy - this.boxHeight / 2) / this.scale];
  }

  toScreen([x, y]) {
    return [(x - this.x) * this.scale + this.boxWidth / 2, (y - this.y) * this.scale + this.boxHeight / 2];
  }

  /// Left, top, right and lower bound of what is seen, in pixels of the photograph.
  seen() {
    const [l, t] = this.toPhoto(0, 0);
    const [r, b] = this.toPhoto(this.boxWidth, this.boxHeight);
    return [Math.max(0, l), Math.max(0, t), Math.min(this.width, r), Math.min(this.height, b)];
  }
}
