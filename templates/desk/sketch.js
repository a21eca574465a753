// A small elevation: members, plates, bearings and what hangs, to the size of its box.

import { svg } from '/static/dom.js';

export const closed = (points) => `M${points.map(([x, y]) => `${x} ${y}`).join('L')}Z`;

/** The girder as a small drawing; `said` is what a screen reader reads. */
export function sketch(scene, said, loads = []) {
  const [x0, y0, x1, y1] = scene.box;
  const pad = (x1 - x0) * 0.02;
  const deep = loads.length ? (x1 - x0) * 0.035 : 0;
  const box = [x0 - pad, -(y1 + pad), x1 - x0 + 2 * pad, y1 - y0 + 2 * pad + deep + pad * 2];
  const arrow = (x) => `M${x} ${-(y0 - pad * 0.4)}V${-(y0 - deep - pad * 0.4)}`;
  return svg('svg', { viewBox: box.join(' '), class: 'sketch', ...(said ? { role: 'img', 'aria-label': said } : { 'aria-hidden': 'true' }) },
    svg('g', { transform: 'scale(1 -1)' },
      ...scene.members.map((m) => svg('path', { d: closed(m.outline), class: 'timber' })),
      ...scene.plates.map((p) => svg('path', { d: closed(p.outline), class: 'plate' }))),
    loads.length ? svg('path', { d: loads.map(([x]) => arrow(x)).join(''), class: 'hung' }) : null,
    ...scene.bearings.map(([x, w, y]) =>
      svg('path', { d: `M${x - w / 2} ${-y}h${w}l${-w / 2} ${pad * 1.4}Z`, class: 'bearing' })));
}
