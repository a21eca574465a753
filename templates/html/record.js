// The record as a file: written, hashed, read back, or refused in words.

const record = (() => {
  const KEYS = ['schema', 'job', 'mark', 'piece', 'revision', 'content_hash', 'inspector', 'date',
    'previous', 'marks', 'counts', 'plies', 'signatures', 'note'];
  const FIRST = 'girderply.record/1'; // read too; it lacks what a signature needs
  const [NOTE, NOTES] = [2000, 10000]; // longest notes, of a mark and of the whole

  const MOST = 8e6; // bytes of a file, with its photos

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
      stages: [...state.stages.keys()].sort((a, b) => a - b).map((n) => ({ stage: n, ...state.stages.get(n) })),
      shifts: state.shifts, decisions: decided(state), photos: state.photos,
    };
  }

  /** The key by which a note is decided on: eight figures of its hash. */
  const keyOf = (text) => String(parseInt(sha256(text.trim()).slice(0, 12), 16) % 1e8).padStart(8, '0');

  /** What was decided; of the note on the whole only where it stands as it was decided on. */
  function decided(state) {
    const list = state.decisions.filter((d) => !d.ofNote);
    const { note, noteDecision: kind, inspector, date } = state;
    if (!note.trim() || !kind || !inspector.trim() || !date) return list;
    return [...list, { about: keyOf(whole(note)), kind, name: whole(inspector), date, text: '' }];
  }

  const isText = (v, most = 200) => typeof v === 'string' && v.length <= most;
  const isLength = (v) => v === null || (typeof v === 'number' && Number.isFinite(v) && v >= 0);
  const isDate = (v) => isText(v) && /^(\d{4}-\d{2}-\d{2})?$/.test(v);

  class Refusal extends Error {}
  const refuse = (key, values) => { throw new Refusal(say(key, values)); };
  const need = (true_, value) => { if (!true_) refuse('refuse_field', { value }); };

  function checkHead(r) {
    if (r === null || typeof r !== 'object' || ![DATA.schema, FIRST].includes(r.schema)) {
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

  const isCount = (v) => Number.isInteger(v) && v >= 0 && v <= 100000;

  /** Every count must be of a row that the girder has: one odd entry would stop the page for good. */
  function readCounts(list) {
    need(Array.isArray(list) && list.length <= 10000, 'counts');
    for (const c of list) {
      need(c && typeof c === 'object' && DATA.members.some((m) => m.id === c.member), 'counts');
      need(girder.stage(c.stage) && ['nail', 'screw', 'bolt'].includes(c.kind), 'counts');
      need((c.row === null || isCount(c.row)) && isCount(c.due) && isCount(c.found), 'counts');
    }
    return list;
  }

  function readStages(list = []) {
    need(Array.isArray(list), 'stages');
    const stages = new Map();
    for (const { stage, ...s } of list) {
      need(girder.stage(stage) && Array.isArray(s.nails) && isText(s.finish), 'stages');
      need(s.nails.every((n) => n && n.d_mm > 0 && n.length_mm > 0 && ['box', 'nail'].includes(n.read_from)), 'stages');
      need([null, 'as drawn', 'other'].includes(s.washers) && (s.clenched === null || isCount(s.clenched)), 'stages');
      stages.set(stage, s);
    }
    return stages;
  }

  const list = (value, name) => { need(value === undefined || Array.isArray(value), name); return value || []; };

  function readShifts(value) {
    const all = list(value, 'shifts');
    const off = (v) => typeof v === 'number' && Math.abs(v) <= 500;
    need(all.every((s) => s && DATA.members.some((m) => m.id === s.member) && girder.stage(s.stage)
      && (s.row === null || isCount(s.row)) && off(s.along_mm) && off(s.across_mm)), 'shifts');
    return all;
  }

  function readPhotos(value) {
    const all = list(value, 'photos');
    const side = (v) => Number.isInteger(v) && v > 0 && v <= 4096;
    need(all.every((p) => p && isText(p.of, 60) && isText(p.taken, 40) && side(p.width) && side(p.height)
      && isText(p.jpeg, 1500000) && /^\/9j\/[A-Za-z0-9+/]+={0,2}$/.test(p.jpeg)), 'photos');
    return all;
  }

  /** State and piece of a record; throws a Refusal in words when it is not one of this girder. */
  function read(r) {
    checkHead(r);
    for (const key of KEYS) need(Object.hasOwn(r, key), key);
    need(isText(r.inspector), 'inspector');
    need(isDate(r.date), 'date');
    need(r.previous === null || (isText(r.previous) && /^[0-9a-f]{64}$/.test(r.previous)), 'previous');
    need(r.plies && isLength(r.plies.gap_mm) && isLength(r.plies.alignment_mm), 'plies');
    need(isText(r.note, NOTES), 'note');
    return {
      piece: r.piece,
      state: {
        marks: readMarks(r.marks), signatures: readSignatures(r.signatures),
        inspector: r.inspector, date: r.date, note: r.note, counts: readCounts(r.counts),
        gap: r.plies.gap_mm, alignment: r.plies.alignment_mm, stages: readStages(r.stages),
        shifts: readShifts(r.shifts), photos: readPhotos(r.photos), ...readDecisions(r),
      },
    };
  }

  function readDecisions(r) {
    const all = list(r.decisions, 'decisions');
    need(all.every((d) => d && isText(d.about) && ['none', 'measured', 'engineer'].includes(d.kind)), 'decisions');
    const own = r.note.trim() ? all.find((d) => d.about === keyOf(r.note)) : undefined;
    return { decisions: all.filter((d) => d !== own), noteDecision: own ? own.kind : '' };
  }

  /** Where the page begins: nothing said, or all that was seen before the visit at hand. */
  function start() {
    const { marks = [], signatures = [], counts = [], plies = { gap_mm: null, alignment_mm: null } } = DATA.after || {};
    return {
      marks: readMarks(marks), signatures: readSignatures(signatures), counts,
      inspector: '', date: '', note: '', gap: plies.gap_mm, alignment: plies.alignment_mm,
      stages: readStages((DATA.after || {}).stages), shifts: [], photos: [], decisions: [], noteDecision: '',
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
