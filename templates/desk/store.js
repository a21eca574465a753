// The state of one girder as the server last told it, and the changes that are on their way.
// What was typed is kept in this browser until the server has written it into the file.

import { DATA, ask, say, tell } from '/static/dom.js';
import { Refused, fault, get, post } from '/static/net.js';

const name = DATA.state.name;
export const home = `/girder/${encodeURIComponent(name)}`;
const KEPT = `girderply-desk-typed:${location.pathname}`;

export const store = { state: DATA.state, offline: false, waiting: [], listeners: [] };

export const onState = (listener) => store.listeners.push(listener);

/** The value at a path of the file, or undefined. */
export function valueAt(path, data = store.state.data) {
  return path.reduce((here, part) => (here === undefined || here === null ? undefined : here[part]), data);
}

/** Takes a state unless a later one, or more of the same, is there already. */
export function take(state) {
  if (state.turn < store.state.turn || !state.data) return;
  if (state.turn === store.state.turn && store.state.whole && !state.whole) return;
  store.state = state;
  store.listeners.forEach((l) => l(state));
  soonWhole();
}

const REST = 120; // ms without a change before the shares of the plies are asked for
const AGAIN = 150; // ms between one look and the next
let resting = 0;

/** Asks for the shares of the plies once nobody has changed anything for a moment. */
function soonWhole(after = REST) {
  clearTimeout(resting);
  if (!store.state.whole && !store.waiting.length) resting = setTimeout(askWhole, after);
}

async function askWhole() {
  try {
    const state = await get(`${home}/whole`);
    online(true);
    if (state.data) arrived(state);
  } catch (problem) {
    if (!(problem instanceof Refused)) { online(false); return; }
  }
  soonWhole(AGAIN);
}

/** Waits until the shares of the plies of what is shown are there. */
export const whole = () => new Promise((done) => {
  const look = () => (store.state.whole ? done() : setTimeout(look, 60));
  look();
});

let busy = false;

function keep() {
  const typed = store.waiting.filter((w) => w.do === 'edits' || w.do === 'text');
  if (typed.length) localStorage.setItem(KEPT, JSON.stringify(typed));
  else localStorage.removeItem(KEPT);
}

/** Makes a change; changes go one after the other. */
export function change(body) {
  clearTimeout(resting);
  store.waiting.push(body);
  keep();
  pump();
}

/** Changes single values: each `{path, value}`, `{path, do: "drop"}` or `{path, do: "add", value}`. */
export function edit(...edits) {
  const sent = edits.map((e) => (e.do === 'add' ? e : { was: valueAt(e.path) ?? null, ...e }));
  change({ do: 'edits', edits: sent });
}

async function pump() {
  if (busy || !store.waiting.length) return;
  busy = true;
  const body = store.waiting[0];
  try {
    const state = await post(`${home}/change`, body);
    store.waiting.shift();
    online(true);
    take(state);
  } catch (problem) {
    if (!(problem instanceof Refused)) {
      online(false);
      busy = false;
      return;
    }
    store.waiting.shift();
    keep();
    await refused(problem, body);
  }
  keep();
  busy = false;
  soonWhole();
  pump();
}

async function refused(problem, body) {
  const { data } = problem;
  if (problem.status !== 409) { fault(problem); await look(true); return; }
  const typed = data.other ? body.edits.find((e) => e.path.join() === data.path.join())?.value : null;
  const lines = data.other
    ? [say('clash_value', { place: data.path.join('.'), theirs: data.now ?? '–', mine: typed ?? '–' })]
    : [say('clash_text')];
  const wanted = await ask(say('clash'), lines, [['mine', say('clash_mine')], ['theirs', say('clash_theirs')]]);
  if (wanted === 'mine') {
    const again = data.other ? { ...body, edits: body.edits.map(({ was, ...e }) => e) } : { ...body, base: '' };
    store.waiting.unshift(again);
  } else if (!data.other) { // what was typed into the text after it goes with it
    store.waiting = store.waiting.filter((w) => w.do !== 'text');
  }
  keep();
  await look(true);
}

function online(yes) {
  if (store.offline === !yes) return;
  store.offline = !yes;
  store.listeners.forEach((l) => l(store.state));
}

/** Takes a state that nobody on this page has made, and says so where another program has. */
function arrived(state, force = false) {
  const others = state.turn > store.state.turn && state.back === 'elsewhere';
  if (others && !force && !busy && !store.waiting.length) tell(say('changed_elsewhere'));
  take(state);
}

/** Asks whether the file was changed elsewhere. */
export async function look(force = false) {
  try {
    const state = await get(`${home}/state${force ? '' : `?turn=${store.state.turn}`}`);
    online(true);
    if (state.data) arrived(state, force);
    soonWhole();
    pump();
  } catch (problem) {
    if (!(problem instanceof Refused)) online(false);
    else if (problem.status === 404) tell(problem.data.fault ?? say('refused_missing'), true);
  }
}

/** Whether a change that was kept is not in the file yet. */
function missing(body) {
  if (body.do === 'text') return body.text !== store.state.text;
  return body.edits.some((e) => JSON.stringify(valueAt(e.path) ?? null) !== JSON.stringify(e.do === 'drop' ? null : e.value));
}

/** Begins to look for changes, and offers what was typed and never arrived. */
export async function begin() {
  setInterval(() => { if (!document.hidden || store.offline) look(); }, 1000);
  soonWhole();
  addEventListener('pagehide', () => document.querySelectorAll('[data-dirty], #whole-text').forEach((n) => n.commit?.()));
  const typed = JSON.parse(localStorage.getItem(KEPT) ?? '[]').filter(missing);
  if (!typed.length) { localStorage.removeItem(KEPT); return; }
  const wanted = await ask(say('left_over'), [say('left_over_what', { n: typed.length })],
    [['take', say('left_over_take')], ['drop', say('left_over_drop')]]);
  localStorage.removeItem(KEPT);
  if (wanted === 'take') for (const body of typed) change({ ...body, base: '' });
}
