// Asks for one number a row, then says what is due and what to mark.

const blindPanel = (() => {
  function ask(line, n) {
    const id = `found-${n}`;
    const input = el('input', { id, type: 'text', inputmode: 'numeric', autocomplete: 'off', maxlength: 5,
      onkeydown: (e) => { if (e.key === 'Enter') take(); } });
    function take() {
      if (!/^\d{1,5}$/.test(input.value.trim())) { show.message(say('count_number'), true); input.focus(); return; }
      const found = Number(input.value);
      blind.count(line, found);
      const open = blind.of(line.stage).filter((l) => !blind.known(l));
      const next = open.find((l) => blind.lines.indexOf(l) > n) || open[0];
      if (!next) return;
      const { member: only } = view.v;
      if (only !== null && only !== next.member) { // its field is not shown yet
        if (found !== line.due) return; // what is wrong here is read first
        actions.focus(next.member);
      }
      byId(`found-${blind.lines.indexOf(next)}`).focus();
    }
    return el('section', { class: 'asked' }, el('label', { for: id }, lineWords(line)), el('div', { class: 'line' }, input,
      button('\u2713', take, { name: `${lineWords(line)}${COLON}${say('count_take')}`, id: `take-${n}` })));
  }

  const lineWords = (line) => `${say(`${line.kind}s`)}, ${girder.where(DATA.groups[line.groups[0]])}`;

  /** What came of a count, in words: as due, how many short, or more than due. */
  function came(line, c) {
    const short = c.due - c.found;
    if (!short) return el('p', { class: 'signed' }, `\u2713 ${say('count_all', { due: c.due })}`);
    const marked = blind.marks(line).filter((i) => (state.now.marks.get(i) || {}).state === 'missing').length;
    const words = short < 0 ? say('count_more', { found: c.found, due: c.due })
      : say(marked >= short ? 'count_short_marked' : 'count_short', { found: c.found, due: c.due, n: short });
    return el('p', { class: 'warn' }, `\u26a0 ${words}`);
  }

  function answered(line, n) {
    const c = blind.counted(line);
    const parts = [el('p', {}, el('strong', {}, lineWords(line)))];
    if (c) {
      parts.push(came(line, c));
      parts.push(button(say('count_again'), () => blind.count(line, null), { id: `again-${n}`, name: `${lineWords(line)}${COLON}${say('count_again')}` }));
    }
    return el('section', { class: 'asked' }, ...parts, shiftPanel.form(line, n));
  }

  function member(stage, k) {
    const own = blind.of(stage, k);
    const p = blind.progress(stage, k);
    return [button(`${p.known ? '\u25cf' : '\u25cb'} ${DATA.members[k].id}`, () => actions.focus(view.v.member === k ? null : k),
      { pressed: view.v.member === k, kind: 'wide' }),
    ...own.map((line) => (blind.known(line) ? answered : ask)(line, blind.lines.indexOf(line)))];
  }

  /** The members of a stage, the one in view alone where one is. */
  function body() {
    const { stage, member: only } = view.v;
    const members = girder.membersIn(stage).filter((k) => only === null || k === only);
    if (!members.length) return [el('p', { class: 'hint' }, say('nothing_to_tick'))];
    return [el('h3', {}, girder.stageWords(girder.stage(stage))), el('p', {}, say('count_how')), ...members.flatMap((k) => member(stage, k))];
  }

  return { body };
})();
