// Where the girder is on the screen: scale, place and side. Model mm, y up; screen px, y down.

export const NEAREST = 10; // px for one mm: a hand's width fills the drawing

export class View {
  constructor() {
    Object.assign(this, { scale: 0.1, cx: 0, cy: 0, mirror: 1, width: 1, height: 1, whole: true });
  }

  size(width, height) {
    this.width = Math.max(1, width);
    this.height = Math.max(1, height);
  }

  /** Shows all of the girder with room around it for what hangs and for names. */
  fit([x0, y0, x1, y1], { above = 58, below = 82, side = 44 } = {}) {
    this.box = [x0, y0, x1, y1];
    const wide = Math.max(60, this.width - 2 * side);
    const high = Math.max(40, this.height - above - below);
    this.scale = Math.min(wide / Math.max(1, x1 - x0), high / Math.max(1, y1 - y0));
    this.cx = (x0 + x1) / 2;
    this.cy = (y0 + y1) / 2 - (below - above) / 2 / this.scale;
    this.least = this.scale * 0.6;
    this.whole = true;
  }

  toScreen(x, y) {
    return [(x - this.cx) * this.scale * this.mirror + this.width / 2, (this.cy - y) * this.scale + this.height / 2];
  }

  toModel(px, py) {
    return [(px - this.width / 2) / (this.scale * this.mirror) + this.cx, this.cy - (py - this.height / 2) / this.scale];
  }

  /** Nearer or further by a factor, the place under the pointer stays where it is. */
  zoom(factor, px = this.width / 2, py = this.height / 2) {
    const [x, y] = this.toModel(px, py);
    this.scale = Math.min(NEAREST, Math.max(this.least ?? 0.01, this.scale * factor));
    this.cx = x - (px - this.width / 2) / (this.scale * this.mirror);
    this.cy = y + (py - this.height / 2) / this.scale;
    this.whole = false;
  }

  pan(dx, dy) {
    this.cx -= dx / (this.scale * this.mirror);
    this.cy += dy / this.scale;
    this.whole = false;
  }

  /** Brings a box of the model into view, near enough to work on it. */
  show([x0, y0, x1, y1]) {
    const [ax, ay] = this.toScreen(x0, y1);
    const [bx, by] = this.toScreen(x1, y0);
    const inside = Math.min(ax, bx) > 20 && Math.max(ax, bx) < this.width - 20
      && Math.min(ay, by) > 20 && Math.max(ay, by) < this.height - 20;
    if (inside) return;
    this.cx = (x0 + x1) / 2;
    this.cy = (y0 + y1) / 2;
    this.whole = false;
  }

  get matrix() {
    const { scale: s, mirror: m } = this;
    return [s * m, 0, 0, -s, this.width / 2 - this.cx * s * m, this.height / 2 + this.cy * s];
  }
}
