// The sign of each state: told by shape, so that it reads in black and white and without colours.
// Strokes in a box from -1 to 1, y down.

const glyphs = (() => {
  const STROKES = {
    missing: [[[-1, -1], [1, 1]], [[-1, 1], [1, -1]]],
    misplaced: [[[-1, 0], [1, 0]], [[0.3, -0.7], [1, 0], [0.3, 0.7]]],
    overdriven: [[[0, -1], [0, 0.9]], [[-0.75, 0.15], [0, 0.9], [0.75, 0.15]]],
    split: [[[0.35, -1.1], [-0.4, -0.25], [0.4, 0.25], [-0.35, 1.1]]],
    'wrong-size': [[[-0.9, -0.4], [0.9, -0.4]], [[-0.9, 0.4], [0.9, 0.4]], [[0.6, -1], [-0.6, 1]]],
    loose: [[[-1, 0.3], [-0.5, -0.5], [0.5, 0.5], [1, -0.3]]],
  };

  /** Path of a state's strokes around x, y: `map` turns unit steps into the path's own. */
  function path(name, map) {
    return STROKES[name].map((line) => `M${line.map(map).join('L')}`).join('');
  }

  // What was to be added after an inspection: a triangle for a nail, a lozenge for a bolt.
  const ADDED = { nail: [[0, -1.15], [1.1, 0.8], [-1.1, 0.8]], bolt: [[0, -1.3], [1.3, 0], [0, 1.3], [-1.3, 0]] };

  /** Path of the outline of an added nail or bolt. */
  const added = (kind, map) => `M${ADDED[kind === 'bolt' ? 'bolt' : 'nail'].map(map).join('L')}Z`;

  const unit = (name) => path(name, ([x, y]) => `${x * 6} ${y * 6}`);

  /** A small picture of a state, as it is drawn in the elevation. */
  function icon(name, kind = 'nail') {
    const shape = (r, cls) => (kind === 'bolt'
      ? svg('rect', { x: -r, y: -r, width: 2 * r, height: 2 * r, class: cls })
      : svg('circle', { r, class: cls }));
    const add = () => svg('path', { d: added(kind, ([x, y]) => `${x * 9} ${y * 9}`), class: name });
    const parts = { none: [shape(8, 'ring')], far: [shape(8, 'ring-far')], good: [shape(9, 'disc')] };
    const drawn = (name.startsWith('add') && [add()]) || parts[name] || [shape(10.5, 'ring'), svg('path', { d: unit(name), class: 'strokes' })];
    return svg('svg', { class: `icon is-${name}`, viewBox: '-13 -13 26 26', 'aria-hidden': 'true' }, ...drawn);
  }

  return { path, added, icon };
})();
