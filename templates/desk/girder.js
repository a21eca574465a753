// One girder: the drawing above, the way to its papers, and the bench under it.

import { DATA, button, byId, el, say, tell } from '/static/dom.js';
import { drawNotes, drawSlip, drawSteps, verdictBox } from '/static/bench.js';
import { idOf, tableAt } from '/static/fields.js';
import { lights } from '/static/light.js';
import { dropping, other, speak } from '/static/net.js';
import { Sheet, split } from '/static/sheet.js';
import { begin, change, onState, store } from '/static/store.js';
import { cursorAt } from '/static/text.js';
import { movable, moved, nudged, snapped } from '/static/moving.js';
import { movedPlate } from '/static/plates.js';
import '/static/loads.js';
import '/static/fastening.js';
import { layPaper } from '/static/papers.js';
import { drop } from '/static/inspection.js';

const STEP_OF = { member: 'girder', bearing: 'girder', joint: 'plates', load: 'loads', hung: 'loads', fastener: 'fastening' };

const desk = {
  step: 'girder',
  selected: null,
  pointed: 0,
  wide: false,
  scene: () => desk.sheet.scene,

  go(step) {
    desk.step = step;
    layPaper(desk);
    drawSteps(desk);
    drawSlip(desk);
    desk.sheet.soon();
    byId(`step-${step}`)?.focus({ preventScroll: true });
  },

  select(thing, { near = -1, hung = null } = {}) {
    if (near >= 0 && !(thing && thing === desk.selected)) { desk.fastener(near); return; }
    desk.selected = thing;
    desk.hung = hung;
    if (thing) desk.step = STEP_OF[split(thing)[0]] ?? desk.step;
    layPaper(desk);
    desk.sheet.mark(thing);
    drawSteps(desk);
    drawSlip(desk);
    if (thing) desk.uncover(thing);
  },

  /** Brings the entry of a selected thing into sight on the bench. */
  uncover(thing) {
    const [kind, name] = split(thing);
    const id = { load: `g:loads/${name}`, bearing: `g:girder/bearings/${name}`, joint: `plate-${name}` }[kind];
    const box = id ? byId(id) : byId('slip').firstElementChild;
    box?.scrollIntoView({ block: 'nearest' });
  },

  /** Lights a thing up and leaves the bench as it is. */
  light(thing) {
    desk.selected = thing;
    desk.sheet.mark(thing);
    document.querySelectorAll('tr.here').forEach((r) => r.classList.remove('here'));
    byId(`plate-${split(thing)[1]}`)?.classList.add('here');
  },

  redraw() { whenFree('slip', () => { keepingCursor(() => drawSlip(desk)); drawSteps(desk); }); },
  compare(scene, said) { desk.sheet.compare(scene, said); },
  todo(places) { desk.sheet.todo(places); },
  movedPlate,

  fastener(i) {
    const f = desk.scene().fasteners;
    desk.selected = `fastener:${f.id[i]}`;
    desk.sheet.mark(desk.selected);
    tell(say('fastener_said', { id: f.id[i], kind: f.kinds[f.kind[i]][0], spec: f.specs[f.spec[i]], station: f.station[i], member: f.member[i], stage: f.stage[i], face: say(f.back[i] ? 'face_back' : 'face_front') }));
  },

  /** Leads to what a finding means: lit on the drawing, cursor in its field. */
  goTo(f) {
    desk.pointed = store.state.findings.indexOf(f) + 1;
    const thing = f.lit[0] ?? null;
    desk.selected = thing;
    if (thing) desk.sheet.bring(thing);
    desk.step = stepOf(f) ?? desk.step;
    desk.pins();
    drawSteps(desk);
    drawSlip(desk);
    const field = f.path.map((_, i) => byId(idOf(f.path.slice(0, f.path.length - i)))).find(Boolean);
    if (field) { field.scrollIntoView({ block: 'center' }); field.focus({ preventScroll: true }); return; }
    if (!f.path.length) { if (thing) desk.uncover(thing); return; }
    const near = document.querySelector(`[id^="${CSS.escape(idOf(f.path))}"]`) ?? (desk.scene() && document.querySelector(`[id^="${CSS.escape(idOf(f.path.slice(0, -1)))}/"]`));
    if (near) { near.scrollIntoView({ block: 'center' }); near.focus({ preventScroll: true }); return; }
    desk.go('text');
    cursorAt(f.path);
  },

  pins() {
    const pins = store.state.findings
      .map((f, i) => ({ number: i + 1, severity: f.severity, lit: f.lit.slice(0, 6) }))
      .filter((p) => p.lit.length && (p.severity === 'error' || p.number === desk.pointed));
    desk.sheet.mark(desk.selected, pins.slice(0, 40));
  },

  said(step) {
    const { data } = store.state;
    const figure = (key) => store.state.figures.find((g) => g.key === key)?.value ?? '';
    if (step === 'girder') return [shapeSaid(data.girder?.shape?.kind), data.girder?.shape?.span].filter(Boolean).join(' ') || data.girder?.mark || '';
    if (step === 'plates') return figure('assumed');
    if (step === 'loads') return figure('load');
    if (step === 'fastening') return figure('hardest');
    if (step === 'papers') return papersSaid(store.state);
    if (step === 'text') return store.state.name;
    return desk.inspected || say('not_inspected');
  },

  pinned(number) { desk.goTo(store.state.findings[number - 1]); },
  naming: () => desk.step === 'plates',
  movable: (thing) => movable(thing, desk),
  snapped,
  moved: (thing, dx, dy) => moved(thing, dx, dy, desk),
  nudged: (thing, dx, dy, fine) => nudged(thing, dx, dy, fine, desk),
  painted() { document.documentElement.dataset.painted = store.state.turn; },
};

