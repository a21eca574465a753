// The record as a file: written, hashed, read back, or refused in words.

const record = (() => {
  const KEYS = ['schema', 'job', 'mark', 'piece', 'revision', 'content_hash', 'inspector', 'date',
    'previous', 'marks', 'counts', 'plies', 'signatures', 'note'];
  const [NOTE, NOTES] = [2000, 10000]; // longest notes, of a mark and of the whole

  const MOST = 5e6; // bytes of a file

  /** JSON with sorted keys and no spaces: what the hash is taken of. */
  function canonical(value) {
    if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
    if (value && typeof value === 'object') {
      const keys = Object.keys(value).sort();
      return `{${keys.map((k) => `${JSON.stringify(k)}:${canonical(value[k])}`).join(',')}}`;
    }
    return JSON.stringify(value);
  }

  const hash = (rec) => sha256(canonical(rec));

  // Half of a surrogate pair cannot be written as UTF-8.
  const whole = (text) => text.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, '\ufffd');

  /** The record of a state; `previous` is the hash of the one before it, or null. */
  function make(state, piece, previous) {
    const marks = [...state.marks.keys()].sort((a, b) => a - b).map((i) => {
      const m = state.marks.get(i);
      return { id: girder.M.id[i], state: m.state, by_mm: m.by, note: whole(m.note) };
    });
    return {
      schema: DATA.schema, job: DATA.job, mark: DATA.mark, piece, revision: DATA.revision,
      content_hash: DATA.content_hash, inspector: whole(state.inspector), date: state.date,
      previous, marks, counts: state.counts,
      plies: { gap_mm: state.gap, alignment_mm: state.alignment },
      signatures: [...state.signatures.keys()].sort((a, b) => a - b).map((stage) => {
        const s = state.signatures.get(stage);
        return { stage, name: whole(s.name), date: s.date };
      }),
      note: whole(state.note),
    };
  }

  const isText = (v, most = 200) => typeof v === 'string' && v.length <= most;
  const isLength = (v) => v === null || (typeof v === 'number' && Number.isFinite(v) && v >= 0);
  const isDate = (v) => isText(v) && /^(\d{4}-\d{2}-\d{2})?$/.test(v);

  class Refusal extends Error {}
  const refuse = (key, values) => { throw new Refusal(say(key, values)); };
  const need = (true_, value) => { if (!true_) refuse('refuse_field', { value }); };

  function checkHead(r) {
    if (r === null || typeof r !== 'object' || r.schema !== DATA.schema) {
      refuse('refuse_schema', { schema: DATA.schema });
    }
    for (const key of ['job', 'mark', 'revision', 'content_hash']) {
      need(isText(r[key]), key);
      if (r[key] !== DATA[key]) {
        const short = (v) => (key === 'content_hash' ? v.slice(0, 12) : v);
        refuse(`refuse_${key}`, { value: short(r[key]), due: short(DATA[key]) });
      }
    }
    need(Number.isInteger(r.piece), 'piece');
    if (!girder.pieces.includes(r.piece)) {
      refuse('refuse_piece', { value: r.piece, due: girder.pieces.length });
    }
  }

  function readMarks(list) {
    need(Array.isArray(list), 'marks');
    const marks = new Map();
    for (const m of list) {
      need(m && isText(m.id), 'marks');
      if (!girder.index.has(m.id)) refuse('refuse_mark_id', { value: m.id });
      const i = girder.index.get(m.id);
      need(DATA.states.includes(m.state) && isLength(m.by_mm) && isText(m.note, NOTE) && !marks.has(i), m.id);
      need(m.state === 'misplaced' || m.by_mm === null, m.id);
      marks.set(i, { state: m.state, by: m.by_mm, note: m.note });
    }
    return marks;
  }

  function readSignatures(list) {
    need(Array.isArray(list), 'signatures');
    const signatures = new Map();
    for (const s of list) {
      need(s && girder.stage(s.stage) && isText(s.name) && isText(s.date, 40) && !signatures.has(s.stage), 'signatures');
      signatures.set(s.stage, { name: s.name, date: s.date });
    }
    return signatures;
  }

  /** State and piece of a record; throws a Refusal in words when it is not one of this girder. */
  function read(r) {
    checkHead(r);
    for (const key of KEYS) need(Object.hasOwn(r, key), key);
    need(isText(r.inspector), 'inspector');
    need(isDate(r.date), 'date');
    need(r.previous === null || (isText(r.previous) && /^[0-9a-f]{64}$/.test(r.previous)), 'previous');
    need(Array.isArray(r.counts) && r.counts.length <= 10000, 'counts');
    need(r.plies && isLength(r.plies.gap_mm) && isLength(r.plies.alignment_mm), 'plies');
    need(isText(r.note, NOTES), 'note');
    return {
      piece: r.piece,
      state: {
        marks: readMarks(r.marks), signatures: readSignatures(r.signatures),
        inspector: r.inspector, date: r.date, note: r.note, counts: r.counts,
        gap: r.plies.gap_mm, alignment: r.plies.alignment_mm,
      },
    };
  }

  /** Where the page begins: nothing said, or all that was seen before the visit at hand. */
  function start() {
    const { marks = [], signatures = [], counts = [], plies = { gap_mm: null, alignment_mm: null } } = DATA.after || {};
    return {
      marks: readMarks(marks), signatures: readSignatures(signatures), counts,
      inspector: '', date: '', note: '', gap: plies.gap_mm, alignment: plies.alignment_mm,
    };
  }

  /** Refuses a record that begins a history of its own where the page goes on from another. */
  function mustFollow(r) {
    const { after } = DATA;
    if (after && r.previous === null && hash(r) !== after.record) refuse('refuse_after', { due: after.record.slice(0, 12) });
  }

  function parse(text) {
    if (text.length > MOST) refuse('refuse_large');
    let value;
    try { value = JSON.parse(text); } catch { refuse('refuse_json'); }
    return value;
  }

  return { make, read, parse, start, mustFollow, hash, canonical, Refusal, NOTE, NOTES, MOST };
})();
