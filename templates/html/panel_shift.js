// A row that stands off its marks as a whole: by how much, and which way.

const shiftPanel = (() => {
  let opened = null; // line whose form is shown
  const draft = { along: 0, across: 0, far: true, up: true };

  const own = (line) => state.now.shifts.find((s) => s.member === DATA.members[line.member].id && s.stage === line.stage && s.row === line.row);

  /** Which way a positive offset points on the girder, seen from the front: up, or to a side. */
  function sides(line) {
    const { ux, uy } = view.along(DATA.members[line.member]);
    if (Math.abs(ux) >= 0.25) return ux > 0 ? ['up', 'down'] : ['down', 'up'];
    return -uy > 0 ? ['right', 'left'] : ['left', 'right'];
  }

  function words(line, s) {
    const [plus, minus] = sides(line);
    const parts = [];
    if (s.along_mm) parts.push(say(s.along_mm > 0 ? 'shift_far' : 'shift_hook', { by: lengths.text(Math.abs(s.along_mm)) }));
    if (s.across_mm) parts.push(say(`shift_${s.across_mm > 0 ? plus : minus}`, { by: lengths.text(Math.abs(s.across_mm)) }));
    return say('shift_is', { what: parts.join(', ') });
  }

  function set(line, along, across) {
    const old = own(line);
    const rest = state.now.shifts.filter((s) => s !== old);
    const member = DATA.members[line.member].id;
    const next = { member, stage: line.stage, row: line.row, along_mm: along, across_mm: across };
    opened = null;
    state.field('shifts', along || across ? [...rest, next] : rest, blind.words(line));
  }

  const ways = (now, options, change) => el('div', { class: 'line' }, ...options.map(([value, key]) =>
    button(say(key), () => { change(value); render(); }, { pressed: now === value })));

  function form(line, n) {
    const said = own(line);
    if (opened !== line) {
      return [said && el('p', {}, words(line, said)), button(say('shift_open'), () => {
        opened = line;
        Object.assign(draft, { along: Math.abs(said ? said.along_mm : 0), across: Math.abs(said ? said.across_mm : 0),
          far: !said || said.along_mm >= 0, up: !said || said.across_mm >= 0 });
        render();
      }, { id: `shift-${n}`, name: `${blind.words(line)}${COLON}${say('shift_open')}` })].filter(Boolean);
    }
    const [plus, minus] = sides(line);
    const length = (key, label, id) => markPanel.lengthField(say(label, { unit: lengths.unit }), draft[key],
      (mm) => { draft[key] = mm || 0; render(); }, { id, small: true });
    return el('section', { class: 'hold' },
      length('along', 'shift_along', 'shift-along'),
      ways(draft.far, [[true, 'shift_way_far'], [false, 'shift_way_hook']], (v) => { draft.far = v; }),
      length('across', 'shift_across', 'shift-across'),
      ways(draft.up, [[true, `shift_way_${plus}`], [false, `shift_way_${minus}`]], (v) => { draft.up = v; }),
      button(say('shift_set'), () => set(line, draft.far ? draft.along : -draft.along, draft.up ? draft.across : -draft.across), { kind: 'main', id: 'shift-set' }));
  }

  return { form };
})();