const shapeSaid = (kind) => { const f = tableAt(['girder', 'shape']).find((x) => x.key === 'kind'); return f?.words[f.choices.indexOf(kind)] ?? kind; };

/** How far the papers are from going out. */
function papersSaid({ verdict, assumed, data }) {
  if (verdict.state !== 'good') return say('papers_not');
  const n = assumed.filter((a) => !a.confirmed).length;
  return n ? say('papers_open', { n }) : say('papers_ready', { revision: data.job?.revision ?? '' });
}

function stepOf(f) {
  const [top, second] = f.path;
  if (top === 'loads' || top === 'designer') return 'loads';
  if (top === 'girder' && second === 'plates') return 'plates';
  if (top === 'basis' || top === 'fastening') return 'fastening';
  if (top) return 'girder';
  return f.lit.length ? STEP_OF[split(f.lit[0])[0]] : null;
}

function head() {
  const { state } = store;
  const held = byId('head').contains(document.activeElement) ? document.activeElement.id : null;
  const mark = state.data.girder?.mark ?? state.name;
  document.title = `${mark} · ${state.verdict.said}`;
  byId('head').replaceChildren(
    el('a', { href: '/', class: 'home', id: 'home', 'aria-label': say('all_girders') }, '‹ ', el('span', {}, say('all_girders'))),
    el('div', { class: 'who' }, el('h1', {}, mark, ' ', el('small', {}, state.data.job?.title ?? ''))),
    verdictBox(state.verdict),
    store.offline ? el('p', { class: 'offline', role: 'alert' }, say('no_answer')) : '',
    el('div', { class: 'tools' },
      button(say('back'), () => change({ do: 'back' }), { id: 'back', disabled: state.back === null, title: state.back ?? '' }),
      button(say('forth'), () => change({ do: 'forth' }), { id: 'forth', disabled: state.forth === null, title: state.forth ?? '' }),
      button(say(desk.wide ? 'drawing_less' : 'drawing_more'), () => widen(!desk.wide), { id: 'widen', 'aria-pressed': String(desk.wide) }),
      lights(), button(say(`language_${other()}`), () => speak(other()), { id: 'language' })));
  if (held) byId(held)?.focus();
}

