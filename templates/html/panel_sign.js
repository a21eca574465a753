// Who, when, hold points by name, what was measured between the plies, a note on the whole.

const signPanel = (() => {
  const drafts = new Map(); // what is typed for a stage before it is signed

  const today = () => {
    const d = new Date();
    const two = (n) => String(n).padStart(2, '0');
    return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
  };

  function field(id, label, value, set, type = 'text') {
    const input = el('input', { id, type, value, autocomplete: 'off', maxlength: 200, onchange: (e) => set(e.target.value) });
    const now = type === 'date' && button(say('today'), () => { input.value = today(); set(input.value); });
    return el('section', { class: 'field' }, el('label', { for: id }, label), el('div', { class: 'line' }, input, now));
  }

  function holdPoint(stage) {
    const n = stage.number;
    const signed = state.now.signatures.get(n);
    const open = tally.of(girder.ofStage.get(n)).open;
    const head = [el('h3', {}, `${say('stage', { n })}${COLON}${say('hold_point')}`), el('p', {}, stage.hold_point)];
    const known = blind.progress(n).known;
    if (stage.clench && known) head.push(el('p', {}, say('clench_due', { n: stage.clench })));
    if (open) head.push(el('p', { class: 'warn' }, `\u26a0 ${known ? say('sign_open', { n: open }) : say('sign_uncounted')}`));
    head.push(photos.field(`stage ${n}`, `photo-${n}`));
    if (signed) {
      return el('section', { class: 'hold' }, ...head, el('p', { class: 'signed' }, `\u270e ${say('signed', signed)}`),
        button(say('unsign'), () => state.sign(n, null)));
    }
    const draft = drafts.get(n) || { name: state.now.inspector, date: state.now.date };
    const keep = (key) => (value) => { drafts.set(n, { ...(drafts.get(n) || draft), [key]: value }); };
    return el('section', { class: 'hold' }, ...head,
      field(`sign-name-${n}`, say('name'), draft.name, keep('name')),
      field(`sign-date-${n}`, say('date'), draft.date, keep('date'), 'date'),
      button(say('sign'), () => sign(n), { kind: 'main', id: `sign-${n}` }));
  }

  function sign(n) {
    const [name, date] = [byId(`sign-name-${n}`).value.trim(), byId(`sign-date-${n}`).value];
    if (!name || !date) { show.message(say('sign_needs'), true); return; }
    drafts.delete(n);
    state.sign(n, name, date);
  }

  const mm = (value) => Math.round(value * DATA.units.size * 1000) / 1000;
  const own = (value) => Math.round((value / DATA.units.size) * 1000) / 1000;
  const inOwn = (s) => `${own(s.d_mm)} x ${own(s.length_mm)}`;

  /** "4.0 x 100", "100 x 4" or several, cut by semicolons: the longer figure is the length. */
  function sizes(text, from) {
    const found = text.split(';').map((t) => /^\s*(\d+(?:[.,]\d+)?)\s*[x\u00d7*]\s*(\d+(?:[.,]\d+)?)/i.exec(t));
    if (!found.length || found.includes(null)) return null;
    return found.map((m) => {
      const [a, b] = [m[1], m[2]].map((v) => Number(v.replace(',', '.')));
      return { d_mm: mm(Math.min(a, b)), length_mm: mm(Math.max(a, b)), read_from: from };
    });
  }

  const isDue = (stage, n) => stage.sizes.some((s) => Math.abs(s.d_mm - n.d_mm) <= 0.15 && Math.abs(s.length_mm - n.length_mm) <= 1);

  /** Yes, no with what is due, or how many sizes more the stage has. */
  function answer(stage, nails) {
    if (!nails.length) return null;
    const due = stage.sizes.map(inOwn).join('; ');
    const wrong = nails.find((n) => !isDue(stage, n));
    if (wrong) return el('p', { class: 'warn' }, `\u26a0 ${say('size_no', { due })}`);
    const more = stage.sizes.filter((s) => !nails.some((n) => isDue({ sizes: [s] }, n))).length;
    return el('p', { class: 'signed' }, more ? say('size_more', { n: more }) : `\u2713 ${say('size_yes')}`);
  }

  function choice(label, now, options, set) {
    return el('section', { class: 'field' }, el('p', {}, label), el('div', { class: 'line' },
      ...options.map(([value, words]) => button(words, () => set(value), { pressed: now === value }))));
  }

  function wentIn(stage) {
    const n = stage.number;
    if (!stage.sizes.length && !stage.bolts) return null;
    const seen = state.now.stages.get(n) || { nails: [], finish: '', washers: null, clenched: null };
    const from = seen.nails.length ? seen.nails[0].read_from : 'box';
    const said = seen.nails.map(inOwn).join('; ');
    const parts = [el('h3', {}, `${say('stage', { n })}${COLON}${say('went_in')}`)];
    if (stage.sizes.length) {
      parts.push(field(`size-${n}`, say('nail_size'), said, (v) => {
        const nails = v.trim() ? sizes(v, from) : [];
        if (nails === null) show.message(say('size_how'), true);
        else state.stage(n, { nails });
      }), answer(stage, seen.nails), choice(say('read_from'), from, [['box', say('from_box')], ['nail', say('from_nail')]],
        (v) => state.stage(n, { nails: ((state.now.stages.get(n) || seen).nails).map((x) => ({ ...x, read_from: v })) })));
    }
    parts.push(field(`finish-${n}`, say('finish'), seen.finish, (v) => state.stage(n, { finish: v.trim() })));
    if (stage.bolts) {
      parts.push(choice(say('washers'), seen.washers, [['as drawn', say('washers_drawn')], ['other', say('washers_other')]],
        (v) => state.stage(n, { washers: v })));
    }
    if (stage.bent) {
      parts.push(field(`clenched-${n}`, say('clenched'), seen.clenched === null ? '' : String(seen.clenched),
        (v) => state.stage(n, { clenched: /^\d{1,5}$/.test(v.trim()) ? Number(v) : null })));
    }
    return el('section', { class: 'hold' }, ...parts);
  }

  function plies() {
    const one = (key, label, id) => markPanel.lengthField(say(label, { unit: lengths.unit }), state.now[key],
      (mm) => state.field(key, mm, say(`open_${key}`)), { id, small: true });
    return [el('h3', {}, say('plies')), one('gap', 'gap', 'plies-gap'), one('alignment', 'alignment', 'plies-alignment')];
  }

  function body() {
    const s = state.now;
    const note = el('textarea', { id: 'record-note', rows: 3, maxlength: record.NOTES, onchange: (e) => state.field('note', e.target.value, say('note')) });
    note.value = s.note;
    return [
      field('inspector', say('inspector'), s.inspector, (v) => state.field('inspector', v, say('inspector'))),
      !s.inspector && state.lastName ? button(state.lastName, () => state.field('inspector', state.lastName, say('inspector')), { id: 'same-name' }) : null,
      field('date', say('date'), s.date, (v) => state.field('date', v, say('date')), 'date'),
      ...plies(),
      ...DATA.stages.flatMap((stage) => [wentIn(stage), stage.hold_point ? holdPoint(stage) : null]),
      el('label', { for: 'record-note' }, say('note_record')), note,
      s.note.trim() ? choice(say('note_asks'), s.noteDecision, ['none', 'measured', 'engineer'].map((k) => [k, say(`decide_${k}`)]),
        (v) => state.field('noteDecision', v, say('note'))) : null,
    ];
  }

  return { body };
})();
