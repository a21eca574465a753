// The elevation as SVG. The girder is drawn once in model mm under one matrix. Marks that look
// alike share one path: a stroke of no length with round or square ends is a dot of a fixed size
// on the screen, so that 1,500 of them cost a handful of elements.

const drawing = (() => {
  const { v } = view;
  const { M } = girder;
  const layers = {};
  const nodes = {};
  let shown = []; // marks of the stage at hand
  let picked = null;
  let rivals = [];
  let waiting = false;
  let settled = 0;

  const poly = (points) => `M${points.map((p) => p.join(' ')).join('L')}Z`;

  function outline(m, k) {
    return svg('path', { d: poly(m.outline), class: 'member', 'data-member': k });
  }

  function backdrop() {
    const high = Math.min(...DATA.members.flatMap((m) => m.outline.map((p) => p[1])));
    return [
      ...DATA.members.map(outline),
      ...DATA.plates.map((p) => svg('path', { d: poly(p.outline), class: p.assumed ? 'plate assumed' : 'plate' })),
      ...DATA.bearings.map(([x, w]) => svg('path', {
        d: `M${x - w / 2} ${high}H${x + w / 2}L${x} ${high - 90}Z`, class: 'bearing' })),
    ];
  }

  // Ring and inside of each look, back to front.
  const LOOKS = ['far-nail', 'far-bolt', 'open-nail', 'open-bolt', 'good-nail', 'good-bolt', 'fault-nail', 'fault-bolt'];

  function build() {
    nodes.world = svg('g', { class: 'world' }, ...backdrop());
    nodes.brackets = svg('g', { class: 'brackets' });
    nodes.marks = svg('g', { class: 'marks' });
    for (const look of LOOKS) {
      layers[look] = ['ring', 'inside'].map((part) => svg('path', { class: `dot ${look} ${part}` }));
      nodes.marks.append(...layers[look]);
    }
    layers.added = Object.fromEntries(['add-far', 'add', 'add-good'].map((k) => [k, svg('path', { class: `dotless ${k}` })]));
    layers.strokes = svg('path', { class: 'strokes dotless' });
    nodes.marks.append(...Object.values(layers.added), layers.strokes);
    nodes.world.append(nodes.brackets, nodes.marks);
    nodes.rivals = svg('g', { class: 'rivals' });
    nodes.pick = svg('g', { class: 'pick', visibility: 'hidden' },
      svg('circle', { r: 23, class: 'pick-halo' }), svg('circle', { r: 23, class: 'pick-ring' }),
      svg('path', { d: 'M-34 0h10M34 0h-10M0-34v10M0 34v-10', class: 'pick-ring' }));
    nodes.labels = svg('g', { class: 'labels' });
    nodes.names = svg('g', { class: 'names' }, ...DATA.members.map((m) => svg('text', {}, m.id)));
    nodes.hook = svg('g', { class: 'hook' }, svg('path', { d: 'M0-30V30M0 0h-14l5-5m-5 5 5 5' }), svg('text', { y: -58 }, say('hook_end')));
    byId('picture').append(nodes.world, nodes.names, nodes.rivals, nodes.pick, nodes.labels, nodes.hook);
  }

  function look(i) {
    const m = state.now.marks.get(i);
    const g = girder.group(i);
    const shape = g.kind === 'bolt' ? 'bolt' : 'nail';
    if (g.added && !(m && m.state !== 'good')) return m ? 'add-good' : `add${g.face === v.face ? '' : '-far'}`;
    if (!m) return `${g.face === v.face ? 'open' : 'far'}-${shape}`;
    return `${m.state === 'good' ? 'good' : 'fault'}-${shape}`;
  }

  /** Sorts the marks into their paths; called when a mark, the stage or the face changes. */
  function marks() {
    shown = (v.member === null ? girder.ofStage.get(v.stage) : girder.ofMember(v.stage, v.member)).filter(blind.knownMark);
    const d = Object.fromEntries(LOOKS.map((k) => [k, []]));
    for (const i of shown) d[look(i)]?.push(`M${M.x[i]} ${M.y[i]}h0`);
    for (const k of LOOKS) for (const path of layers[k]) path.setAttribute('d', d[k].join(''));
    strokesScale = 0;
    nodes.brackets.replaceChildren(...DATA.brackets.filter((b) => b.face === v.face)
      .map((b) => svg('path', { d: poly(b.outline), class: 'bracket' })));
    soon();
  }

  let strokesScale = 0;
  let strokesTurn = 0;

  // The strokes of faults and what was added keep their size on the screen: made again when the scale changes.
  function strokes(m) {
    if (strokesScale === v.scale * v.mirror && strokesTurn === v.turn) return;
    [strokesScale, strokesTurn] = [v.scale * v.mirror, v.turn];
    const size = markSize() * 0.42;
    const det = m[0] * m[3] - m[1] * m[2];
    const back = [m[3] / det, -m[1] / det, -m[2] / det, m[0] / det];
    /** Where a step of one unit, so many px on the screen, is in the model. */
    const around = (i, px) => ([x, y]) => {
      const [a, b, c, d] = back.map((k) => k * px);
      return `${(M.x[i] + a * x + c * y).toFixed(1)} ${(M.y[i] + b * x + d * y).toFixed(1)}`;
    };
    const added = { add: [], 'add-far': [], 'add-good': [] };
    const parts = [];
    for (const i of shown) {
      const s = state.now.marks.get(i);
      if (s && s.state !== 'good') {
        parts.push(glyphs.path(s.state, around(i, size)));
      } else if (girder.group(i).added) {
        added[look(i)].push(glyphs.added(girder.group(i).kind, around(i, Math.max(9, size * 1.5))));
      }
    }
    layers.strokes.setAttribute('d', parts.join(''));
    for (const [k, paths] of Object.entries(added)) layers.added[k].setAttribute('d', paths.join(''));
  }

  /** Size of a mark on the screen, px: small where they crowd, never too small to see. */
  function markSize() {
    return Math.round(Math.min(18, Math.max(8, v.scale * 90)));
  }

  function paint() {
    waiting = false;
    const m = view.matrix();
    nodes.world.setAttribute('transform', `matrix(${m.map((k) => k.toFixed(5)).join(' ')})`);
    const size = markSize();
    if (nodes.size !== size) {
      nodes.size = size;
      nodes.marks.setAttribute('class', `marks size-${size}`);
      strokesScale = 0;
    }
    strokes(m);
    names(m);
    place(nodes.pick, m, picked);
    [...nodes.rivals.children].forEach((node, k) => place(node, m, rivals[k]));
    nodes.labels.setAttribute('visibility', 'hidden');
    clearTimeout(settled);
    settled = setTimeout(labels.draw, 90);
  }

  function place(node, m, i) {
    if (i === null || i === undefined) { node.setAttribute('visibility', 'hidden'); return; }
    const [x, y] = view.at(m, M.x[i], M.y[i]);
    node.setAttribute('transform', `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    node.setAttribute('visibility', 'visible');
  }

  // Names of members beside their middles; of the one in focus none, its name is in the head. One that
  // would lie on another, or nearer to another member, is left out: every member has its button.
  function names(m) {
    const spots = [...nodes.names.children].map((text, k) => {
      const { hook, far, depth, chord } = DATA.members[k];
      const [[x0, y0], [x1, y1]] = [view.at(m, ...hook), view.at(m, ...far)];
      const long = Math.hypot(x1 - x0, y1 - y0);
      const [nx, ny] = [(y0 - y1) / long, (x1 - x0) / long];
      const side = chord ? outward(m, (x0 + x1) / 2, (y0 + y1) / 2, nx, ny) : ny > 0.05 ? -1 : 1; // a web's name lies above it
      const off = side * ((depth * v.scale) / 2 + 17);
      const [x, y] = [(x0 + x1) / 2 + nx * off, (y0 + y1) / 2 + ny * off + 6];
      text.setAttribute('x', x.toFixed(1));
      text.setAttribute('y', y.toFixed(1));
      return { text, x, y, ends: [x0, y0, x1, y1], half: 6.5 * text.textContent.length + 3, long, chord };
    });
    const kept = [];
    spots.sort((a, b) => b.chord - a.chord || b.long - a.long);
    for (const spot of spots) {
      const own = away(spot, spot.ends) - 1;
      const free = spots.every((o) => away(spot, o.ends) >= own) && kept.every((o) => Math.abs(o.x - spot.x) >= o.half + spot.half || Math.abs(o.y - spot.y) >= 19);
      const seen = v.member === null && spot.long > 36 && free;
      if (seen) kept.push(spot);
      spot.text.setAttribute('visibility', seen ? 'visible' : 'hidden');
    }
    const one = view.member();
    nodes.hook.setAttribute('visibility', one ? 'visible' : 'hidden');
    if (one) {
      const [x0, y0] = view.at(m, ...one.hook);
      const right = view.at(m, ...one.far)[0] < x0;
      nodes.hook.setAttribute('transform', `translate(${x0.toFixed(1)} ${y0.toFixed(1)})${right ? ' scale(-1 1)' : ''}`);
      nodes.hook.lastChild.setAttribute('transform', right ? 'scale(-1 1)' : '');
      nodes.hook.lastChild.setAttribute('text-anchor', right ? 'end' : 'start');
    }
  }

  // How far the middle of a name is from the middle line of a member, px; y is its base line.
  function away({ x, y }, [x0, y0, x1, y1]) {
    const [dx, dy] = [x1 - x0, y1 - y0];
    const t = Math.min(1, Math.max(0, ((x - x0) * dx + (y - 6 - y0) * dy) / (dx * dx + dy * dy || 1)));
    return Math.hypot(x - x0 - t * dx, y - 6 - y0 - t * dy);
  }

  function outward(m, x, y, nx, ny) {
    const [mx, my] = view.at(m, middle[0], middle[1]);
    return (x - mx) * nx + (y - my) * ny >= 0 ? 1 : -1;
  }

  const middle = (() => {
    const points = DATA.members.flatMap((m) => m.outline);
    const mid = (k) => (Math.min(...points.map((p) => p[k])) + Math.max(...points.map((p) => p[k]))) / 2;
    return [mid(0), mid(1)];
  })();

  // Number and station beside each mark, once the marks stand far enough apart to carry them.
  const labels = {
    boxes: [],
    draw() {
      nodes.labels.setAttribute('visibility', 'visible');
      const m = view.matrix();
      const near = shown.filter((i) => {
        const [x, y] = view.at(m, M.x[i], M.y[i]);
        return x > 0 && y > 0 && x < v.width && y < v.height;
      });
      labels.boxes = [];
      const roomy = (v.member !== null && near.length <= 24) || (near.length <= 70 && v.scale > 0.18);
      nodes.labels.replaceChildren(...(roomy ? near.flatMap((i) => labels.one(m, i)) : []));
    },
    one(m, i) {
      const [x, y] = view.at(m, M.x[i], M.y[i]);
      const words = [M.id[i].slice(M.id[i].lastIndexOf('-') + 1), M.station[i]];
      const width = 10.4 * Math.max(...words.map((w) => w.length)) + 6;
      const high = labels.isUpper(m, i, y);
      for (const top of high ? [y - 50, y + 14] : [y + 14, y - 50]) {
        const box = [x - width / 2, top, x + width / 2, top + 36];
        if (labels.free(box)) {
          labels.boxes.push(box);
          return [svg('text', { x: x.toFixed(1), y: (top + 14).toFixed(1), class: 'small' }, words[0]),
            svg('text', { x: x.toFixed(1), y: (top + 32).toFixed(1) }, words[1])];
        }
      }
      return [];
    },
    // Above or below the centreline of its member, as seen.
    isUpper(m, i, y) {
      const { hook, far } = DATA.members[girder.group(i).member];
      const [[x0, y0], [x1, y1]] = [view.at(m, ...hook), view.at(m, ...far)];
      const x = view.at(m, M.x[i], M.y[i])[0];
      const line = Math.abs(x1 - x0) < 1 ? y : y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
      return y <= line + 0.5;
    },
    free: (box) => !labels.boxes.some((b) => box[0] < b[2] && b[0] < box[2] && box[1] < b[3] && b[1] < box[3]),
  };

  /** Paints once before the next frame, however often it is asked. */
  function soon() {
    if (!waiting) { waiting = true; requestAnimationFrame(paint); }
  }

  function focus() {
    nodes.world.querySelectorAll('.member').forEach((p) => {
      p.classList.toggle('dim', v.member !== null && Number(p.dataset.member) !== v.member);
    });
  }

  /** Shows which mark is picked, and which others lie under the same finger. */
  function pick(i, others = []) {
    picked = i;
    rivals = others;
    nodes.rivals.replaceChildren(...others.map(() => svg('circle', { r: 15, class: 'rival' })));
    soon();
  }

  return { build, marks, soon, pick, focus, get shown() { return shown; } };
})();
