// Counting without knowing: what is due of a row is shown when somebody has said what is there.
// A line is what one number is asked for: a row of a member in a stage, or its bolts.

const blind = (() => {
  const lines = [];
  const ofGroup = []; // group -> its line, or null where nothing is hidden
  const named = new Map();
  DATA.groups.forEach((g, k) => {
    const key = [g.stage, g.member, g.kind, g.row].join('/');
    if (!named.has(key)) {
      named.set(key, { stage: g.stage, member: g.member, kind: g.kind, row: g.row || null, groups: [], due: 0, added: g.added });
      lines.push(named.get(key));
    }
    const line = named.get(key);
    line.groups.push(k);
    line.due += girder.ofGroup[k].length;
    ofGroup.push(line);
  });

  const marks = (line) => line.groups.flatMap((k) => girder.ofGroup[k]);

  /** What was counted of a line, or null. */
  const counted = (line) => tally.counted(line.groups[0])[0] || null;

  /** Whether what is due there may be seen. */
  const known = (line) => !DATA.blind || line.added || counted(line) !== null
    || marks(line).some((i) => state.now.marks.has(i));
  const knownMark = (i) => known(ofGroup[girder.M.group[i]]);

  /** Lines of a stage, of one member of it where one is given. */
  const of = (stage, member = null) =>
    lines.filter((l) => (stage === null || l.stage === stage) && (member === null || l.member === member));

  /** {done, all, known}: lines that nothing is hidden of. */
  function progress(stage, member = null) {
    const own = of(stage, member);
    const done = own.filter(known).length;
    return { done, all: own.length, known: done === own.length };
  }

  const words = (line) => girder.groupWords(line.groups[0]);

  /** Writes what was found; null takes it back. */
  function count(line, found) {
    const member = DATA.members[line.member].id;
    const old = counted(line);
    const rest = state.now.counts.filter((c) => c !== old);
    const row = line.row;
    const own = { member, stage: line.stage, row, kind: line.kind, due: line.due, found };
    state.field('counts', found === null ? rest : [...rest, own], words(line));
  }

  return { lines, of, known, knownMark, progress, counted, count, words, marks };
})();
