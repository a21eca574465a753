// Plates as they are read off a drawing: size, turned with what, centred on the joint or moved.

import { button, el, say } from '/static/dom.js';
import { fault, post } from '/static/net.js';
import { edit, home, store, take, valueAt } from '/static/store.js';
import { fills } from '/static/bench.js';
import { length, mmOf, onGrid } from '/static/moving.js';
import { split } from '/static/sheet.js';

const SIZES = ['width', 'height', 'dx', 'dy'];
let both = true;

async function put(row, changed) {
  const { joint, width, height, turned, dx, dy } = { ...row, ...changed };
  try {
    take(await post(`${home}/plate`, { joint, width, height, turned, dx, dy, both: both && row.mirror !== null }));
  } catch (problem) { fault(problem); }
}

/** A plate moved on the drawing. */
export function movedPlate(joint, dx, dy) {
  const row = store.state.plates.find((p) => p.joint === joint);
  if (!row) return;
  const by = (key, d) => (d ? { [key]: length(onGrid(mmOf(row[key]) ?? 0, d)) } : {});
  put(row, { ...by('dx', dx), ...by('dy', dy) });
}

function cell(row, key) {
  const node = el('input', {
    id: `plate-${row.joint}-${key}`, value: row[key], 'aria-label': `${row.joint} ${say(`plate_${key}`)}`, autocomplete: 'off',
    onchange: () => { if (node.value.trim() && node.value !== row[key]) put(row, { [key]: node.value.trim() }); },
    onkeydown: (e) => { if (e.key === 'Escape') node.value = row[key]; },
  });
  return el('td', {}, node);
}

const taken = () => store.state.assumed.some((a) => a.key === 'girder.plates' && a.confirmed);

function line(desk, row) {
  const turned = el('select', { id: `plate-${row.joint}-turned`, 'aria-label': `${row.joint} ${say('plate_turned')}`, onchange: (e) => put(row, { turned: e.target.value }) },
    ...[...new Set([...row.choices, row.turned])].map((c) => el('option', { value: c, selected: c === row.turned }, c === 'level' ? say('level') : c)));
  return el('tr', { id: `plate-${row.joint}`, class: desk.selected === `joint:${row.joint}` ? 'here' : '', onfocusin: () => { if (desk.selected !== `joint:${row.joint}`) desk.light(`joint:${row.joint}`); } },
    el('th', { scope: 'row' }, button(row.joint, () => { desk.light(`joint:${row.joint}`); desk.sheet.bring(`joint:${row.joint}`); }, { class: 'small' })),
    cell(row, 'width'), cell(row, 'height'), el('td', {}, turned), cell(row, 'dx'), cell(row, 'dy'),
    el('td', {}, row.assumed
      ? button(say(taken() ? 'plate_taken' : 'plate_assumed'), () => put(row, {}), { class: taken() ? 'small' : 'small assumed', id: `plate-${row.joint}-confirm`, 'aria-label': say('plate_confirm', { joint: row.joint }) })
      : button(say('plate_given'), () => edit({ path: ['girder', 'plates', row.entry], do: 'drop' }), { class: 'small', id: `plate-${row.joint}-estimate`, 'aria-label': say('plate_estimate', { joint: row.joint }) })));
}

function step(desk) {
  const rows = store.state.plates;
  if (!rows.length) return [el('p', {}, say('mend_first_page'))];
  const [kind, joint] = split(desk.selected ?? '');
  const order = [...rows].sort((a, b) => (kind === 'joint' ? (b.joint === joint) - (a.joint === joint) : 0));
  const twins = new Set();
  const half = both ? order.filter((r) => { if (twins.has(r.joint)) return false; if (r.mirror) twins.add(r.mirror); return true; }) : order;
  const assumed = store.state.assumed.find((a) => a.key === 'girder.plates' && !a.confirmed);
  return [el('div', { class: 'wide' },
    el('div', { class: 'row' },
      button(say('plates_both'), () => { both = !both; desk.redraw(); }, { id: 'plates-both', 'aria-pressed': String(both) }),
      assumed ? button(say('plates_confirm'), () => edit({ path: ['job', 'confirmed'], value: [...(valueAt(['job', 'confirmed']) ?? []), 'girder.plates'] }), { id: 'plates-confirm' }) : null,
      el('p', { class: 'soft' }, say('plates_how'))),
    el('div', { class: 'scrolls', tabindex: 0, role: 'region', 'aria-label': say('step_plates') }, el('table', { class: 'rows' },
      el('thead', {}, el('tr', {}, ...['joint', ...SIZES.slice(0, 2), 'turned', ...SIZES.slice(2), 'state'].map((k) => el('th', { scope: 'col' }, say(`plate_${k}`))))),
      el('tbody', {}, ...half.map((r) => line(desk, r))))))];
}

fills('plates', step);
