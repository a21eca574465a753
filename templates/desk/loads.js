// What hangs: each entry of the file, and new ones pasted from a spreadsheet or said in a line.

import { button, el, say } from '/static/dom.js';
import { Refused, fault, post } from '/static/net.js';
import { edit, home, store, take, valueAt } from '/static/store.js';
import { entries, fills } from '/static/bench.js';
import { fieldOf, fieldsOf, group, tableAt } from '/static/fields.js';

let typed = '';
let chord = '';
let answer = null;
let turn = 0;
let timer = 0;

const chords = (desk) => (desk.scene()?.members ?? []).filter((m) => m.chord).map((m) => m.id);
const usual = (desk) => (desk.scene()?.members.find((m) => m.role === 'bottom chord') ?? desk.scene()?.members[0])?.id ?? 'BC1';

async function read(desk, keep, instead = store.state.examples > 0) {
  const mine = ++turn;
  if (!typed.trim()) { answer = null; desk.redraw(); return; }
  try {
    const got = await post(`${home}/loads`, { text: typed, chord: chord || usual(desk), keep, instead });
    if (mine !== turn) return;
    if (got.turn) { typed = ''; answer = null; take(got); } else { answer = got; desk.redraw(); }
  } catch (problem) {
    if (mine !== turn) return;
    answer = problem instanceof Refused ? { entries: [], faults: [{ line: 1, text: '', said: problem.data.fault }] } : null;
    if (!answer) fault(problem);
    desk.redraw();
  }
}

function said(e) {
  const place = e.every ? say('hang_series', { every: e.every, at: e.at, to: e.to ?? '?' }) : say('hang_one', { at: e.at });
  return [place, e.chord, say(`hang_face_${e.face}`), [e.permanent, e.variable].filter(Boolean).join(' + ') || e.design, e.uplift && `↑ ${e.uplift}`, e.what].filter(Boolean).join(', ');
}

function paste(desk) {
  const area = el('textarea', {
    id: 'hang', rows: 3, spellcheck: 'false', placeholder: say(valueAt(['job', 'units']) === 'imperial' ? 'hang_example_imperial' : 'hang_example'), 'aria-describedby': 'hang-help',
    oninput: (e) => { typed = e.target.value; clearTimeout(timer); timer = setTimeout(() => read(desk, false), 350); },
    onkeydown: (e) => { if (e.key === 'Enter' && (e.ctrlKey || e.metaKey)) { typed = e.target.value; read(desk, true); } },
  });
  area.value = typed;
  const ready = answer?.entries.length && !answer.faults.length;
  const { examples } = store.state;
  return el('fieldset', { class: 'group' }, el('legend', {}, say('hang_new')),
    examples ? el('p', { class: 'example', id: 'hang-example' }, say('hang_is_example')) : null,
    el('label', { for: 'hang', class: 'soft', id: 'hang-help' }, say('hang_help')), area,
    el('div', { class: 'row' },
      el('label', { class: 'field' }, el('span', {}, say('hang_chord')), el('select', { id: 'hang-chord', onchange: (e) => { chord = e.target.value; read(desk, false); } },
        ...chords(desk).map((c) => el('option', { value: c, selected: c === (chord || usual(desk)) }, c)))),
      button(ready ? say(examples ? 'hang_instead' : 'hang_keep', { n: answer.entries.length }) : say('hang_keep_none'), () => read(desk, true), { id: 'hang-keep', class: 'main', disabled: !ready }),
      ready && examples ? button(say('hang_beside'), () => read(desk, true, false), { id: 'hang-beside' }) : null),
    answer ? el('ul', { class: 'read', 'aria-live': 'polite' }, ...answer.entries.slice(0, 8).map((e) => el('li', {}, said(e))),
      answer.entries.length > 8 ? el('li', {}, say('and_more', { n: answer.entries.length - 8 })) : null,
      ...answer.faults.map((f) => el('li', { class: 'bad' }, say('hang_line', { n: f.line, said: f.said })))) : null);
}

function bracket(i) {
  const path = ['loads', i, 'bracket'];
  if (!valueAt(path)) {
    return [button(say('with_bracket'), () => edit({ path, value: valueAt(['job', 'units']) === 'imperial' ? { width: '3.5 in', height: '5.5 in' } : { width: '90 mm', height: '150 mm' } }), { class: 'small' })];
  }
  return [el('h3', {}, say('bracket')), el('div', { class: 'fields inner' }, ...fieldsOf(path), ...tableAt([...path, 'fixing']).map((f) => fieldOf([...path, 'fixing', f.key], { ...f, label: say('fixing_of', { what: f.label }) }))), button(say('without_bracket'), () => edit({ path, do: 'drop' }), { class: 'small' })];
}

function totals() {
  const figure = (key) => store.state.figures.find((g) => g.key === key);
  return el('dl', { class: 'figures group' }, ...['load', 'reactions', 'mass'].map(figure).filter(Boolean).flatMap((g) => [el('dt', {}, g.label), el('dd', {}, g.value, g.more ? el('small', {}, g.more) : '')]));
}

function step(desk) {
  return [paste(desk), totals(), group(say('group_designer'), ['designer']),
    ...entries(['loads'], (i) => valueAt(['loads', i, 'id']) ?? say('load_n', { n: i + 1 }), () => ({ chord: usual(desk), face: 'front', at: valueAt(['job', 'units']) === 'imperial' ? '2 ft' : '600 mm' }), { inner: bracket })];
}

fills('loads', step);
