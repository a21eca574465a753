// The drawing: the girder of the state at hand, either face, any stage, as near as one likes.
// It is drawn once in model mm under one matrix; lettering and arrows keep their size.

import { button, el, say, svg } from '/static/dom.js';
import { closed } from '/static/sketch.js';
import { drawTape } from '/static/tape.js';
import { View } from '/static/view.js';

const middle = (points) => [0, 1].map((k) => points.reduce((s, p) => s + p[k], 0) / points.length);
const bounds = (points) => [Math.min(...points.map((p) => p[0])), Math.min(...points.map((p) => p[1])),
  Math.max(...points.map((p) => p[0])), Math.max(...points.map((p) => p[1]))];

const NAME_AT = [0.5, 0.42, 0.58, 0.34, 0.66]; // of a member's length, the first that is off its joints

export class Sheet {
  /** `host` is told what is selected and moved: select(thing), moved(thing, dx, dy), hover(x). */
  constructor(box, host) {
    this.host = host;
    this.view = new View();
    this.face = 'front';
    this.stage = 0;
    this.selected = null;
    this.pins = [];
    this.ghost = null;
    this.other = null;
    this.added = [];
    this.nodes = {
      world: svg('g', { class: 'world' }),
      over: svg('g', { class: 'over' }),
    };
    this.picture = svg('svg', { id: 'picture', tabindex: 0, role: 'application', 'aria-roledescription': say('drawing') }, this.nodes.world, this.nodes.over);
    this.tape = svg('svg', { id: 'tape', 'aria-hidden': 'true' });
    this.tools = el('div', { id: 'sheet-tools' });
    this.stale = el('p', { id: 'stale', hidden: true }, say('drawing_stale'));
    box.append(this.tools, this.picture, this.stale, this.tape);
    this.#pointers();
    this.#keys();
    new ResizeObserver(() => this.#resized()).observe(this.picture);
  }

  // --- what is drawn ------------------------------------------------------------------------

  /** Takes a new state of the girder; null keeps the last drawing and says that it is old. */
  take(scene) {
    this.stale.hidden = scene !== null || !this.scene;
    this.stale.textContent = say('drawing_stale');
    this.picture.classList.toggle('old', scene === null);
    if (!scene) return;
    const first = !this.scene;
    const changed = !this.scene || this.scene.box.join() !== scene.box.join();
    this.scene = scene;
    if (!scene.stages.some((s) => s.number === this.stage)) this.stage = 0;
    if (first || (changed && this.view.whole)) this.view.fit(scene.box);
    this.#world();
    this.#toolbar();
    this.soon();
  }

  #world() {
    const s = this.scene;
    const f = s.fasteners;
    const shown = f.x.map((_, i) => this.stage === 0 || f.stage[i] <= this.stage);
    const now = (i) => this.stage === 0 || f.stage[i] === this.stage;
    const dots = { seen: [], far: [], before: [] };
    const washers = [];
    this.bolts = [];
    f.x.forEach((x, i) => {
      if (!shown[i]) return;
      if (f.bolt[i]) {
        const half = (s.washers[f.specs[f.spec[i]]] ?? 40) / 2;
        washers.push(`M${x - half} ${f.y[i] - half}h${2 * half}v${2 * half}h${-2 * half}Z`);
        this.bolts.push([x, f.y[i], half, now(i)]);
      } else {
        dots[now(i) ? (f.back[i] === (this.face === 'back') ? 'seen' : 'far') : 'before'].push(`M${x} ${f.y[i]}h0`);
      }
    });
    const thing = (name, d, more) => svg('path', { d, 'data-thing': name, ...more });
    this.nodes.bolts = svg('path', { class: 'bolt' });
    this.nodes.lit = svg('g', { class: 'lit' });
    this.nodes.ghost = svg('path', { class: 'ghost' });
    this.nodes.differs = svg('g', { class: 'differs' });
    this.nodes.world.replaceChildren(
      ...s.members.map((m) => thing(`member:${m.id}`, closed(m.outline), { class: 'timber' })),
      ...s.bearings.map(([x, w, y], i) => thing(`bearing:${i}`, `M${x - w / 2} ${y}h${w}v${-w / 5}h${-w}Z`, { class: 'bearing' })),
      ...s.plates.map((p) => thing(`joint:${p.joint}`, closed(p.outline), { class: p.assumed ? 'plate assumed' : 'plate' })),
      ...(s.loads ?? []).filter((h) => h.bracket).map((h) => thing(`load:${h.entry}`, closed(h.bracket), { class: h.face === this.face ? 'bracket' : 'bracket far', 'data-hung': h.id })),
      svg('path', { d: washers.join(''), class: 'washer' }), this.nodes.bolts,
      ...['before', 'far', 'seen'].flatMap((k) => [svg('path', { d: dots[k].join(''), class: `dot ${k}` }), ...(k === 'far' ? [svg('path', { d: dots[k].join(''), class: 'dot hole' })] : [])]),
      this.nodes.differs, this.nodes.lit, this.nodes.ghost);
    this.#differs();
    this.#over();
    this.#light();
  }

