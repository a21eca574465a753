// What lies under the drawing: the form of what is chosen, and what there is to know.

import { button, byId, el, say, verdictSign } from '/static/dom.js';
import { change, edit, store, valueAt } from '/static/store.js';
import { group, lists, tableAt } from '/static/fields.js';
import { split } from '/static/sheet.js';
import { textStep } from '/static/text.js';

export const STEPS = ['girder', 'plates', 'loads', 'fastening', 'papers', 'inspection', 'text'];

/** Entries of a list of tables, each with its fields, to be added to and taken away. */
export function entries(path, title, fresh, { only = null, inner = null } = {}) {
  const list = valueAt(path) ?? [];
  return [
    ...list.map((_, i) => group(title(i), [...path, i], {
      only,
      key: `g:${[...path, i].join('/')}`,
      more: [button(say('take_away'), () => edit({ path: [...path, i], do: 'drop' }), { class: 'small away' })],
      after: inner?.(i) ?? [],
    })),
    button(say('one_more', { what: title(list.length) }), () => edit({ path, do: 'add', value: fresh() }), { class: 'small' }),
  ];
}

function memberGroup(desk, id) {
  const m = desk.scene()?.members.find((x) => x.id === id);
  const own = (valueAt(['girder', 'members']) ?? []).findIndex((x) => x.id === id);
  const facts = m ? el('p', { class: 'soft' }, `${m.said}, ${m.sizes[0]} × ${m.sizes[1]}`) : '';
  if (own >= 0) return group(id, ['girder', 'members', own], { more: [facts], key: `g:girder/members/${own}` });
  const end = tableAt(['girder']).find((f) => f.key === 'hook_ends');
  return el('fieldset', { class: 'group' }, el('legend', {}, id), facts, el('p', { class: 'soft' }, say('member_of_shape')),
    el('div', { class: 'row' }, ...['left', 'right'].map((side) => button(say(`hook_${side}`), () =>
      edit({ path: ['girder', 'hook_ends', id], value: side }), { 'aria-pressed': String(valueAt(['girder', 'hook_ends', id]) === side) }))),
    end ? el('p', { class: 'help shown' }, end.help) : '',
    singleMembers());
}

/** The way from a shape to members of their own; taken back like every change. */
const singleMembers = () => el('div', {}, el('p', { class: 'soft' }, say('members_single_what')),
  button(say('members_single'), () => change({ do: 'members' }), { id: 'members-single', class: 'small' }));

function girderStep(desk) {
  const data = store.state.data;
  const [kind, name] = split(desk.selected ?? '');
  const members = desk.scene()?.members ?? [];
  return [
    kind === 'member' ? memberGroup(desk, name) : null,
    data.girder?.shape || !data.girder?.members ? group(say('group_shape'), ['girder', 'shape']) : null,
    data.girder?.sections || data.girder?.shape ? group(say('group_sections'), ['girder', 'sections']) : null,
    group(say('group_girder'), ['girder'], { only: tableAt(['girder']).map((f) => f.key) }),
    el('fieldset', { class: 'group' }, el('legend', {}, say('group_members')), el('div', { class: 'chips' },
      ...members.map((m) => button(m.id, () => desk.select(`member:${m.id}`), { class: 'small', 'aria-pressed': String(desk.selected === `member:${m.id}`) })))),
    ...entries(['girder', 'bearings'], (i) => say('bearing_n', { n: i + 1 }), () => ({ x: 0, width: data.job?.units === 'imperial' ? '3.5 in' : '140 mm' })),
    data.girder?.nodes ? el('details', { class: 'group' }, el('summary', {}, say('group_nodes')), ...entries(['girder', 'nodes'], (i) => data.girder.nodes[i]?.id ?? say('group_nodes'), () => ({ id: 'X', x: 0, y: 0 }))) : null,
    group(say('group_job'), ['job']),
  ];
}

const MAKERS = { girder: girderStep, text: textStep };

/** Lets other parts of the page fill a step. */
export const fills = (step, make) => { MAKERS[step] = make; };

/** The slip of the step at hand. */
export function drawSlip(desk) {
  const box = byId('slip');
  const top = box.scrollTop;
  const made = (MAKERS[desk.step] ?? (() => []))(desk, box).flat(3);
  if (made[0] === box) return; // the step keeps its own
  box.replaceChildren(...made.filter(Boolean), ...lists());
  box.scrollTop = top;
}

/** What there is to know: figures, then findings, the gravest first. */
export function drawNotes(desk) {
  const { state } = store;
  const lines = state.findings.map((f, i) => finding(desk, f, i + 1));
  byId('notes').replaceChildren(
    el('dl', { class: 'figures' }, ...state.figures.flatMap((g) => [el('dt', {}, g.label), el('dd', { id: `figure-${g.key}` }, g.value, g.more ? el('small', {}, g.more) : '')])),
    el('p', { class: 'pending', role: 'status', hidden: state.whole }, state.whole ? '' : el('progress', { 'aria-label': say('working') }), el('span', {}, state.pending)),
    state.findings.length || state.whole ? el('h2', {}, say(heading(state), { n: state.findings.length })) : '',
    el('ol', { class: 'findings' }, ...lines),
    el('details', { class: 'cautions' }, el('summary', {}, say('cautions')), el('ul', {}, ...state.cautions.map((c) => el('li', {}, c)))));
}

const heading = (state) => (!state.whole ? 'findings_so_far' : state.findings.length ? 'findings' : 'findings_none');

function finding(desk, f, number) {
  const where = f.where && !f.message.startsWith(f.where) ? f.where : '';
  return el('li', { class: `finding ${f.severity}` },
    el('button', { type: 'button', class: 'plainly', id: `finding-${number}`, onclick: () => desk.goTo(f) },
      el('span', { class: 'number' }, String(number)),
      el('span', {}, el('strong', {}, f.said), ' ', where ? el('code', {}, where) : '', ' ', f.message, f.clause ? el('small', {}, ` [${f.clause}]`) : '', f.tip ? el('em', {}, ` ${f.tip}`) : '')));
}

/** The way from drawing to papers, each step with what is so. */
export function drawSteps(desk) {
  const nav = byId('steps');
  const held = nav.contains(document.activeElement) ? document.activeElement.id : null;
  nav.replaceChildren(...STEPS.map((s, i) => el('button', { type: 'button', id: `step-${s}`, 'aria-current': desk.step === s ? 'step' : null, onclick: () => desk.go(s) },
    el('strong', {}, s === 'text' ? '' : `${i + 1} `, say(`step_${s}`)), el('span', { class: 'soft' }, desk.said(s)))));
  if (held) byId(held)?.focus();
}

export const verdictBox = (v) => el('p', { class: `verdict ${v.state}`, id: 'verdict' }, verdictSign(v.state), el('span', {}, v.said));
