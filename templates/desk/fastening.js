// Rules and fasteners of the file, and what others in stock would come to, laid out each.

import { button, el, say, tell } from '/static/dom.js';
import { fault, get, post } from '/static/net.js';
import { home, store, take, valueAt } from '/static/store.js';
import { entries, fills } from '/static/bench.js';
import { group } from '/static/fields.js';

let found = null;
let wanted = false;
let shown = null;
let all = false;

async function poll(desk) {
  if (!wanted) return;
  if (!store.state.whole) { setTimeout(() => poll(desk), 300); return; }
  try {
    const got = await get(`${home}/others`);
    if (got.version !== store.state.version) { setTimeout(() => poll(desk), 300); return; }
    const changed = !found || found.done !== got.done || found.version !== got.version;
    found = got;
    wanted = got.done < got.of; // before it is drawn: what is done shows no progress
    if (changed && desk.step === 'fastening') desk.redraw();
    if (wanted) setTimeout(() => poll(desk), 350);
  } catch (problem) { wanted = false; fault(problem); }
}

async function draw(desk, row) {
  if (shown === row.id) { shown = null; desk.compare(null); desk.redraw(); return; }
  try {
    const got = await get(`${home}/other?id=${encodeURIComponent(row.id)}`);
    if (got.version !== store.state.version) return;
    shown = row.id;
    desk.compare(got.scene, row.said);
    desk.redraw();
  } catch (problem) { fault(problem); }
}

async function adopt(desk, row) {
  try {
    shown = null;
    desk.compare(null);
    take(await post(`${home}/adopt`, { id: row.id }));
    tell(say('adopted', { what: row.said }));
  } catch (problem) { fault(problem); }
}

const HEADS = ['what', 'verdict', 'minutes', 'nails', 'bolts', 'stages', 'turns', 'clenched', 'hardest', 'differs'];

function cells(row, now) {
  const count = (key) => el('td', { class: 'n' }, String(row[key]), now && row[key] !== now[key] ? el('small', {}, ` ${row[key] > now[key] ? '+' : '−'}${Math.abs(row[key] - now[key])}`) : '');
  return [el('td', {}, say(row.good ? 'verdict_good' : 'verdict_not'), row.first ? el('small', {}, row.first) : ''),
    ...['minutes', 'nails', 'bolts', 'stages', 'turns', 'clenched'].map(count), el('td', { class: 'n' }, row.hardest),
    el('td', { class: 'n' }, row.new === undefined || row.id === undefined ? '' : `+${row.new} −${row.gone}`)];
}

function table(desk) {
  const rows = all ? found.rows : found.rows.filter((r) => r.good).slice(0, 12);
  const hidden = found.rows.length - rows.length + found.without.length;
  return [el('div', { class: 'scrolls', tabindex: 0, role: 'region', 'aria-label': say('others') }, el('table', { class: 'rows others' },
    el('thead', {}, el('tr', {}, ...HEADS.map((h) => el('th', { scope: 'col' }, say(`other_${h}`))), el('th', {}, ''))),
    el('tbody', {},
      found.now ? el('tr', { class: 'here' }, el('th', { scope: 'row' }, say('other_now')), ...cells(found.now, null), el('td', {}, '')) : null,
      ...rows.map((r) => el('tr', {}, el('th', { scope: 'row' }, r.said), ...cells(r, found.now),
        el('td', { class: 'row' }, button(say('other_draw'), () => draw(desk, r), { class: 'small', id: `draw-${r.id}`, 'aria-pressed': String(shown === r.id) }),
          button(say('other_adopt'), () => adopt(desk, r), { class: 'small main', id: `adopt-${r.id}` }))))))),
    all ? el('ul', { class: 'read' }, ...found.without.map((r) => el('li', {}, el('strong', {}, r.said), ` ${r.why}`))) : null,
    hidden || all ? button(all ? say('others_fewer') : say('others_all', { n: hidden }), () => { all = !all; desk.redraw(); }, { class: 'small', id: 'others-all' }) : null];
}

function compared(desk) {
  if (found && found.version !== store.state.version && !wanted) found = null;
  const going = wanted || (found && found.done < found.of);
  return el('fieldset', { class: 'group wide' }, el('legend', {}, say('others')),
    el('p', { class: 'soft' }, say('others_how'), ' ', el('a', { href: '/firm', class: 'link', id: 'to-stock' }, say('firm_stock'))),
    el('div', { class: 'row' }, going
      ? el('progress', { max: found?.of ?? 1, value: found?.done ?? 0, 'aria-label': say('others') })
      : button(found ? say('others_again') : say('others_begin'), () => { wanted = true; found = null; desk.redraw(); poll(desk); }, { id: 'others-begin' }),
    found ? el('span', { class: 'soft' }, say('others_done', { n: found.done, of: found.of })) : ''),
    ...(found ? table(desk) : []));
}

function step(desk) {
  return [compared(desk), group(say('group_fastening'), ['fastening']), group(say('group_assembly'), ['assembly']), group(say('group_basis'), ['basis']),
    ...entries(['basis', 'cases'], (i) => valueAt(['basis', 'cases', i, 'id']) ?? say('case_n', { n: i + 1 }), () => ({ id: `Q${(valueAt(['basis', 'cases']) ?? []).length + 1}`, kind: 'snow' })),
    ...entries(['fastening', 'prescribed'], (i) => say('prescribed_n', { n: i + 1 }), () => ({ role: 'web', rows: 1, pitch: valueAt(['job', 'units']) === 'imperial' ? '12 in' : '300 mm' })),
    ...entries(['fastening', 'screws'], (i) => valueAt(['fastening', 'screws', i, 'key']) ?? say('screw_new'), () => ({ key: say('screw_new'), source: '' }))];
}

fills('fastening', step);
