// What the inspector has said so far. Each state is a value that is never changed, so that
// undo is a step back in a list.

const state = (() => {
  const EMPTY = record.start();
  const BEFORE = DATA.after && { hash: DATA.after.record, previous: DATA.after.previous, body: null };
  const LONGEST = 300;
  let now = EMPTY;
  let past = [];
  let future = [];
  let piece = 1;
  let lastName = ''; // of the girder before this one: offered, never taken over
  let exported = null; // {hash, body}: of the last record that was written or read
  let listener = () => {};

  const body = () => record.canonical({ ...record.make(now, piece, null), previous: null });

  /** The record to write: a new link in the chain only where something has changed since. */
  function current() {
    if (exported && exported.body === sha256(body())) {
      return record.make(now, piece, exported.previous);
    }
    return record.make(now, piece, exported ? exported.hash : null);
  }

  function keep() {
    store.save(piece, record.make(now, piece, null), exported);
    listener();
  }

  function set(next, words) {
    past.push({ state: now, words });
    if (past.length > LONGEST) past.shift();
    future = [];
    now = next;
    keep();
  }

  /** Says the same of several marks at once, as one step. */
  function mark(indices, value, words) {
    const marks = new Map(now.marks);
    for (const i of indices) {
      if (value === null) marks.delete(i);
      else marks.set(i, { state: value, by: null, note: marks.has(i) ? marks.get(i).note : '' });
    }
    set({ ...now, marks }, words);
  }

  /** Changes how far a mark is off, or its note. */
  function detail(i, change, words) {
    const marks = new Map(now.marks);
    marks.set(i, { ...marks.get(i), ...change });
    set({ ...now, marks }, words);
  }

  function sign(stage, name, date) {
    const signatures = new Map(now.signatures);
    if (name === null) signatures.delete(stage);
    else signatures.set(stage, { name, date });
    set({ ...now, signatures }, say('stage', { n: stage }));
  }

  /** Says what was seen of a stage besides its counts. */
  function stage(n, change) {
    const stages = new Map(now.stages);
    const none = { nails: [], finish: '', washers: null, clenched: null };
    stages.set(n, { ...none, ...stages.get(n), ...change });
    set({ ...now, stages }, say('stage', { n }));
  }

  const field = (name, value, words) => { if (now[name] !== value) set({ ...now, [name]: value }, words); };

  function step(from, to) {
    if (!from.length) return null;
    const { state: other, words } = from.pop();
    to.push({ state: now, words });
    now = other;
    keep();
    return words;
  }

  /** Takes the piece's own state from the browser, or an empty one. */
  function open(n) {
    lastName = now.inspector.trim() || lastName;
    piece = n;
    [past, future] = [[], []];
    const kept = store.load(n);
    now = kept ? kept.state : EMPTY;
    exported = kept && kept.exported ? kept.exported : BEFORE;
    listener();
  }

  function noteExport(rec) {
    exported = { hash: record.hash(rec), previous: rec.previous, body: sha256(body()) };
    keep();
  }

  /** Takes in a record that was read; one step, so that undo brings back what was there. */
  function adopt(found, rec) {
    if (found.piece !== piece) open(found.piece);
    set(found.state, say('import'));
    noteExport(rec);
  }

  return {
    get now() { return now; },
    get piece() { return piece; },
    get lastName() { return lastName; },
    get unsaved() { return past.length > 0 && !(exported && exported.body === sha256(body())); },
    get canUndo() { return past.length > 0; },
    get canRedo() { return future.length > 0; },
    undo: () => step(past, future),
    redo: () => step(future, past),
    clear: () => set(EMPTY, say('wipe')),
    listen: (f) => { listener = f; },
    mark, detail, sign, stage, field, open, current, noteExport, adopt,
  };
})();

