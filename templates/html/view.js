// Where the girder is on the screen: model mm to CSS px. y of the model points up; the back face
// is mirrored, as people see it when they stand there.

const view = (() => {
  // How large a millimetre on a touch screen is: browsers on tablets call 1/160 inch a px.
  const COARSE = window.matchMedia('(pointer: coarse)').matches;
  const PX_PER_MM = COARSE ? 160 / 25.4 : 96 / 25.4;
  const REACH = 9 * PX_PER_MM; // a gloved finger
  const APART = 2 * PX_PER_MM; // nearer than this one cannot be told from the other
  const MOST = 4; // px per mm of timber

  const v = {
    cx: 0, cy: 0, scale: 1, turn: 0, mirror: 1, width: 100, height: 100,
    stage: (DATA.stages.find((s) => s.added) || DATA.stages[0]).number, face: 'front', member: null, least: 0.01,
  };

  function matrix() {
    const [c, s] = [Math.cos(v.turn), Math.sin(v.turn)];
    const a = v.scale * v.mirror * c;
    const b = v.scale * v.mirror * s;
    const [k, d] = [v.scale * s, -v.scale * c];
    return [a, b, k, d, v.width / 2 - a * v.cx - k * v.cy, v.height / 2 - b * v.cx - d * v.cy];
  }

  const at = (m, x, y) => [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]];
  const toScreen = (x, y) => at(matrix(), x, y);

  /** Moves so that the model's centre goes with a drag of dx, dy px. */
  function pan(dx, dy) {
    const [c, s] = [Math.cos(v.turn), Math.sin(v.turn)];
    const [u, w] = [(dx * c + dy * s) / v.scale, (-dx * s + dy * c) / v.scale];
    v.cx -= v.mirror * u;
    v.cy += w;
    hold();
  }

  /** Scales by a factor about a point of the screen, which stays where it is. */
  function zoom(factor, px, py) {
    const next = Math.min(MOST, Math.max(v.least, v.scale * factor));
    const f = next / v.scale;
    const [dx, dy] = [px - v.width / 2, py - v.height / 2];
    v.scale = next;
    pan(dx * (1 - f), dy * (1 - f));
  }

  const bounds = (points) => {
    const xs = points.map((p) => p[0]);
    const ys = points.map((p) => p[1]);
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  };
  const WHOLE = bounds(DATA.members.flatMap((m) => m.outline));

  // The girder never leaves the screen altogether.
  function hold() {
    v.cx = Math.min(WHOLE[2], Math.max(WHOLE[0], v.cx));
    v.cy = Math.min(WHOLE[3], Math.max(WHOLE[1], v.cy));
  }

  /** Puts these points in the middle, as large as they fit, with room around for words. */
  function fit(points, room) {
    const [c, s] = [Math.cos(v.turn), Math.sin(v.turn)];
    const seen = points.map(([x, y]) => [v.mirror * x * c + y * s, v.mirror * x * s - y * c]);
    const [x0, y0, x1, y1] = bounds(seen);
    const scale = Math.min((v.width - 2 * room) / (x1 - x0), (v.height - 2 * room) / (y1 - y0));
    v.scale = Math.min(MOST, Math.max(scale, 0.005));
    const [mx, my] = [(x0 + x1) / 2, (y0 + y1) / 2];
    v.cx = v.mirror * (mx * c + my * s);
    v.cy = mx * s - my * c;
  }

  function fitWhole() {
    v.turn = 0;
    v.member = null;
    fit(DATA.members.flatMap((m) => m.outline), 46);
    v.least = v.scale * 0.7;
  }

  const member = () => (v.member === null ? null : DATA.members[v.member]);

  function direction(m) {
    const [dx, dy] = [v.mirror * (m.far[0] - m.hook[0]), -(m.far[1] - m.hook[1])];
    return Math.atan2(dy, dx);
  }

  /** Turns a member level by the smaller turn and fits it. */
  function fitMember(k) {
    v.member = k;
    const m = DATA.members[k];
    let turn = -direction(m);
    if (turn > Math.PI / 2 + 1e-9) turn -= Math.PI;
    if (turn < -Math.PI / 2 - 1e-9) turn += Math.PI;
    v.turn = turn;
    fit(m.outline, 46);
  }

  /** Scale at which most marks of this member stand a finger apart, if the height allows it. */
  function walkScale() {
    const marks = girder.ofMember(v.stage, v.member);
    const { x, y } = girder.M;
    const nearest = marks.map((i) => Math.min(...marks.map((j) => (i === j ? Infinity : Math.hypot(x[i] - x[j], y[i] - y[j])))));
    const usual = nearest.sort((a, b) => a - b)[Math.floor(nearest.length / 2)] || Infinity;
    const high = (0.5 * v.height) / member().depth;
    return Math.max(v.scale, Math.min(MOST, high, REACH / usual));
  }

  function along(m) {
    const length = Math.hypot(m.far[0] - m.hook[0], m.far[1] - m.hook[1]);
    return { length, ux: (m.far[0] - m.hook[0]) / length, uy: (m.far[1] - m.hook[1]) / length };
  }

  /** One window further from the hook end (1) or back (-1); the first step goes to the hook end. */
  function walk(way) {
    const m = member();
    const { length, ux, uy } = along(m);
    const first = v.scale < 0.99 * walkScale();
    if (first) v.scale = walkScale();
    const window_ = (v.width - 90) / v.scale;
    const now = (v.cx - m.hook[0]) * ux + (v.cy - m.hook[1]) * uy;
    let next = now + way * 0.8 * window_;
    if (first) next = way > 0 ? 0 : length;
    const half = Math.min(window_, length) / 2;
    next = Math.min(length - half, Math.max(half, next));
    [v.cx, v.cy] = [m.hook[0] + next * ux, m.hook[1] + next * uy];
  }

  function setFace(face) {
    const mirrored = face === 'back' ? -1 : 1;
    v.face = face;
    if (mirrored === v.mirror) return;
    v.mirror = mirrored;
    if (v.member !== null) fitMember(v.member);
  }

  function resize(width, height) {
    v.width = Math.max(50, width);
    v.height = Math.max(50, height);
  }

  return {
    v, REACH, APART, PX_PER_MM, matrix, at, toScreen, pan, zoom, fit, fitWhole, fitMember, walk,
    setFace, resize, member, along,
  };
})();
