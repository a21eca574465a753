// The firm's file: its name and mark, what new girders begin with, what is in stock.

import { DATA, button, byId, el, say, tell } from '/static/dom.js';
import { Refused, dropping, fault, other, post, speak } from '/static/net.js';
import { lights } from '/static/light.js';

let state = DATA.firm;
let wrong = { key: '', said: '', typed: '' };

/** Writes one value; what could not be used is not written, and is said at its field. */
async function write(key, value) {
  try {
    state = await post('/firm/change', { key, value });
    wrong = { key: '', said: '', typed: '' };
    tell(say('firm_written'));
  } catch (problem) {
    if (!(problem instanceof Refused) || problem.status === 409) { fault(problem); return; }
    wrong = { key, said: problem.data.fault ?? say('fault_inside'), typed: value };
  }
  draw();
}

async function picture(file) {
  if (!file) return;
  try {
    state = await post(`/firm/logo?file=${encodeURIComponent(file.name)}`, file);
    wrong = { key: '', said: '', typed: '' };
    tell(say('firm_written'));
  } catch (problem) {
    if (!(problem instanceof Refused)) { fault(problem); return; }
    wrong = { key: 'logo', said: problem.data.fault ?? say('refused_large'), typed: '' };
  }
  draw();
}

const said = (key) => el('p', { id: `e-${key}`, class: 'fault' }, wrong.key === key ? wrong.said : '');

function typed(f) {
  const now = wrong.key === f.key ? wrong.typed : state.values[f.key] ?? '';
  return el('input', { id: `firm-${f.key}`, value: now, autocomplete: 'off', 'aria-describedby': `e-${f.key}`, onchange: (e) => write(f.key, e.target.value.trim()) });
}

function chosen(f) {
  const now = state.values[f.key] ?? '';
  return el('select', { id: `firm-${f.key}`, 'aria-describedby': `e-${f.key}`, onchange: (e) => write(f.key, e.target.value) },
    el('option', { value: '', selected: now === '' }, say('left_out')),
    ...f.choices.map((c, i) => el('option', { value: c, selected: c === now }, f.words[i])),
    now && !f.choices.includes(now) ? el('option', { value: now, selected: true }, now) : null);
}

/** Names to be marked, each pressed or not. */
function marked(key, names, words = names) {
  const now = state.values[key] ?? [];
  return el('div', { class: 'chips', role: 'group', 'aria-labelledby': `l-${key}` }, ...names.map((name, i) => button(words[i], () =>
    write(key, now.includes(name) ? now.filter((n) => n !== name) : names.filter((n) => n === name || now.includes(n))),
  { class: 'small', id: `${key}-${name}`, 'aria-pressed': String(now.includes(name)) })));
}

function field(f) {
  return el('div', { class: `field${wrong.key === f.key ? ' wrong' : ''}` }, el('label', { for: `firm-${f.key}` }, f.label), f.choices.length ? chosen(f) : typed(f), said(f.key));
}

function logo() {
  const chooser = el('input', { type: 'file', id: 'logo-file', accept: '.png,.svg,.jpg,.jpeg', class: 'unseen', tabindex: -1, 'aria-label': say('firm_logo_choose'), onchange: (e) => picture(e.target.files[0]) });
  return el('fieldset', { class: 'group' }, el('legend', {}, say('firm_logo')),
    el('div', { class: 'row' }, state.values.logo ? el('img', { class: 'logo', src: `/firm/logo?v=${encodeURIComponent(state.values.logo)}`, alt: state.values.logo }) : '',
      chooser, button(say('firm_logo_choose'), () => chooser.click(), { id: 'logo-choose' }),
      state.values.logo ? button(say('firm_logo_away'), () => write('logo', null), { id: 'logo-away' }) : ''), said('logo'));
}

function stock(key) {
  const n = (state.values[key] ?? []).length;
  return el('fieldset', { class: 'group wide' }, el('legend', { id: `l-${key}` }, say(`firm_${key}`)),
    el('div', { class: 'row' }, el('p', { class: 'soft' }, n ? say('firm_some', { n }) : say('firm_all')),
      n ? button(say('firm_none_marked'), () => write(key, []), { class: 'small', id: `${key}-none` }) : ''),
    marked(key, state.stock[key]), said(key));
}

function draw() {
  const held = document.activeElement?.id;
  const name = state.fields.find((f) => f.key === 'name');
  const saw = state.fields.find((f) => f.many);
  const rest = state.fields.filter((f) => f !== name && f !== saw);
  byId('firm').replaceChildren(
    el('p', {}, say('firm_how')),
    state.fault ? el('p', { class: 'finding error', role: 'alert' }, el('strong', {}, say('firm_broken')), ` ${state.fault}`) : '',
    el('fieldset', { class: 'group' }, el('legend', {}, say('firm')), el('div', { class: 'fields' }, field(name))),
    ...(state.values.name ? [logo(),
      el('fieldset', { class: 'group wide' }, el('legend', {}, say('firm_begins')), el('div', { class: 'fields' }, ...rest.map(field)),
        el('h3', { id: 'l-saw' }, saw.label), marked('saw', saw.choices, saw.words), said('saw')),
      stock('nails'), stock('bolts'),
      el('fieldset', { class: 'group wide' }, el('legend', {}, say('firm_screws')), el('p', { class: 'soft' }, say('firm_screws_how')), el('ul', { class: 'read' }, ...state.screws.map((s) => el('li', {}, s))))]
      : [el('p', { class: 'soft' }, say('firm_name_first'))]));
  if (held && byId(held)) byId(held).focus({ preventScroll: true });
}

byId('tools').append(lights(), button(say(`language_${other()}`), () => speak(other()), { id: 'language' }));
dropping((files) => picture(files[0]));
draw();