function widen(yes) {
  desk.wide = yes;
  document.body.classList.toggle('wide', yes);
  head();
}

let pressed = false;
const later = new Map();

/** Draws now, or once the mouse is let go: what is under it must not change between. */
function whenFree(what, draw) {
  if (pressed) later.set(what, draw);
  else draw();
}

function released() {
  pressed = false;
  setTimeout(() => {
    if (pressed) return;
    const draws = [...later.values()];
    later.clear();
    draws.forEach((d) => d());
  });
}

/** Draws the bench anew and leaves the cursor where it was. */
function keepingCursor(draw) {
  const held = document.activeElement;
  const { id } = held;
  const typing = held.tagName === 'INPUT' && held.dataset.dirty ? held.value : null;
  const range = held.tagName === 'INPUT' && held.type === 'text' ? [held.selectionStart, held.selectionEnd] : null;
  const among = () => [...byId('slip').querySelectorAll('button, input, select, textarea, a')];
  const place = byId('slip').contains(held) ? among().indexOf(held) : -1;
  draw();
  if (document.activeElement !== document.body && document.activeElement.id === id) return;
  const again = (id && byId(id)) || (place >= 0 ? among()[Math.min(place, among().length - 1)] : null);
  if (!again || again === document.activeElement) return;
  again.focus({ preventScroll: true });
  if (typing !== null) { again.value = typing; again.dataset.dirty = '1'; again.dispatchEvent(new Event('input')); }
  if (range) again.setSelectionRange(...range);
}

let drawn = '';

function all(state) {
  desk.sheet.compare(null);
  const scene = JSON.stringify(state.scene);
  if (scene !== drawn || state.scene === null) desk.sheet.take(state.scene);
  else desk.sheet.soon();
  drawn = scene;
  if (desk.selected && desk.scene() && !desk.sheet.outline(desk.selected)) desk.selected = null;
  desk.pins();
  whenFree('all', () => {
    head();
    drawSteps(desk);
    keepingCursor(() => { drawSlip(desk); drawNotes(desk); });
  });
  document.documentElement.dataset.turn = state.turn;
  document.documentElement.dataset.whole = state.whole;
}

function keys(e) {
  const typing = /^(INPUT|TEXTAREA|SELECT)$/.test(document.activeElement.tagName);
  if ((e.ctrlKey || e.metaKey) && !e.altKey && e.key.toLowerCase() === 'z' && document.activeElement.id !== 'whole-text') {
    e.preventDefault();
    document.activeElement.blur?.();
    change({ do: e.shiftKey ? 'forth' : 'back' });
  } else if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === 'y' && document.activeElement.id !== 'whole-text') {
    e.preventDefault();
    change({ do: 'forth' });
  } else if (!typing && e.altKey && /^[1-7]$/.test(e.key)) {
    e.preventDefault();
    desk.go(['girder', 'plates', 'loads', 'fastening', 'papers', 'inspection', 'text'][Number(e.key) - 1]);
  }
}

function main() {
  byId('bench').append(el('section', { id: 'slip', tabindex: '-1', 'aria-label': say('slip') }), el('aside', { id: 'notes', 'aria-label': say('notes') }));
  desk.sheet = new Sheet(byId('sheet'), desk);
  byId('sheet').append(el('aside', { id: 'paper', tabindex: 0, 'aria-label': say('papers_each') }));
  onState(all);
  all(DATA.state);
  document.addEventListener('keydown', keys);
  addEventListener('pointerdown', () => { pressed = true; }, true);
  for (const end of ['pointerup', 'pointercancel']) addEventListener(end, released, true);
  addEventListener('blur', released); // of the window, not of what is in it
  dropping((files) => drop(desk, files));
  begin();
}

main();
