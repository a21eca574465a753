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
    if (stage.clench) head.push(el('p', {}, say('clench_due', { n: stage.clench })));
    if (open) head.push(el('p', { class: 'warn' }, `\u26a0 ${say('sign_open', { n: open })}`));
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
      field('date', say('date'), s.date, (v) => state.field('date', v, say('date')), 'date'),
      ...plies(),
      ...DATA.stages.filter((stage) => stage.hold_point).map(holdPoint),
      el('label', { for: 'record-note' }, say('note_record')), note,
    ];
  }

  return { body };
})();
