// Puts the page together and answers to every touch.

const ui = { tab: DATA.blind && !DATA.after ? 'counts' : 'mark' };
const TABS = { mark: markPanel, counts: countsPanel, sign: signPanel, record: recordPanel, help: helpPanel };

const actions = {
  tap(x, y) {
    const found = picking.tap(x, y);
    markPanel.ui.crowd = found.crowd;
    if (ui.tab !== 'mark' && (ui.tab !== 'counts' || DATA.blind)) ui.tab = 'mark';
    if (found.mark === null) {
      actions.drop();
      show.message(say('nothing_near'));
      render();
      return;
    }
    const plain = found.crowd.length < 2;
    if (!plain) ui.tab = 'mark';
    markPanel.choose(found.mark, plain);
  },
  drop: () => markPanel.drop(),
  zoomTo(i) {
    const { v } = view;
    const [x, y] = [girder.M.x[i], girder.M.y[i]];
    picking.forget();
    markPanel.ui.crowd = [];
    [v.cx, v.cy] = [x, y];
    v.scale = Math.min(2, Math.max(v.scale * 2, view.REACH / 60));
    drawing.pick(i);
    render();
  },
  goTo(i) {
    view.v.stage = girder.group(i).stage;
    view.setFace(girder.group(i).face);
    ui.tab = 'mark';
    actions.focus(girder.group(i).member);
    actions.zoomTo(i);
    markPanel.choose(i, false);
  },
  focus(k) {
    if (k === null) view.fitWhole();
    else view.fitMember(k);
    markPanel.drop();
    drawing.focus();
    drawing.marks();
    render();
  },
  walk(way) {
    view.walk(way);
    drawing.soon();
  },
  stage(n) {
    actions.drop();
    view.v.stage = n;
    view.setFace(girder.stage(n).face);
    if (view.v.member !== null && !girder.ofMember(n, view.v.member).length) view.fitWhole();
    drawing.focus();
    drawing.marks();
    render();
  },
  face() {
    view.setFace(view.v.face === 'front' ? 'back' : 'front');
    drawing.marks();
    render();
  },
  tickRow(k) {
    const rest = girder.ofGroup[k].filter((i) => !state.now.marks.has(i));
    const where = girder.groupWords(k);
    state.mark(rest, 'good', where);
    show.message(say('row_ticked', { n: rest.length, where }));
  },
  history(step, key) {
    const words = step();
    if (words !== null) show.message(say(key, { what: words }));
  },
};

function head() {
  const s = tally.status();
  const pieces = girder.pieces.length > 1 && el('select', { id: 'piece', 'aria-label': say('piece'), onchange: (e) => {
    state.open(Number(e.target.value));
    actions.focus(null); // the girder before may have been left at one member
  } }, ...girder.pieces.map((n) => el('option', { value: n, selected: state.piece === n },
    `${say('piece')} ${say('piece_of', { n, all: DATA.quantity })}`)));
  const alone = DATA.after && DATA.quantity > 1 && `. ${say('piece')} ${say('piece_of', { n: state.piece, all: DATA.quantity })}`;
  const issue = { job: DATA.job, revision: DATA.revision };
  const line = DATA.after ? say('job_line_after', { ...issue, record: DATA.after.record.slice(0, 8) }) : say('job_line', issue);
  byId('head').replaceChildren(
    el('div', { class: 'who' }, el('strong', {}, say('girder', { mark: DATA.mark })), el('span', {}, line, alone)),
    ...(pieces ? [pieces] : []),
    el('div', { id: 'status', class: s.partial ? 'partial' : 'complete' }, el('strong', {}, s.head), el('span', {}, s.tail)),
    button(['\u21b6 ', say('undo')], () => actions.history(state.undo, 'undone'), { id: 'undo', disabled: !state.canUndo }),
    button(['\u21b7 ', say('redo')], () => actions.history(state.redo, 'redone'), { id: 'redo', disabled: !state.canRedo }));
}

function stages() {
  byId('stages').replaceChildren(...DATA.stages.map((s) => {
    const t = tally.of(girder.ofStage.get(s.number));
    const words = `${countsPanel.mark(t)} ${girder.stageWords(s)}`;
    const p = blind.progress(s.number);
    const far = p.known ? { n: t.due - t.open, all: t.due } : { n: p.done, all: p.all };
    return button([el('strong', {}, words), el('span', {}, say('count_of', far))],
      () => actions.stage(s.number), { pressed: view.v.stage === s.number });
  }));
}

function members() {
  const chips = girder.membersIn(view.v.stage).map((k) => {
    const t = tally.of(girder.ofMember(view.v.stage, k));
    const p = blind.progress(view.v.stage, k);
    return button([el('strong', {}, `${countsPanel.mark(t)} ${DATA.members[k].id}`), el('span', {}, p.known ? `${t.due - t.open}/${t.due}` : `${p.done}/${p.all}`)],
      () => actions.focus(k), { pressed: view.v.member === k });
  });
  const strip = byId('members');
  const at = strip.scrollLeft;
  strip.replaceChildren(button(say('whole'), () => actions.focus(null), { pressed: view.v.member === null, kind: 'whole' }), ...chips);
  strip.scrollLeft = at;
  const on = strip.querySelector('[aria-pressed="true"]');
  if (on) on.scrollIntoView({ inline: 'nearest', block: 'nearest' });
}

