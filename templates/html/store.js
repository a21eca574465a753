// What is kept in the browser, one entry per girder, revision, content and record that the page
// goes on from; or the fact that
// nothing is kept.

const store = (() => {
  const key = (piece) => JSON.stringify(
    [DATA.schema, DATA.job, DATA.mark, piece, DATA.revision, DATA.content_hash,
      ...(DATA.after ? [DATA.after.record] : [])]);
  const status = { kept: true, words: 'kept' };

  function fail(words) {
    status.kept = false;
    status.words = words;
  }

  function box() {
    const b = window.localStorage; // throws where it is forbidden, null where it is switched off
    if (!b) throw new Error('absent');
    return b;
  }

  /** {record, exported} of a piece, or null. */
  function load(piece) {
    if (status.words === 'damaged') Object.assign(status, { kept: true, words: 'kept' });
    let text;
    try { text = box().getItem(key(piece)); } catch { fail('not_kept'); return null; }
    if (text === null) return null;
    try {
      const { record: rec, exported } = JSON.parse(text);
      return { ...record.read(rec), exported };
    } catch { fail('damaged'); return null; }
  }

  /** Keeps a piece; says whether it worked. */
  function save(piece, rec, exported) {
    if (status.words === 'damaged') return false; // what is there may still be saved by hand
    try {
      box().setItem(key(piece), JSON.stringify({ record: rec, exported }));
      status.kept = true;
      status.words = 'kept';
    } catch (e) { fail(e && e.name === 'QuotaExceededError' ? 'full' : 'not_kept'); }
    return status.kept;
  }

  /** Tries once whether anything is kept at all. */
  function probe() {
    try {
      const name = `${DATA.schema} probe`;
      box().setItem(name, '1');
      box().removeItem(name);
    } catch { fail('not_kept'); }
  }

  return { key, load, save, probe, status };
})();
