// Records of inspectors, dropped onto the page: judged at once, what to add is drawn.

import { button, byId, el, say, tell } from '/static/dom.js';
import { Refused, fault, get, post } from '/static/net.js';
import { home, store } from '/static/store.js';
import { fills } from '/static/bench.js';

let found = null;
let asked = 0;

async function load(desk) {
  asked = store.state.turn;
  try {
    taken(desk, await get(`${home}/inspections`));
  } catch (problem) { fault(problem); }
}

function taken(desk, got) {
  found = got;
  const accepted = got.pieces.filter((p) => p.verdict === 'accepted').length;
  desk.inspected = got.pieces.length ? say('inspected_page', { n: accepted, of: got.quantity }) : '';
  desk.todo(got.pieces.flatMap((p) => p.todo));
  if (desk.step === 'inspection') desk.redraw();
}

/** Judges files that were dropped or chosen, one after the other. */
export async function drop(desk, files) {
  desk.go('inspection');
  for (const file of files) {
    if (file.size > 5_000_000) { tell(say('refused_large'), true); continue; }
    try {
      taken(desk, await post(`${home}/record?file=${encodeURIComponent(file.name)}`, file));
      tell(say('record_taken', { name: file.name }));
    } catch (problem) {
      tell(problem instanceof Refused ? `${file.name}: ${problem.data.fault ?? say('refused_large')}` : say('no_answer'), true);
    }
  }
}

function piece(desk, p) {
  return el('fieldset', { class: `group verdict-${p.verdict || 'none'}` }, el('legend', {}, say('piece_n', { n: p.piece })),
    el('p', {}, el('strong', {}, p.said), ' ', el('span', { class: 'soft' }, [p.by, say('records_n', { n: p.records })].filter(Boolean).join(' · '))),
    el('ul', { class: 'read' }, ...p.reasons.map((r) => el('li', {}, r)), ...(p.tighten ?? []).map((b) => el('li', {}, say('tighten', { bolt: b })))),
    p.todo.length ? el('h3', {}, say('to_add', { n: p.todo.length })) : null,
    p.todo.length ? el('ol', { class: 'read' }, ...p.todo.map((t) => el('li', {}, t.said))) : null,
    p.verdict ? el('div', { class: 'row' },
      el('a', { href: `${home}/result/${p.piece}/pdf`, class: 'take', download: '' }, say('result_pdf')),
      p.verdict === 'accepted' ? null : el('a', { href: `${home}/result/${p.piece}/html`, class: 'take', download: '' }, say('result_next'))) : null);
}

function step(desk) {
  if (store.state.whole && (!found || asked !== store.state.turn)) load(desk);
  const chooser = el('input', { type: 'file', id: 'record-file', accept: '.json,.csv', multiple: true, class: 'unseen', tabindex: -1, 'aria-label': say('record_choose'), onchange: (e) => drop(desk, [...e.target.files]) });
  return [el('div', { class: 'dropping group wide', id: 'dropping' }, el('p', {}, say('record_drop')), chooser, button(say('record_choose'), () => byId('record-file').click(), { id: 'record-choose' }),
    el('a', { href: `${home}/file/tick-off.html`, class: 'take', download: '' }, say('take_tick_off'))),
    ...(found?.pieces ?? []).map((p) => piece(desk, p)),
    found && !found.pieces.length ? el('p', { class: 'soft' }, say('no_records')) : null];
}

fills('inspection', step);
