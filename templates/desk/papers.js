// Every reader's paper beside the drawing as it will print, and the issue of a revision.

import { ask, button, byId, el, say, tell } from '/static/dom.js';
import { Refused, fault, get, post } from '/static/net.js';
import { edit, home, store, valueAt, whole } from '/static/store.js';
import { fills } from '/static/bench.js';
import { fieldsOf } from '/static/fields.js';

let list = null;
let listed = 0;
let open = null;
let pages = null;
let old = false; // the pages were of an earlier state of the file
let wide = false;
let busy = false;

async function load(desk) {
  listed = store.state.turn;
  try {
    list = await get(`${home}/papers`);
    if (desk.step === 'papers') desk.redraw();
  } catch (problem) { list = { sheets: [], issued: [] }; fault(problem); }
}

async function show(desk, sheet) {
  open = open?.name === sheet.name ? null : sheet;
  pages = null;
  desk.redraw();
  await poll(desk);
}

async function poll(desk) {
  const asked = open;
  if (!asked) return;
  try {
    const density = Math.min(220, 110 * (window.devicePixelRatio || 1));
    const got = await get(`${home}/pages/${asked.name}?density=${density}`);
    if (open !== asked) return;
    pages = got;
    if (got.pages === null && !got.fault) { setTimeout(() => poll(desk), 350); return; }
    if (desk.step === 'papers') desk.redraw();
  } catch (problem) { pages = { fault: problem.message }; desk.redraw(); }
}

function preview() {
  if (pages?.fault) return el('p', { class: 'finding error' }, pages.fault);
  if (!pages || pages.pages === null) return el('p', { class: 'soft', 'aria-live': 'polite' }, el('progress', { 'aria-label': say('papers_making') }), ' ', say('papers_making'));
  return el('div', { class: 'pages' }, ...Array.from({ length: pages.pages }, (_, n) => el('img', {
    src: `${home}/pages/${open.name}/${n}?density=${pages.density}&v=${pages.version}`, alt: say('page_of', { title: open.title, n: n + 1, of: pages.pages }),
  })));
}

async function issue(desk) {
  if (busy) return;
  if (!store.state.whole) { tell(say('issue_wait')); await whole(); }
  if (!ready()) return;
  const revision = valueAt(['job', 'revision']) ?? '';
  const wanted = await ask(say('issue_ask', { revision }), [say('issue_what')], [['go', say('issue_go', { revision })], ['no', say('issue_no')]]);
  if (wanted !== 'go') return;
  busy = true;
  desk.redraw();
  try {
    const got = await post(`${home}/issue`, {});
    list = { ...list, issued: got.issued };
    tell(say('issue_done', { where: got.where }), true);
  } catch (problem) {
    tell(problem instanceof Refused ? [problem.data.fault, problem.data.tip].filter(Boolean).join(' ') : say('no_answer'), true);
  }
  busy = false;
  desk.redraw();
}

/** Takes over what was assumed, as it stands. */
function confirmed(ones) {
  const keys = ones.map((a) => a.key);
  const known = valueAt(['job', 'confirmed']) ?? [];
  const left = valueAt(['job', 'assumed']);
  const edits = [{ path: ['job', 'confirmed'], value: [...known, ...keys] }];
  if (left?.some((k) => keys.includes(k))) edits.push({ path: ['job', 'assumed'], value: left.filter((k) => !keys.includes(k)) });
  edit(...edits);
}

function assumedOnes(group, ones) {
  return [el('div', { class: 'row between' }, el('h3', {}, group),
    ones.length > 1 ? button(say('assumed_all', { n: ones.length }), () => confirmed(ones), { class: 'small', id: `confirm-all-${ones[0].key.split('.')[0]}`, 'aria-label': `${group}: ${say('assumed_all', { n: ones.length })}` }) : ''),
  el('ul', { class: 'ledger' }, ...ones.map((a) => el('li', {}, el('div', {}, el('strong', {}, `${a.what}: ${a.value}`), el('small', {}, [a.where, a.why].join('. '))),
    button(say('assumed_confirm'), () => confirmed([a]), { class: 'small', id: `confirm-${a.key}`, 'aria-label': say('assumed_confirm_what', { what: a.what }) }))))];
}

const demo = () => (valueAt(['job', 'demo']) === true ? el('div', { class: 'row between example', id: 'demo' }, el('p', {}, say('demo_papers')),
  button(say('demo_real'), () => edit({ path: ['job', 'demo'], value: false }), { id: 'demo-real', class: 'small' })) : null);

