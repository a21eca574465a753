// The panel for one mark: what it is, what was found, how far off, a note, the rest of its row.

const markPanel = (() => {
  const { M } = girder;
  // Where rows are counted, only what is wrong is marked: mostly that something is missing.
  const ui = { tool: DATA.blind && !DATA.after ? 'missing' : 'good', picked: null, crowd: [] };

  function tools() {
    const one = (name, icon) => button([icon && glyphs.icon(icon), say(`tap_${name}`)], () => {
      ui.tool = name;
      render();
    }, { pressed: ui.tool === name });
    return el('section', { class: 'tools' }, el('h3', {}, say('tap_writes')),
      el('div', { class: 'segments' }, one('good', 'good'), one('missing', 'missing'), one('look', null)));
  }

  function chooser() {
    if (ui.crowd.length < 2) return null;
    const names = ui.crowd.slice(0, 6).map((i) => button(M.id[i], () => {
      picking.forget();
      ui.crowd = [];
      choose(i);
    }, { pressed: i === ui.picked }));
    return el('section', { class: 'chooser' }, el('p', {}, say('choose', { n: ui.crowd.length })),
      button(say('zoom_here'), () => actions.zoomTo(ui.crowd[0]), { kind: 'main' }),
      el('div', { class: 'grid' }, ...names), el('p', {}, say('cycle')));
  }

  // The icon of a mark as the drawing has it.
  const iconOf = (i, name) => {
    const g = girder.group(i);
    const own = g.added && { none: 'add', good: 'add-good' }[name];
    return glyphs.icon(own || name, g.kind);
  };

  /** Where it is to be added, what, and instead of which. */
  const addedWords = (i) => girder.stage(girder.group(i).stage).places[M.id[i]];

  function what(i) {
    const g = girder.group(i);
    const lines = [
      ...(g.added ? [girder.where(g), addedWords(i)] : [`${say(g.kind)} ${M.specs[M.spec[i]]}`, girder.where(g)]),
      g.face === view.v.face ? say(`head_${g.face}`) : say('far'),
    ];
    const m = state.now.marks.get(i);
    const name = m ? m.state : 'none';
    return el('section', { class: 'what' },
      el('div', { class: 'title' }, el('h2', {}, M.id[i]), el('p', { class: 'station' }, say('station', { station: M.station[i] }))),
      el('p', {}, lines.join(SEMICOLON)),
      el('p', { class: `now is-${name}` }, iconOf(i, name), say(`state_${name}`)));
  }

  function states(i) {
    const { kind } = girder.group(i);
    const fits = (s) => (kind === 'bolt' ? s !== 'overdriven' : !DATA.bolt_only.includes(s));
    const m = state.now.marks.get(i);
    const set = (value) => () => {
      state.mark([i], value, `${M.id[i]} ${say(`state_${value || 'none'}`)}`);
    };
    return el('section', { class: 'grid states' },
      ...DATA.states.filter(fits).map((s) => button([iconOf(i, s), say(`state_${s}`)], set(s),
        { pressed: Boolean(m) && m.state === s, id: `state-${s}` })),
      button([iconOf(i, 'none'), say('clear')], set(null), { disabled: !m, id: 'state-clear' }));
  }

  /** A length with large buttons for less and more, and a field to type in. */
  function lengthField(label, value, set, { id, small = false, under = null }) {
    const input = el('input', {
      id, type: 'text', inputmode: DATA.units.sixteenths ? 'text' : 'decimal', autocomplete: 'off',
      value: value === null ? '' : lengths.plain(value), onchange: typed,
    });
    const typedNow = () => (input.value.trim() ? lengths.parse(input.value) : null);
    function typed() {
      if (!input.value.trim()) return set(null);
      const mm = lengths.parse(input.value);
      if (mm === null) {
        show.message(say('not_a_length', { value: input.value, unit: lengths.unit }), true);
        input.value = value === null ? '' : lengths.plain(value);
        return null;
      }
      return set(mm);
    }
    return el('section', { class: 'length' }, el('label', { for: id }, label), el('div', { class: 'stepper' },
      button('\u2212', () => set(lengths.step(typedNow(), -1, small)), { name: `${label}${COLON}${say('less')}` }), input,
      button('+', () => set(typedNow() === null ? (small ? 0 : lengths.step(0, 1)) : lengths.step(typedNow(), 1, small)),
        { name: `${label}${COLON}${say('more')}` })),
    under && el('p', { class: 'under' }, under));
  }

  function details(i) {
    const m = state.now.marks.get(i);
    if (!m) return null;
    const words = `${M.id[i]} ${say('note')}`;
    const note = el('textarea', { id: 'mark-note', rows: 2, maxlength: record.NOTE,
      onchange: (e) => state.detail(i, { note: e.target.value }, words) });
    note.value = m.note;
    const by = m.state !== 'misplaced' ? null : lengthField(say('by_unit', { unit: lengths.unit }), m.by,
      (mm) => state.detail(i, { by: mm }, `${M.id[i]} ${say('by')}`),
      { id: 'mark-by', under: DATA.units.tolerance });
    const photo = m.state === 'good' ? null : photos.field(M.id[i], 'photo-mark');
    return [by, el('section', {}, el('label', { for: 'mark-note' }, say('note_mark')), note), photo];
  }

  function row(i) {
    const k = M.group[i];
    const rest = girder.ofGroup[k].filter((j) => !state.now.marks.has(j));
    const where = girder.groupWords(k);
    if (!rest.length) return el('p', { class: 'under' }, say('row_done', { where }));
    return button(say('row_rest_n', { where, n: rest.length }), () => actions.tickRow(k), { id: 'row-rest' });
  }

  function body() {
    if (ui.picked === null) {
      return [tools(), chooser(), el('p', { class: 'hint' },
        girder.ofStage.get(view.v.stage).length ? say(drawing.shown.length || !DATA.blind ? 'pick_first' : 'count_first') : say('nothing_to_tick')),
      el('h3', {}, say('cautions')), el('ul', { class: 'cautions' }, ...DATA.cautions.map((t) => el('li', {}, t)))];
    }
    const i = ui.picked;
    return [tools(), chooser(), what(i), states(i), details(i), row(i)];
  }

  /** Picks a mark and, where nothing is said of it yet, writes what the tool says. */
  function choose(i, write = true) {
    ui.picked = i;
    drawing.pick(i, ui.crowd.length > 1 ? ui.crowd : []);
    if (write && ui.tool !== 'look' && !state.now.marks.has(i)) {
      state.mark([i], ui.tool, `${M.id[i]} ${say(`state_${ui.tool}`)}`);
    } else render();
  }

  function drop() {
    ui.picked = null;
    ui.crowd = [];
    picking.forget();
    drawing.pick(null);
  }

  return { body, choose, drop, lengthField, ui };
})();
