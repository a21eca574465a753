// The girder's marks as columns with what is derived from them once.

const girder = (() => {
  const M = DATA.marks;
  const count = M.id.length;
  const group = (i) => DATA.groups[M.group[i]];
  const index = new Map(M.id.map((id, i) => [id, i]));
  const stages = DATA.stages.map((s) => s.number);
  const ofStage = new Map(stages.map((n) => [n, []]));
  const ofGroup = DATA.groups.map(() => []);
  for (let i = 0; i < count; i += 1) {
    ofStage.get(group(i).stage).push(i);
    ofGroup[M.group[i]].push(i);
  }

  /** Marks of one member in one stage. */
  const ofMember = (stage, member) =>
    ofStage.get(stage).filter((i) => group(i).member === member);

  /** Places of members that have marks in a stage, in the girder's order. */
  const membersIn = (stage) =>
    DATA.members.map((_, k) => k).filter((k) => ofMember(stage, k).length);

  function where(g) {
    if (g.added) return say('to_add');
    if (g.row === 0) return say('beside_joints');
    return g.only ? say('one_row') : say('row', { n: g.row });
  }

  /** Member and row of a group of marks, in words. */
  const groupWords = (k) => {
    const g = DATA.groups[k];
    const what = g.row === 0 || g.added ? `${say(`${g.kind}s`)} ` : '';
    return `${DATA.members[g.member].id}, ${what}${where(g)}`;
  };

  const stage = (number) => DATA.stages.find((s) => s.number === number);

  /** Name of a stage in words. */
  const stageWords = (s) => say(s.added ? 'stage_added' : 'stage', { n: s.number });

  /** Girders of this mark that the page is for. */
  const pieces = DATA.after ? [DATA.after.piece] : Array.from({ length: DATA.quantity }, (_, k) => k + 1);

  return { M, count, group, index, ofStage, ofGroup, ofMember, membersIn, where, groupWords, stage, stageWords, pieces };
})();
