// A tape under the drawing: it runs with it, from the left end of the bottom chord, and shows
// where the pointer stands.

import { svg } from '/static/dom.js';

const STEPS = {
  metric: [1, 5, 10, 50, 100, 500, 1000, 5000],
  imperial: [1 / 16, 1 / 4, 1, 6, 12, 60, 120].map((k) => k * 25.4),
};
const NEXT = { metric: [5, 10, 50, 100, 500, 1000, 5000, 10000], imperial: [1 / 4, 1, 6, 12, 60, 120, 600].map((k) => k * 25.4) };

/** A length as the tape says it: full mm, or feet, inches and parts of an inch. */
export function onTape(mm, imperial) {
  if (!imperial) return String(Math.round(mm)).replace(/\B(?=(\d{3})+$)/g, '\u00a0');
  const sixteenths = Math.round((Math.abs(mm) / 25.4) * 16);
  const feet = Math.floor(sixteenths / 192);
  const inches = Math.floor((sixteenths % 192) / 16);
  let [top, bottom] = [sixteenths % 16, 16];
  while (top && top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  const part = top ? ` ${top}/${bottom}` : '';
  return `${mm < 0 && sixteenths ? '-' : ''}${feet ? `${feet}'-` : ''}${inches}${part}"`;
}

export function drawTape(node, view, scene, pointer) {
  const steps = STEPS[scene.imperial ? 'imperial' : 'metric'];
  const which = Math.max(0, steps.findIndex((s) => s * view.scale >= 7));
  const fine = steps[which];
  const big = NEXT[scene.imperial ? 'imperial' : 'metric'][which];
  const ends = [view.toModel(0, 0)[0], view.toModel(view.width, 0)[0]].sort((a, b) => a - b);
  const [low, high] = [Math.max(ends[0], scene.box[0]), Math.min(ends[1], scene.box[2])];
  const short = [];
  const long = [];
  const texts = [];
  let free = -Infinity;
  const edge = Math.max(...[scene.box[0], scene.box[2]].map((x) => view.toScreen(x, 0)[0])) + 8;
  const from = Math.ceil(low / fine);
  const to = Math.floor(high / fine);
  const places = Array.from({ length: Math.min(2000, Math.max(0, to - from + 1)) }, (_, i) => (from + i) * fine);
  if (view.mirror < 0) places.reverse();
  for (const x of places) {
    const px = view.toScreen(x, 0)[0];
    const whole = Math.abs(x / big - Math.round(x / big)) < 1e-6;
    (whole ? long : short).push(`M${px.toFixed(1)} 0v${whole ? 12 : 6}`);
    const said = whole ? onTape(x, scene.imperial) : '';
    const half = said.length * 3.6 + 6;
    if (said && px - half > free && px + half < edge) {
      free = px + half;
      texts.push(svg('text', { x: px.toFixed(1), y: 25 }, said));
    }
  }
  const [a, b] = [view.toScreen(scene.box[0], 0)[0], view.toScreen(scene.box[2], 0)[0]].sort((p, q) => p - q);
  const here = pointer ? view.toScreen(pointer[0], 0)[0] : null;
  const said = pointer ? onTape(pointer[0], scene.imperial) : '';
  const wide = said.length * 7.4 + 12;
  node.replaceChildren(
    svg('rect', { x: a, y: 0, width: Math.max(0, b - a), height: 32, class: 'blade' }),
    svg('path', { d: short.join(''), class: 'short' }), svg('path', { d: long.join(''), class: 'long' }), ...texts,
    ...(pointer ? [svg('path', { d: `M${here} 0v32`, class: 'here' }),
      svg('rect', { x: here - wide / 2, y: 11, width: wide, height: 20, rx: 4, class: 'here-box' }),
      svg('text', { x: here, y: 26, class: 'here-text' }, said)] : []));
}
