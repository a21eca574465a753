// Moving things on the drawing: plates, loads and bearings, in steps that a tape has.

import { edit, valueAt } from '/static/store.js';
import { split } from '/static/sheet.js';

const IN = 25.4;
const imperial = () => valueAt(['job', 'units']) === 'imperial';
const step = () => (imperial() ? IN / 4 : 5);

/** A length as it goes into the file, with its unit. */
export function length(mm) {
  if (!imperial()) return `${+mm.toFixed(1)} mm`;
  return `${+(mm / IN).toFixed(4)} in`;
}

const MM = { mm: 1, cm: 10, m: 1000, in: IN, inch: IN, inches: IN, '"': IN, ft: 12 * IN, foot: 12 * IN, feet: 12 * IN, "'": 12 * IN };

/** A length of the file in mm where it is a number and a unit; null for other ways of writing. */
export function mmOf(value) {
  if (typeof value === 'number') return value * (imperial() ? IN : 1);
  let sum = 0;
  let rest = String(value ?? '').trim();
  if (!rest) return null;
  while (rest) {
    const found = /^([+-]?\d+(?:\.\d+)?)(?:[ -](\d+)\/(\d+)|\/(\d+))?\s*(mm|cm|m|inches|inch|in|feet|foot|ft|"|')[\s-]*/.exec(rest);
    if (!found) return null;
    const [all, a, top, bottom, under, unit] = found;
    sum += (under ? a / under : Number(a) + (top ? top / bottom : 0)) * MM[unit];
    rest = rest.slice(all.length);
  }
  return sum;
}

export function movable(thing) {
  const [kind] = split(thing);
  return kind === 'load' || kind === 'bearing' || kind === 'joint';
}

/** A movement in whole steps; only plates move up and down. */
export function snapped(thing, dx, dy) {
  const s = step();
  const [kind] = split(thing);
  return [Math.round(dx / s) * s, kind === 'joint' ? Math.round(dy / s) * s : 0];
}

/** A length moved by so much, on the steps of the tape. */
export const onGrid = (mm, by) => { const s = step(); return Math.round((mm + by) / s) * s; };

export function moved(thing, dx, dy, desk) {
  const [kind, name] = split(thing);
  if (!dx && !dy) return;
  if (kind === 'bearing') {
    const path = ['girder', 'bearings', Number(name), 'x'];
    const x = mmOf(valueAt(path));
    if (x !== null) edit({ path, value: length(onGrid(x, dx)) });
  } else if (kind === 'load') movedLoad(Number(name), dx, desk);
  else if (kind === 'joint') desk.movedPlate?.(name, dx, dy);
}

function movedLoad(n, dx, desk) {
  const hung = desk.scene().loads.find((h) => h.entry === n);
  const chord = desk.scene().members.find((m) => m.id === hung?.chord);
  if (!chord) return;
  const along = dx / Math.cos(chord.angle);
  const edits = ['at', 'to'].map((key) => ({ path: ['loads', n, key], mm: mmOf(valueAt(['loads', n, key])) }))
    .filter((e) => e.mm !== null).map((e) => ({ path: e.path, value: length(onGrid(e.mm, along)) }));
  if (edits.length) edit(...edits);
}

/** One step by an arrow key; with the shift key ten. */
export function nudged(thing, dx, dy, much, desk) {
  const by = step() * (much ? 10 : 1);
  const [kind] = split(thing);
  moved(thing, dx * by, kind === 'joint' ? dy * by : 0, desk);
}
