// The printed list: the lines are in the page already, with the numbers due; counts are put in.

const printing = (() => {
  function lines() {
    for (const row of document.querySelectorAll('#paper tr[data-group]')) {
      const t = tally.of(girder.ofGroup[Number(row.dataset.group)]);
      const cells = row.querySelectorAll('td.n:not(.due)');
      [t.good, t.faults, t.open].forEach((n, k) => { cells[k].textContent = String(n); });
    }
  }

  function holds() {
    for (const p of document.querySelectorAll('#paper .hold')) {
      const signed = state.now.signatures.get(Number(p.dataset.stage));
      if (!p.dataset.blank) p.dataset.blank = p.lastElementChild.textContent;
      p.lastElementChild.textContent = signed ? say('signed', signed) : p.dataset.blank;
    }
  }

  function faults() {
    const list = [...state.now.marks].filter(([, m]) => m.state !== 'good' || m.note).sort((a, b) => a[0] - b[0]);
    const rows = list.map(([i, m]) => el('li', {}, `${say('stage', { n: girder.group(i).stage })}, ${say('station', { station: girder.M.station[i] })}${COLON}${countsPanel.faultWords(i, m)}`));
    byId('paper-faults').replaceChildren(el('h2', {}, say('faults_list')), rows.length ? el('ul', {}, ...rows) : el('p', {}, say('no_faults')));
  }

  function notes() {
    const s = state.now;
    const measured = (key) => (s[key] === null ? '________' : lengths.text(s[key]));
    byId('paper-notes').replaceChildren(
      el('p', {}, `${say('gap', { unit: lengths.unit })}${COLON}${measured('gap')}. ${say('alignment', { unit: lengths.unit })}${COLON}${measured('alignment')}.`),
      el('p', {}, s.note ? `${say('note_record')}${COLON}${s.note}` : ''));
  }

  function who() {
    const s = state.now;
    const blank = '________________';
    byId('paper-who').textContent = `${say('piece')} ${say('piece_of', { n: state.piece, all: DATA.quantity })}    ${say('inspector')}${COLON}${s.inspector || blank}    ${say('date')}${COLON}${s.date || blank}`;
    byId('paper-status').textContent = recordPanel.words();
  }

  /** Puts everything said so far into the printed list. */
  function fill() {
    lines();
    holds();
    faults();
    notes();
    who();
  }

  return { fill };
})();