const tally = (() => {
  let counts = null; // for which `ofGroup` holds
  let ofGroup = [];

  /** Whether a count is of these marks; bolts and what was added are one group, whatever the row. */
  const covers = (c, g) => c.stage === g.stage && c.kind === g.kind && c.member === DATA.members[g.member].id
    && (c.row === null || c.row === g.row || g.row === 0 || g.added);

  /** The counts that stand in the record for a group of marks: all of it, or none. */
  function counted(group) {
    if (counts !== state.now.counts) {
      counts = state.now.counts;
      ofGroup = DATA.groups.map((g, k) => {
        const found = counts.filter((c) => covers(c, g));
        return found.reduce((n, c) => n + c.due, 0) >= girder.ofGroup[k].length ? found : [];
      });
    }
    return ofGroup[group];
  }

  /** {due, good, faults, open, short}: what was counted is not open, and may be short of its due. */
  function of(indices) {
    const t = { due: indices.length, good: 0, faults: 0, open: 0 };
    const lines = new Set();
    for (const i of indices) {
      const m = state.now.marks.get(i);
      if (m) t[m.state === 'good' ? 'good' : 'faults'] += 1;
      else if (!counted(girder.M.group[i]).length) t.open += 1;
      else counted(girder.M.group[i]).forEach((c) => lines.add(c));
    }
    t.short = [...lines].reduce((n, c) => n + Math.max(0, c.due - c.found), 0);
    return t;
  }

  const all = () => of(Array.from({ length: girder.count }, (_, i) => i));

  /** Marks that are called misplaced without saying how far. */
  const unsaid = () => [...state.now.marks].filter(([, m]) => m.state === 'misplaced' && m.by === null).map(([i]) => i);

  /** What still keeps the inspection from being whole, in words. */
  function open() {
    const s = state.now;
    const what = [];
    for (const stage of DATA.stages) {
      if (stage.hold_point && !s.signatures.has(stage.number)) what.push(say('open_sign', { n: stage.number }));
    }
    for (const stage of DATA.stages) {
      if (stage.hold_point && photos.asked(`stage ${stage.number}`)) what.push(say('open_photo', { n: stage.number }));
    }
    for (const i of photos.unseen()) what.push(say('open_photo_of', { id: girder.M.id[i] }));
    const far = unsaid();
    if (far.length) what.push(say('open_by', { id: girder.M.id[far[0]] }));
    for (const stage of DATA.stages) {
      const seen = s.stages.get(stage.number) || { nails: [], finish: '', washers: null, clenched: null };
      if (stage.sizes.length && !seen.nails.length) what.push(say('open_size', { n: stage.number }));
      if ((stage.sizes.length || stage.bolts) && !seen.finish) what.push(say('open_finish', { n: stage.number }));
      if (stage.bolts && seen.washers === null) what.push(say('open_washers', { n: stage.number }));
      if (stage.bent && seen.clenched === null) what.push(say('open_clenched', { n: stage.number }));
    }
    if (s.note.trim() && !s.noteDecision) what.push(say('open_note'));
    if (s.gap === null) what.push(say('open_gap'));
    if (s.alignment === null) what.push(say('open_alignment'));
    if (!s.inspector.trim()) what.push(say('open_inspector'));
    if (!s.date) what.push(say('open_date'));
    return what;
  }

  /** {partial, head, tail}: how far the inspection is. It is never called a pass here. */
  function status() {
    const t = all();
    const missing = open();
    const partial = t.open > 0 || missing.length > 0;
    const p = blind.progress(null);
    const tail = [p.known ? say('partial_looked', { n: t.due - t.open, all: t.due }) : say('rows_counted', { n: p.done, all: p.all })];
    if (t.faults) tail.push(t.faults === 1 ? say('with_fault') : say('with_faults', { n: t.faults }));
    if (t.short) tail.push(say('counted_short', { n: t.short }));
    if (!t.faults && !t.short && !partial) tail.push(say('without_faults'));
    if (!t.open && missing.length) tail.push(say('partial_open', { what: missing.join(', ') }));
    return { partial, faults: t.faults, head: say(partial ? 'partial' : 'complete'), tail: tail.join(SEMICOLON) };
  }

  return { of, all, open, unsaid, status, counted };
})();
