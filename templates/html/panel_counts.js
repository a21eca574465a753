// Counts against the number due: per member of this stage, row by row, and per stage.

const countsPanel = (() => {
  let opened = null; // place of the member whose rows are shown

  const cells = (t) => [t.due, t.good, t.faults, t.open].map((n, k) =>
    el('td', { class: ['due', 'good', 'faults', 'open'][k] }, String(n)));

  const mark = (t) => {
    if (t.faults || t.short) return '\u00d7';
    return t.open ? (t.open < t.due ? '\u25d0' : '\u25cb') : '\u25cf';
  };

  const head = () => el('thead', {}, el('tr', {}, ...['where', 'due', 'good', 'faults', 'open'].map((k) => el('th', {}, say(k)))));

  function rows(stage, k) {
    return DATA.groups.map((g, n) => [g, n]).filter(([g]) => g.stage === stage && g.member === k)
      .flatMap(([g, n]) => {
        const t = tally.of(girder.ofGroup[n]);
        const what = `${say(`${g.kind}s`)}, ${girder.where(g)}`;
        return [el('tr', { class: 'row' }, el('td', {}, what), ...cells(t)),
          t.open > 0 && el('tr', { class: 'act' }, el('td', { colspan: 5 },
            button(`${say('row_rest')} (${t.open})`, () => actions.tickRow(n), { name: say('row_rest_n', { where: girder.groupWords(n), n: t.open }) })))];
      });
  }

  /** What was counted of a member, as it came with the record. */
  function countedLines(stage, k) {
    const found = DATA.groups.flatMap((g, n) => (g.stage === stage && g.member === k ? tally.counted(n) : []));
    return [...new Set(found)].map((c) => el('tr', { class: 'act' }, el('td', { colspan: 5 },
      say(c.row === null ? 'counted' : 'counted_row', { what: say(`${c.kind}s`), found: c.found, due: c.due, row: c.row }))));
  }

  function member(stage, k) {
    const t = tally.of(girder.ofMember(stage, k));
    const open = opened === k;
    const name = button(`${mark(t)} ${DATA.members[k].id}`, () => {
      opened = open ? null : k;
      if (!open) actions.focus(k);
      else render();
    }, { pressed: open });
    return [el('tr', { class: 'whole' }, el('th', {}, name), ...cells(t)), ...countedLines(stage, k), ...(open ? rows(stage, k) : [])];
  }

  function faults() {
    const list = [...state.now.marks].filter(([, m]) => m.state !== 'good').sort((a, b) => a[0] - b[0]);
    if (!list.length) return el('p', {}, say('no_faults'));
    return el('div', { class: 'faults-list' }, ...list.slice(0, 200).map(([i, m]) => button(
      [glyphs.icon(m.state, girder.group(i).kind), faultWords(i, m)], () => actions.goTo(i), { kind: 'wide' })));
  }

  /** One fault in words: which mark, what is wrong, how far off, the note. */
  function faultWords(i, m) {
    const by = m.state === 'misplaced' ? `, ${m.by === null ? say('by_open') : lengths.text(m.by)}` : '';
    return `${girder.M.id[i]}${COLON}${say(`state_${m.state}`)}${by}${m.note ? `. ${m.note}` : ''}`;
  }

  function body() {
    const { stage } = view.v;
    if (DATA.blind && !girder.stage(stage).added) {
      const known = blind.progress(stage).known;
      return [...blindPanel.body(), ...(known ? table(stage) : []), el('h3', {}, say('faults_list')), faults()];
    }
    return [...table(stage), el('h3', {}, say('faults_list')), faults()];
  }

  function table(stage) {
    const t = tally.of(girder.ofStage.get(stage));
    return [
      el('h3', {}, girder.stageWords(girder.stage(stage))),
      el('table', { class: 'counts' }, head(), el('tbody', {},
        ...girder.membersIn(stage).flatMap((k) => member(stage, k)),
        el('tr', { class: 'sum' }, el('th', {}, say('all')), ...cells(t)))),
      ...(blind.progress(null).known ? whole() : []),
    ];
  }

  function whole() {
    return [
      el('h3', {}, say('whole_girder')),
      el('table', { class: 'counts' }, head(), el('tbody', {},
        ...DATA.stages.map((s) => el('tr', {}, el('th', {}, girder.stageWords(s)), ...cells(tally.of(girder.ofStage.get(s.number))))),
        el('tr', { class: 'sum' }, el('th', {}, say('all')), ...cells(tally.all())))),
    ];
  }

  return { body, faultWords, mark };
})();
