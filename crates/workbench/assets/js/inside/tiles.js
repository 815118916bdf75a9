// Tiles of a photograph: those in view and one ring around, few alive, few under way, the preview below.

const TILE = 512;
const MOST_ALIVE = 64;
const MOST_UNDER_WAY = 4;

/// Lays tiles into `layer`, whose pixels are those of the photograph.
export class Tiles {
  constructor(layer, sha256, width, height) {
    Object.assign(this, { layer, sha256, width, height, alive: new Map(), wanted: [], underWay: 0 });
    this.levels = 1;
    for (let side = Math.max(width, height); side > TILE; side = Math.ceil(side / 2)) this.levels += 1;
  }

  /// Shows what `camera` sees.
  show(camera, ratio = devicePixelRatio) {
    const level = Math.min(this.levels - 1, Math.max(0, Math.floor(Math.log2(1 / (camera.scale * ratio)) + 0.25)));
    const side = TILE * 2 ** level;
    const [l, t, r, b] = camera.seen();
    const most = n => Math.max(0, Math.ceil(n / side) - 1);
    const [columns, rows] = [most(this.width), most(this.height)];
    const from = v => Math.floor(v / side);
    const inView = [], around = [];
    for (let row = Math.max(0, from(t) - 1); row <= Math.min(rows, from(b) + 1); row += 1) {
      for (let column = Math.max(0, from(l) - 1); column <= Math.min(columns, from(r) + 1); column += 1) {
        const seen = column * side < r && (column + 1) * side > l && row * side < b && (row + 1) * side > t;
        (seen ? inView : around).push({ key: `${level}/${column}-${row}`, level, column, row, side });
      }
    }
    const needed = [...inView, ...around].slice(0, MOST_ALIVE);
    const keys = new Set(needed.map(tile => tile.key));
    const complete = inView.every(tile => this.alive.get(tile.key)?.ready);
    for (const [key, tile] of this.alive) {
      // Tiles of another level stay below until those in view are there.
      const spare = this.alive.size > MOST_ALIVE - needed.length || complete;
      if (!keys.has(key) && (spare || !tile.ready)) this.drop(key);
    }
    this.wanted = needed.filter(tile => !this.alive.has(tile.key));
    this.next();
  }

  drop(key) {
    const { image, ready } = this.alive.get(key);
    if (!ready) { image.onload = image.onerror = null; image.src = ''; this.underWay -= 1; }
    image.remove();
    this.alive.delete(key);
  }

  next() {
    while (this.underWay < MOST_UNDER_WAY && this.wanted.length > 0 && this.alive.size < MOST_ALIVE) {
      const { key, level, column, row, side } = this.wanted.shift();
      const image = new Image();
      const tile = { image, ready: false };
      image.alt = '';
      image.decoding = 'async';
      image.draggable = false;
      image.className = 'tile';
      Object.assign(image.style, {
        left: `${column * side}px`,
        top: `${row * side}px`,
        width: `${Math.min(side, this.width - column * side)}px`,
        height: `${Math.min(side, this.height - row * side)}px`,
        zIndex: String(this.levels - level),
      });
      image.onload = () => { tile.ready = true; this.underWay -= 1; this.layer.append(image); this.next(); };
      image.onerror = () => { this.underWay -= 1; tile.ready = true; this.next(); };
      this.alive.set(key, tile);
      this.underWay += 1;
      image.src = `/t/${this.sha256}/${key}.jpg`;
    }
  }
}