function ledger() {
  const openOnes = store.state.assumed.filter((a) => !a.confirmed);
  if (!openOnes.length) return null;
  const groups = [...new Set(openOnes.map((a) => a.group))];
  return el('fieldset', { class: 'group wide', id: 'ledger' }, el('legend', {}, say('assumed_head')), el('p', { class: 'soft' }, say('assumed_how')),
    ...groups.flatMap((g) => assumedOnes(g, openOnes.filter((a) => a.group === g))));
}

function saidBack() {
  if (!list?.said?.length) return null;
  return el('details', { class: 'group wide', id: 'said-back' }, el('summary', {}, say('said_back')),
    ...list.said.map((part) => [part.head ? el('h3', {}, part.head) : '', el('ul', { class: 'read' }, ...part.lines.map((l) => el('li', {}, l)))]).flat());
}

/** The day by this machine's clock, where it stands. */
function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, '0')).join('-');
}

const mayBeGood = () => ['good', 'waiting'].includes(store.state.verdict.state);
const ready = () => mayBeGood() && store.state.assumed.every((a) => a.confirmed);

/** What stands in the way of the issue, in words. */
function inTheWay() {
  if (!mayBeGood()) return say('issue_mend_first');
  return say(ready() ? 'issue_wait' : 'issue_confirm_first');
}

function going(desk) {
  return el('fieldset', { class: 'group' }, el('legend', {}, say('issue')),
    el('div', { class: 'fields' }, ...fieldsOf(['job'], ['revision', 'date', 'notes', 'language'])),
    el('div', { class: 'row' },
      valueAt(['job', 'date']) ? null : button(say('date_today', { date: today() }), () => edit({ path: ['job', 'date'], value: today() }), { id: 'date-today' }),
      button(busy ? say('issue_busy') : say('issue_go', { revision: valueAt(['job', 'revision']) ?? '' }), () => issue(desk), { id: 'issue', class: 'main', disabled: busy || !ready() }),
      ready() && store.state.whole ? null : el('p', { class: 'soft' }, inTheWay())),
    list?.issued.length ? el('ul', { class: 'read' }, ...list.issued.map((i) => el('li', {}, el('strong', {}, say(i.date ? 'issued_line' : 'issued_undated', { revision: i.revision, date: i.date })), ` ${i.changes.join(' ')}`))) : null);
}

/** Lays the chosen paper beside the drawing, or takes it away. */
export function layPaper(desk) {
  const shown = open && desk.step === 'papers';
  document.body.classList.toggle('paper', Boolean(shown));
  const box = byId('paper');
  const top = box.scrollTop;
  box.classList.toggle('wide', wide);
  box.replaceChildren(...(shown ? [el('div', { class: 'row' }, el('strong', {}, open.title),
    button(wide ? say('page_smaller') : say('page_larger'), () => { wide = !wide; layPaper(desk); }, { class: 'small', id: 'page-size' }),
    button(say('paper_away'), () => { open = null; layPaper(desk); desk.redraw(); byId('step-papers').focus(); }, { class: 'small', id: 'paper-away' })), preview()] : []));
  box.scrollTop = top;
}

function step(desk) {
  layPaper(desk);
  if (store.state.whole && (!list || listed !== store.state.turn)) load(desk);
  if (pages && pages.version !== store.state.version && open) { pages = null; old = true; }
  if (old && store.state.whole) { old = false; poll(desk); }
  const readers = [...new Set((list?.sheets ?? []).map((s) => s.reader))];
  return [el('fieldset', { class: 'group wide' }, el('legend', {}, say('papers_each')),
    ...readers.map((r) => el('div', { class: 'row' }, el('span', { class: 'reader' }, r), ...list.sheets.filter((x) => x.reader === r).map((x) =>
      button(x.title, () => show(desk, x), { class: 'small', id: `sheet-${x.name}`, title: x.more, 'aria-pressed': String(open?.name === x.name) })))),
    el('p', { class: 'soft' }, say('papers_choose'))),
  ledger(), demo(), saidBack(), going(desk),
  el('fieldset', { class: 'group' }, el('legend', {}, say('to_take')), el('div', { class: 'row' },
    ...['pack.pdf', 'tick-off.html', 'labels.pdf'].map((f) => el('a', { href: `${home}/file/${f}`, class: 'take', download: '' }, say(`take_${f.split('.')[0].replace('-', '_')}`)))))];
}

fills('papers', step);