function viewButtons() {
  const { v } = view;
  const stage = girder.stage(v.stage);
  const zoom = (f) => () => { view.zoom(f, v.width / 2, v.height / 2); drawing.soon(); };
  byId('picture').setAttribute('aria-label', `${say('girder', { mark: DATA.mark })}, ${say('stage', { n: v.stage })}, ${say(`face_${v.face}`)}`);
  byId('view-words').replaceChildren(
    el('strong', {}, v.member === null ? say(`seen_${v.face}`) : `${DATA.members[v.member].id}, ${say(`face_${v.face}`)}`),
    el('span', {}, v.member === null ? stage.title : say('station_unit', { unit: DATA.units.stations })));
  byId('view-buttons').replaceChildren(
    ...(v.member === null ? [] : [button(`\u25c0 ${say('walk_back')}`, () => actions.walk(-1), { id: 'walk-back' }),
      button(`${say('walk_on')} \u25b6`, () => actions.walk(1), { id: 'walk-on' })]),
    button('+', zoom(1.6), { name: say('zoom_in'), kind: 'square', id: 'zoom-in' }),
    button('\u2212', zoom(1 / 1.6), { name: say('zoom_out'), kind: 'square', id: 'zoom-out' }),
    button(`\u21c4 ${say('turn')}`, actions.face, { id: 'turn' }));
}

function panel() {
  byId('tabs').replaceChildren(...Object.keys(TABS).map((name) => button(say(`tab_${name}`), () => {
    ui.tab = name;
    recordPanel.calm();
    byId('panel-body').scrollTop = 0;
    render();
  }, { pressed: ui.tab === name, id: `tab-${name}` })));
  const body = byId('panel-body');
  const at = body.scrollTop;
  const used = document.activeElement;
  const typing = used && used.id && /^(INPUT|TEXTAREA)$/.test(used.tagName) && body.contains(used);
  const fresh = TABS[ui.tab].body().flat(2).filter(Boolean);
  if (typing) renew(body, fresh, used);
  else body.replaceChildren(...fresh);
  body.scrollTop = at;
}

function banner() {
  const box = byId('banner');
  const lines = [DATA.failed && say('not_for_assembly'), !store.status.kept && say(store.status.words)].filter(Boolean);
  box.replaceChildren(...lines.map((t) => el('p', {}, `\u26a0 ${t}`)));
  box.hidden = !lines.length;
}

// What is typed is written when its field is left, mostly by the touch of the next one. That touch
// still finds what it was meant for: the page is made anew when it is over.
const leaving = { now: false, due: false, down: false };

function over() {
  setTimeout(() => {
    if (leaving.down) return; // a mouse is held: its click comes with its release
    leaving.now = false;
    if (leaving.due) render();
  }, 0);
}

function left(e) {
  if (e.target.closest('.asked')) return; // a count is taken by its own button, at once
  leaving.now = true;
  over();
}

/** Everything around the drawing, from the state as it is. */
function render() {
  leaving.due = leaving.now;
  if (!leaving.now) again();
}

/** New children for old ones; the field that is typed into stays where it is, with its text. */
function renew(old, fresh, used) {
  const twin = fresh.find((c) => c.nodeType === 1 && (c.id === used.id || c.querySelector(`#${CSS.escape(used.id)}`)));
  const kept = twin && [...old.children].find((c) => c.contains(used));
  if (!kept) { old.replaceChildren(...fresh); return; }
  for (const c of [...old.childNodes]) if (c !== kept) c.remove();
  const at = fresh.indexOf(twin);
  kept.before(...fresh.slice(0, at));
  kept.after(...fresh.slice(at + 1));
  if (kept !== used) renew(kept, [...twin.childNodes], used);
}

function again() {
  head();
  banner();
  stages();
  members();
  viewButtons();
  panel();
  drawing.soon();
}

function measure() {
  const box = byId('picture').getBoundingClientRect();
  view.resize(box.width, box.height);
}

// A tablet that is turned shows everything again; a little more or less room moves nothing.
function resized() {
  const before = view.v.width;
  measure();
  if (Math.abs(view.v.width - before) > 80) {
    if (view.v.member === null) view.fitWhole();
    else view.fitMember(view.v.member);
  }
  drawing.soon();
}

function keys(e) {
  if (!(e.ctrlKey || e.metaKey) || /^(INPUT|TEXTAREA)$/.test(e.target.tagName)) return;
  if (e.key === 'z') byId('undo').click();
  if (e.key === 'y') byId('redo').click();
}

function elsewhere(e) {
  if (e.key !== store.key(state.piece) || e.newValue === null) return;
  actions.drop();
  state.open(state.piece);
  show.message(say('elsewhere'), true);
}

function main() {
  byId('app').hidden = false;
  document.body.classList.add('live');
  store.probe();
  drawing.build();
  measure();
  view.v.face = 'front';
  state.listen(() => { drawing.marks(); render(); });
  state.open(girder.pieces[0]);
  view.setFace(girder.stage(view.v.stage).face);
  measure();
  view.fitWhole();
  touch.listen(actions.tap);
  drawing.marks();
  render();
  new ResizeObserver(resized).observe(byId('picture'));
  window.addEventListener('storage', elsewhere);
  window.addEventListener('change', left, true);
  window.addEventListener('pointerdown', () => { leaving.down = true; }, true);
  for (const end of ['pointerup', 'pointercancel']) window.addEventListener(end, () => { leaving.down = false; over(); }, true);
  window.addEventListener('keydown', keys);
  window.addEventListener('beforeprint', printing.fill);
  window.addEventListener('pagehide', () => document.activeElement.blur());
  window.addEventListener('beforeunload', (e) => {
    if (!store.status.kept && state.unsaved) e.preventDefault();
  });
}

main();
