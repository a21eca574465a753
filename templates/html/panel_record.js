// The record goes out as a file, comes back, is printed or cleared.

const recordPanel = (() => {
  let text = null; // shown as text, for tablets that do not let a page save files
  let sure = false;

  function fileName() {
    const parts = [DATA.job, DATA.mark, DATA.quantity > 1 ? state.piece : '', 'rev', DATA.revision, 'record',
      ...(DATA.after ? ['after', DATA.after.record.slice(0, 8)] : [])];
    const name = parts.join('-').normalize('NFKC').replace(/[^\p{L}\p{N}_-]+/gu, '-').replace(/-+/g, '-');
    return `${name.replace(/^[-_]+/, '').slice(0, 80) || 'record'}.json`;
  }

  const asText = (rec) => `${JSON.stringify(rec, null, 1)}\n`;

  /** False, and the mark is shown, where something must be said before a record can be read. */
  function ready() {
    const [i] = tally.unsaid();
    if (i === undefined) return true;
    actions.goTo(i);
    show.message(say('by_first', { id: girder.M.id[i] }), true);
    return false;
  }

  function save() {
    if (!ready()) return;
    const rec = state.current();
    const link = el('a', { download: fileName(), href: URL.createObjectURL(new Blob([asText(rec)], { type: 'application/json' })) });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    state.noteExport(rec);
    show.message(say('exported', { file: link.download }));
  }

  function take(content) {
    try {
      const rec = record.parse(content);
      const found = record.read(rec);
      record.mustFollow(rec);
      actions.drop();
      state.adopt(found, rec);
      text = null;
      show.message(say('imported', { n: found.state.marks.size, piece: found.piece }));
    } catch (e) {
      if (!(e instanceof record.Refusal)) throw e;
      show.message(e.message, true);
    }
  }

  async function picked(e) {
    const [file] = e.target.files;
    e.target.value = '';
    if (!file) return;
    if (file.size > record.MOST) { show.message(say('refuse_large'), true); return; }
    take(await file.text());
  }

  function wipe() {
    if (!sure) {
      sure = true;
      render();
      return;
    }
    sure = false;
    actions.drop();
    state.clear();
    show.message(say('wiped'));
  }

  function textBox() {
    if (text === null) return null;
    const box = el('textarea', { id: 'record-text', rows: 8, spellcheck: 'false' });
    box.value = text;
    return [box, button(say('read_text'), () => take(box.value), { id: 'read-text' })];
  }

  function body() {
    const file = el('input', { id: 'import-file', type: 'file', accept: '.json,application/json', onchange: picked, hidden: true });
    const kept = el('p', { class: store.status.kept ? 'under' : 'warn', id: 'kept' }, say(store.status.words));
    return [
      el('p', { class: 'status-words' }, words()), kept,
      button(say('export'), save, { kind: 'main', id: 'export' }),
      button(say('import'), () => file.click(), { id: 'import' }), file,
      button(say('print'), () => { printing.fill(); window.print(); }, { id: 'print' }),
      button(say('as_text'), () => { if (text === null && !ready()) return; text = text === null ? asText(state.current()) : null; render(); }, { id: 'as-text', pressed: text !== null }),
      textBox(),
      button(sure ? say('wipe_sure') : say('wipe'), wipe, { kind: sure ? 'danger' : '', id: 'wipe' }),
      state.now.counts.length > 0 && el('p', {}, say('counts_kept', { n: state.now.counts.length })),
      el('p', {}, say('judged')),
    ].flat();
  }

  function words() {
    const s = tally.status();
    return `${s.head}. ${s.tail}.`;
  }

  return { body, calm: () => { sure = false; }, words };
})();