  #over() {
    const s = this.scene;
    const names = s.members.map((m) => svg('text', { class: 'name' }, m.id));
    const joints = s.joints.map((j) => svg('text', { class: 'joint-name' }, j.id));
    const loads = (s.loads ?? []).map((h) => svg('g', { class: `hung${h.face === 'back' ? ' back' : ''}`, 'data-thing': `load:${h.entry}`, 'data-hung': h.id },
      svg('path', { class: 'reach' }), svg('path', { class: 'arrow' }), svg('text', {})));
    this.nodes.names = names;
    this.nodes.joints = joints;
    this.nodes.loads = loads;
    this.nodes.pins = svg('g', { class: 'pins' });
    this.nodes.over.replaceChildren(...joints, ...names, ...loads, this.nodes.pins);
  }

  /** Shows what is selected, and numbers where findings mean. */
  mark(selected, pins = this.pins) {
    this.selected = selected;
    this.pins = pins;
    if (this.scene) { this.#light(); this.soon(); }
  }

  /** Shows what another layout has more (a plus) and less (struck out); null ends it. */
  compare(other, said = '') {
    if (!other && !this.other) return;
    this.other = other;
    this.stale.textContent = other ? say('drawing_other', { what: said }) : say('drawing_stale');
    this.stale.hidden = !other;
    if (this.scene) { this.#differs(); this.soon(); }
  }

  /** Shows places where an inspection asks for more. */
  todo(places) {
    this.added = places;
    if (this.scene) { this.#differs(); this.soon(); }
  }

  #differs() {
    this.strokes = { more: this.added.map((t) => t.at), gone: [] };
    if (this.other) {
      const key = (f, i) => [f.member[i], f.specs[f.spec[i]], f.stage[i], Math.round(f.x[i]), Math.round(f.y[i])].join();
      const [mine, theirs] = [this.scene.fasteners, this.other.fasteners];
      const keys = (f) => new Set(f.x.map((_, i) => key(f, i)));
      const [a, b] = [keys(mine), keys(theirs)];
      theirs.x.forEach((x, i) => { if (!a.has(key(theirs, i))) this.strokes.more.push([x, theirs.y[i]]); });
      mine.x.forEach((x, i) => { if (!b.has(key(mine, i))) this.strokes.gone.push([x, mine.y[i]]); });
    }
    this.nodes.differs.replaceChildren(svg('path', { class: 'halo' }), svg('path', { class: 'gone' }), svg('path', { class: 'more' }));
  }

  #strokes() {
    const r = Math.max(5, Math.min(9, this.view.scale * 30)) / this.view.scale;
    const more = this.strokes.more.map(([x, y]) => `M${x - r} ${y}h${2 * r}M${x} ${y - r}v${2 * r}`).join('');
    const gone = this.strokes.gone.map(([x, y]) => `M${x - r} ${y - r}l${2 * r} ${2 * r}`).join('');
    [more + gone, gone, more].forEach((d, i) => this.nodes.differs.children[i].setAttribute('d', d));
  }

  /** The outline of a thing, or null where it has none. */
  outline(thing) {
    const s = this.scene;
    const [kind, name] = split(thing);
    if (kind === 'member') return s.members.find((m) => m.id === name)?.outline;
    if (kind === 'joint') return s.plates.find((p) => p.joint === name)?.outline ?? around(s.joints.find((j) => j.id === name)?.at, 60);
    if (kind === 'load' || kind === 'hung') {
      const hung = s.loads.filter((h) => (kind === 'hung' ? h.id === name : h.entry === Number(name)));
      return hung.length ? hung.flatMap((h) => h.bracket ?? around(h.at, 60)) : null;
    }
    if (kind === 'bearing') {
      const b = s.bearings[Number(name)];
      return b ? [[b[0] - b[1] / 2, b[2] - b[1] / 5], [b[0] + b[1] / 2, b[2] - b[1] / 5], [b[0] + b[1] / 2, b[2]], [b[0] - b[1] / 2, b[2]]] : null;
    }
    if (kind === 'fastener') {
      const i = s.fasteners.id.indexOf(name);
      return i < 0 ? null : around([s.fasteners.x[i], s.fasteners.y[i]], 30);
    }
    return null;
  }

  #light() {
    const chosen = this.selected ? this.#paths(this.selected) : [];
    this.nodes.lit.replaceChildren(...chosen.map((d) => svg('path', { d, class: 'chosen' })),
      ...chosen.map((d) => svg('path', { d, class: 'chosen inner' })),
      ...this.pins.flatMap((p) => p.lit.flatMap((t) => this.#paths(t)).map((d) => svg('path', { d, class: `meant ${p.severity}` }))));
    const spots = this.pins.flatMap((p) => p.lit.map((t) => ({ ...p, at: this.#spot(t) })).filter((q) => q.at));
    this.spots = spots;
    this.nodes.pins.replaceChildren(...spots.map((p) => svg('g', { class: `pin ${p.severity}`, 'data-pin': p.number },
      svg('path', { d: p.severity === 'error' ? 'M-13-8h26v20h-26Z' : 'M0-11a12 12 0 1 0 .01 0Z', transform: 'translate(0 -1)' }),
      svg('text', { y: 6 }, String(p.number)))));
  }

  #paths(thing) {
    const [kind, name] = split(thing);
    if (kind === 'load') {
      return this.scene.loads.filter((h) => h.entry === Number(name)).map((h) => closed(h.bracket ?? around(h.at, 50)));
    }
    const outline = this.outline(thing);
    return outline ? [closed(outline)] : [];
  }

  #spot(thing) {
    const [kind, name] = split(thing);
    const m = kind === 'member' && this.scene.members.find((x) => x.id === name);
    if (m) return [0, 1].map((k) => m.hook[k] + 0.36 * (m.far[k] - m.hook[k])); // beside its name
    const outline = this.outline(thing);
    return outline ? middle(outline) : null;
  }

  // --- painting -----------------------------------------------------------------------------

  soon() {
    if (!this.waiting) { this.waiting = true; requestAnimationFrame(() => this.#paint()); }
  }

  #resized() {
    const { width, height } = this.picture.getBoundingClientRect();
    this.view.size(width, height);
    if (this.scene && this.view.whole) this.view.fit(this.scene.box);
    this.soon();
  }

  #paint() {
    this.waiting = false;
    if (!this.scene) return;
    const v = this.view;
    v.mirror = this.face === 'back' ? -1 : 1;
    this.nodes.world.setAttribute('transform', `matrix(${v.matrix.map((k) => k.toFixed(5)).join(' ')})`);
    this.picture.style.setProperty('--dot', `${Math.min(13, Math.max(3.4, v.scale * 9)).toFixed(1)}px`);
    this.nodes.bolts.setAttribute('d', this.bolts.map(([x, y, half]) => {
      const arm = Math.max(half * 1.3, 5 / v.scale);
      return `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`;
    }).join(''));
    this.#strokes();
    this.#lettering();
    for (const [i, node] of [...this.nodes.pins.children].entries()) put(node, v.toScreen(...this.spots[i].at));
    drawTape(this.tape, v, this.scene, this.pointer);
    this.host.painted?.();
  }

  #lettering() {
    const v = this.view;
    const s = this.scene;
    const taken = [];
    const named = [];
    s.members.forEach((m, i) => {
      const [a, b] = [v.toScreen(...m.hook), v.toScreen(...m.far)];
      const long = Math.hypot(b[0] - a[0], b[1] - a[1]);
      const half = (m.depth * v.scale) / 2;
      const joints = s.joints.filter((j) => j.members.includes(m.id)).map((j) => v.toScreen(...j.at));
      const along = NAME_AT.map((t) => [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
      const at = along.find((p) => joints.every((j) => Math.hypot(j[0] - p[0], j[1] - p[1]) > 40)) ?? along[0];
      const inside = half > 13;
      const side = [(a[1] - b[1]) / (long || 1), (b[0] - a[0]) / (long || 1)];
      const up = side[1] < 0 ? 1 : -1;
      const off = inside ? 0 : half + 12;
      const [x, y] = [at[0] + side[0] * off * up, at[1] + side[1] * off * up];
      const free = long > 44 && named.every(([p, q, n]) => Math.abs(p - x) > (n + m.id.length) * 5 || Math.abs(q - y) > 16);
      if (free) named.push([x, y, m.id.length]);
      put(this.nodes.names[i], [x, y]);
      this.nodes.names[i].setAttribute('visibility', free ? 'visible' : 'hidden');
    });
    const near = v.scale > (v.least ?? 0) * 2.2 || this.host.naming?.();
    s.joints.forEach((j, i) => {
      const [x, y] = v.toScreen(...j.at);
      put(this.nodes.joints[i], [x, y]);
      this.nodes.joints[i].setAttribute('visibility', near ? 'visible' : 'hidden');
    });
    (s.loads ?? []).forEach((h, i) => this.#arrow(h, this.nodes.loads[i], taken));
  }

  #arrow(h, node, taken) {
    const v = this.view;
    const chord = this.scene.members.find((m) => m.id === h.chord);
    const edge = (h.low ? -1 : 1) * (chord.depth / 2) / Math.max(0.3, Math.abs(Math.cos(chord.angle)));
    const [x, y] = v.toScreen(h.at[0], h.at[1] + edge);
    const out = h.low ? 1 : -1;
    const [start, end] = [y + out * 5, y + out * (h.face === 'back' ? 44 : 32)];
    const tip = (h.low === h.down) ? end : start;
    const way = h.down ? -1 : 1;
    const [, reach, , label] = [0, node.children[0], 0, node.children[2]];
    reach.setAttribute('d', `M${x} ${start}V${end}`);
    node.children[1].setAttribute('d', `M${x} ${start}V${end}M${x - 5} ${tip + way * 8}L${x} ${tip}L${x + 5} ${tip + way * 8}`);
    const words = this.view.scale > 0.28 ? `${h.id} ${h.design}` : h.id;
    const wide = words.length * 6.6;
    const lane = [0, 1].find((l) => !taken.some(([a, b, o, k]) => o === out && k === l && x - wide / 2 < b && x + wide / 2 > a));
    label.textContent = lane === undefined ? '' : words;
    if (lane === undefined) return;
    put(label, [x, y + out * (53 + 14 * lane)]);
    taken.push([x - wide / 2 - 4, x + wide / 2 + 4, out, lane]);
  }

  // --- tools --------------------------------------------------------------------------------

  #toolbar() {
    const s = this.scene;
    const held = this.tools.contains(document.activeElement) ? document.activeElement.id : null;
    const face = (f) => button(say(`face_${f}`), () => this.turn(f), { id: `face-${f}`, 'aria-pressed': String(this.face === f) });
    const stages = el('select', { id: 'stage', 'aria-label': say('stage_shown'), onchange: (e) => this.showStage(Number(e.target.value)) },
      el('option', { value: 0, selected: this.stage === 0 }, say('stage_all')),
      ...s.stages.map((g) => el('option', { value: g.number, selected: this.stage === g.number }, say('stage_n', { n: g.number, title: g.title }))));
    this.tools.replaceChildren(
      el('div', { class: 'pair', role: 'group', 'aria-label': say('face_shown') }, face('front'), face('back')), stages,
      el('div', { class: 'pair', role: 'group', 'aria-label': say('zoom') },
        button('−', () => this.zoom(1 / 1.6), { id: 'further', 'aria-label': say('further') }),
        button(say('whole'), () => { this.view.fit(s.box); this.soon(); }, { id: 'whole' }),
        button('+', () => this.zoom(1.6), { id: 'nearer', 'aria-label': say('nearer') })));
    if (held) this.tools.querySelector(`#${held}`)?.focus();
  }

  turn(face) {
    this.face = face;
    this.#world();
    this.#toolbar();
    this.soon();
  }

  showStage(number) {
    this.stage = number;
    const stage = this.scene.stages.find((g) => g.number === number);
    if (stage) this.face = stage.face;
    this.#world();
    this.#toolbar();
    this.soon();
  }

  zoom(factor, x, y) {
    const spot = this.selected && this.#spot(this.selected);
    const [px, py] = x === undefined && spot ? this.view.toScreen(...spot) : [x ?? this.view.width / 2, y ?? this.view.height / 2];
    this.view.zoom(factor, px, py);
    this.soon();
  }

  /** Brings a thing into view. */
  bring(thing) {
    const outline = this.scene && this.outline(thing);
    if (outline) { this.view.show(bounds(outline)); this.soon(); }
  }

  // --- hands --------------------------------------------------------------------------------

  #pointers() {
    const down = new Map();
    let drag = null;
    const at = (e) => { const b = this.picture.getBoundingClientRect(); return [e.clientX - b.left, e.clientY - b.top]; };
    this.picture.addEventListener('pointerdown', (e) => {
      if (e.button > 0) return;
      const [x, y] = at(e);
      down.set(e.pointerId, [x, y]);
      this.picture.setPointerCapture(e.pointerId);
      const pin = e.target.closest('[data-pin]');
      const thing = e.target.closest('[data-thing]');
      drag = down.size === 1 ? { x, y, lastX: x, lastY: y, pin: pin?.dataset.pin, thing: thing?.dataset.thing, hung: thing?.dataset.hung, far: false } : null;
    });
    this.picture.addEventListener('pointermove', (e) => {
      const [x, y] = at(e);
      this.pointer = this.view.toModel(x, y);
      if (!down.has(e.pointerId)) { this.soon(); return; }
      if (down.size === 2) { this.#pinch(down, e.pointerId, [x, y]); return; }
      down.set(e.pointerId, [x, y]);
      if (!drag) return;
      if (!drag.far && Math.hypot(x - drag.x, y - drag.y) < 6) return;
      drag.far = true;
      if (drag.thing && this.host.movable(drag.thing) && drag.thing === this.selected) {
        const [a, b] = [this.view.toModel(drag.x, drag.y), this.view.toModel(x, y)];
        drag.by = this.host.snapped(drag.thing, b[0] - a[0], b[1] - a[1]);
        this.#ghostly(drag.thing, drag.by);
      } else {
        this.view.pan(x - drag.lastX, y - drag.lastY);
      }
      [drag.lastX, drag.lastY] = [x, y];
      this.soon();
    });
    const up = (e) => {
      down.delete(e.pointerId);
      if (!drag) return;
      const done = drag;
      drag = null;
      this.#ghostly(null);
      if (e.type === 'pointercancel') return;
      if (done.by) this.host.moved(done.thing, ...done.by);
      else if (!done.far && done.pin) this.host.pinned(Number(done.pin));
      else if (!done.far) this.host.select(done.thing ?? null, { hung: done.hung, near: this.nearest(done.x, done.y) });
    };
    this.picture.addEventListener('pointerup', up);
    this.picture.addEventListener('pointercancel', up);
    this.picture.addEventListener('pointerleave', () => { this.pointer = null; this.soon(); });
    this.picture.addEventListener('wheel', (e) => {
      e.preventDefault();
      this.zoom(Math.exp(-e.deltaY * 0.0016), ...at(e));
    }, { passive: false });
  }

  #pinch(down, id, now) {
    const other = [...down].find(([k]) => k !== id)[1];
    const was = down.get(id);
    const far = (p) => Math.max(10, Math.hypot(p[0] - other[0], p[1] - other[1]));
    this.view.zoom(far(now) / far(was), (now[0] + other[0]) / 2, (now[1] + other[1]) / 2);
    this.view.pan((now[0] - was[0]) / 2, (now[1] - was[1]) / 2);
    down.set(id, now);
    this.soon();
  }

  #ghostly(thing, by) {
    const d = thing ? this.#paths(thing).join('') : '';
    this.nodes.ghost?.setAttribute('d', d);
    this.nodes.ghost?.setAttribute('transform', by ? `translate(${by[0]} ${by[1]})` : '');
    this.host.dragging?.(thing, by);
  }

  /** The fastener within a finger's reach, by number; -1 where there is none. */
  nearest(px, py) {
    const f = this.scene.fasteners;
    let found = -1;
    let least = 9;
    f.x.forEach((x, i) => {
      if (this.stage && f.stage[i] > this.stage) return;
      const [sx, sy] = this.view.toScreen(x, f.y[i]);
      const away = Math.hypot(sx - px, sy - py);
      if (away < least) { least = away; found = i; }
    });
    return this.view.scale > 0.12 ? found : -1;
  }

  #keys() {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    this.picture.addEventListener('keydown', (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      if (e.key === '+' || e.key === '=') this.zoom(1.6);
      else if (e.key === '-') this.zoom(1 / 1.6);
      else if (e.key === '0') { this.view.fit(this.scene.box); this.soon(); }
      else if (step[e.key]) {
        const [dx, dy] = step[e.key];
        if (this.selected && this.host.movable(this.selected)) this.host.nudged(this.selected, dx * this.view.mirror, dy, e.shiftKey);
        else { this.view.pan(-dx * 60, dy * 60); this.soon(); }
      } else return;
      e.preventDefault();
    });
  }
}

export function split(thing) {
  const at = (thing ?? '').indexOf(':');
  return [thing?.slice(0, at), thing?.slice(at + 1)];
}

const around = (at, r) => (at ? [[at[0] - r, at[1] - r], [at[0] + r, at[1] - r], [at[0] + r, at[1] + r], [at[0] - r, at[1] + r]] : null);
const put = (node, [x, y]) => node.setAttribute('transform', `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
