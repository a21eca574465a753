"""Random girders, records and lots; an oracle that judges no record says whether "good" is good.

From the top of a checkout: PYTHONPATH=tests/support python tests/robustness/fuzz_inspection.py 200
(or with --from 1000 for other ones, --lots 20 for lots alone). What the oracle knows: see
`inspection_oracle`. Of every case it is asked:

* accepted, or to be accepted after what is listed is done: no world of the record is objected to;
* what is listed is a nail of the schedule, or is counted; it needs no hole that nobody drills;
* done as listed, the next record is accepted; without one of the listed ones it is not;
* accepted with something missing that a signature needs: never;
* a lot with so many bad girders by the oracle as the plan rejects is never accepted.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
from collections import Counter
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import inspection_oracle as oracle
from inspection_records import record_data, sample
from random_jobs import random_girder

import girderply
from girderply.errors import JobError
from girderply.inspection.deciding import deciding_record, open_questions
from girderply.inspection.history import History
from girderply.inspection.lot_verdict import judge_records
from girderply.inspection.record import Decision, parse_record, record_hash
from girderply.inspection.sampling import sample_plan
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.contract import to_contract
from girderply.wording import english

SAMPLES = ("two-ply-howe", "two-ply-imperial", "two-ply-screwed", "three-ply-pratt",
           "truncated-nodes", "three-ply-one-face")  # fmt: skip
FAULTS = ("missing",) * 5 + ("overdriven", "wrong-size", "misplaced", "misplaced", "split", "loose")
WORLDS = 4
GAPS = (0.0, 0.0, 0.0, 1.0, 2.0, 3.0, 3.0, 3.5)
OFF = (0.0, 0.0, 1.0, 2.0, 4.0, 4.5, 5.0, 7.0)
LESS = ("inspector", "date", "gap", "alignment", "signature", "nails", "finish", "clenched")


@cache
def girder(seed):
    """A schedule that is for assembly, and its contract: every third one a sample."""
    if seed % 3 == 0:
        schedule = sample(SAMPLES[seed // 3 % len(SAMPLES)])
    else:
        try:
            schedule = build_schedule(girderply.read(random_girder(seed)))
        except JobError:
            return None
    return None if schedule.failed else (schedule, to_contract(schedule))


def told(dice, schedule):
    """A record's data: marked one by one, counted, or both; rows off; a gap; something not said."""
    states = _states(dice, schedule)
    data = record_data(schedule, states)
    if dice.random() < 0.5:
        _count(dice, schedule, data)
    if dice.random() < 0.25:
        data["shifts"] = list(_shifts(dice, schedule))
    data["plies"] = {"gap_mm": dice.choice(GAPS), "alignment_mm": dice.choice(OFF)}
    if dice.random() < 0.15:
        _leave_out(data, dice.choice(LESS), dice)
    return data


def _states(dice, schedule):
    """A stretch of one member and a few anywhere; often nothing at all."""
    names = schedule.fasteners.id.tolist()
    if dice.random() < 0.15:
        return {}
    start = dice.randrange(len(names))
    lost = names[start : start + dice.randint(1, 12)] + dice.sample(names, dice.randint(0, 4))
    states = {}
    for name in lost:
        state = dice.choice(FAULTS)
        by = dice.choice((3.0, 8.0, 9.5, 15.0, 40.0)) if state == "misplaced" else None
        states[name] = (state, by, "")
    return states


def _count(dice, schedule, data):
    """Rows that are counted instead; some of what is missing in them keeps its mark."""
    f = schedule.fasteners
    keys = dict.fromkeys(
        zip(f.member.tolist(), f.stage.tolist(), f.row.tolist(), f.kind.tolist(), strict=True)
    )
    marks = {m["id"]: m for m in data["marks"]}
    for member, stage, row, kind in keys:
        if dice.random() < 0.3:
            continue
        mask = (f.member == member) & (f.stage == stage) & (f.row == row) & (f.kind == kind)
        own = f.id[mask].tolist()
        missing = sum(marks[n]["state"] == "missing" for n in own)
        for name in own:
            keeps = marks[name]["state"] not in ("good", "missing") or (
                marks[name]["state"] == "missing" and dice.random() < 0.5
            )
            if not keeps:
                del marks[name]
        extra = dice.choice((0, 0, 0, 0, 0, 0, 0, 1, 2))
        data["counts"].append(
            {"member": member, "stage": stage, "row": row, "kind": kind, "due": len(own),
             "found": max(0, len(own) - missing - extra)}
        )  # fmt: skip
    data["marks"] = list(marks.values())


def _shifts(dice, schedule):
    f = schedule.fasteners
    keys = list(dict.fromkeys(zip(f.member.tolist(), f.stage.tolist(), strict=True)))
    for member, stage in dice.sample(keys, min(len(keys), dice.randint(1, 3))):
        yield {"member": member, "stage": stage, "row": None,
               "along_mm": float(dice.randint(-40, 40)),
               "across_mm": float(dice.choice((0, 0, 5, -8, 12, -20)))}  # fmt: skip


def _leave_out(data, what, dice):
    if what in ("inspector", "date"):
        data[what] = ""
    elif what in ("gap", "alignment"):
        data["plies"][f"{what}_mm"] = None
    elif what == "signature" and data["signatures"]:
        data["signatures"].pop(dice.randrange(len(data["signatures"])))
    elif data["stages"]:
        stage = dice.choice(data["stages"])
        stage[what if what in stage else "finish"] = {"nails": [], "clenched": None}.get(what, "")


def wrong(seed):
    """The verdict of one case, and what is said against it."""
    made = girder(seed)
    if made is None:
        return "no girder", []
    schedule, contract = made
    dice = random.Random(f"case {seed}")
    data = told(dice, schedule)
    history = History(schedule)
    found = history.take(parse_record(json.dumps(data), schedule))
    measured = False
    if found.verdict == "partial" and not found.unseen:
        questions = [q for q in open_questions(history) if q.needs == "anyone"]
        if questions:
            measured = True
            made_by = [Decision(q.key, "measured", "A. Inspector", "2026-11-26", "measured")
                       for q in questions]  # fmt: skip
            text = json.dumps(deciding_record(history, made_by))
            found = history.take(parse_record(text, schedule))
    said = []
    lacking = oracle.lacks(contract, data)
    if found.verdict == "accepted" and lacking:
        said.append(f"accepted without {', '.join(lacking)}")
    apart = data["plies"]["gap_mm"] or 0.0, data["plies"]["alignment_mm"] or 0.0
    if found.verdict in ("accepted", "add") and apart[0] > 3.0:
        said.append("accepted with a gap of more than 3 mm")
    if found.verdict in ("accepted", "add"):
        measured |= any("not anywhere within" in english(q.text) for q in found.asks)
        said += _worlds(seed, history, data, measured)
    if found.verdict == "add":
        said += _advice(dice, history, contract, data, found)
    if found.verdict not in ("accepted", "add") and not found.reasons:
        said.append("no reason is given")
    return found.verdict, [f"seed {seed}, {found.verdict}: {text}" for text in said]


def _worlds(seed, history, data, measured):
    """What stands, or will, in some girders of this record: nothing of it is objected to."""
    schedule = history.schedule
    whole = to_contract(schedule)
    moved = _moved(schedule, data)
    tolerance = schedule.rules.tolerance
    said = []
    for i, dice in enumerate(oracle.draws(seed, WORLDS)):
        made = oracle.world(whole, data, dice, tolerance)
        made = oracle.without_those_too_near(made, moved)
        made = oracle.over_a_gap(made, data["plies"]["gap_mm"])
        said += [f"world {i}: {text}" for text in oracle.objections(made)]
        hung = [x for x in made["loads"] if x["face"] != "top"]
        if hung and not measured and not data["shifts"]:
            load = dice.choice(hung)
            off = oracle.away(made, load, tolerance)
            said += [f"world {i}, all away from {load['id']}: {text}"
                     for text in oracle.objections(off, ("transfer",))]  # fmt: skip
    return said[:6]


def _moved(schedule, data):
    """Those that stand off their marks; where one keeps no distance it is none of the schedule."""
    f = schedule.fasteners
    names = {m["id"] for m in data["marks"] if m["state"] == "misplaced"}
    for s in data["shifts"]:
        mask = (f.member == s["member"]) & (f.stage == s["stage"])
        names |= set(f.id[mask].tolist())
    return names


def _advice(dice, history, contract, data, found):
    """Of what is listed: no other nail without need, no undrilled thick one, none too many."""
    names = set(found.make_good.id.tolist())
    whole = to_contract(history.schedule)
    added = [f for f in whole["fasteners"] if f["id"] in names]
    said = oracle.too_thick(whole, added)
    known = set(contract["fastener_types"])
    OTHER["advice"] += 1
    OTHER["other nail"] += any(f["spec"] not in known for f in added)
    done = [*names, *found.tighten]
    if not done:
        return said
    again = _next(history, data, done)
    complete = not oracle.lacks(contract, data)
    waits = any(q.decided is None for q in again.asks)
    if again.verdict != "accepted" and complete and not waits:
        said.append(f"done as listed, it is {again.verdict}: {again.reasons[:2]}")
    spare = [n for n, old in zip(found.make_good.id.tolist(), found.instead_of, strict=True)
             if not _for_bolt(contract, old)]  # fmt: skip
    for one in dice.sample(spare, min(2, len(spare))):
        if _next(history, data, [n for n in done if n != one], one).verdict not in (
            "add", "engineer",
        ):  # fmt: skip
            said.append(f"{one} of {len(names)} could be left out")
    return said


OTHER = Counter()


def _for_bolt(contract, old):
    return any(f["id"] == old and f["kind"] == "bolt" for f in contract["fasteners"])


def _next(history, data, good, missing=None):
    """The result of the next record: what was listed is there, but for one."""
    later = History(history.schedule, list(history.records), list(history.results),
                    history.merged, dict(history.stands_for), list(history.added))  # fmt: skip
    marks = [(n, "good") for n in good] + ([(missing, "missing")] if missing else [])
    text = record_data(history.schedule, only=[], previous=history.records[-1].hash)
    text |= {"plies": data["plies"], "signatures": [], "piece": data["piece"]}
    text["stages"] = text["stages"][-1:] if good or missing else []
    text["marks"] = [{"id": n, "state": s, "by_mm": None, "note": ""} for n, s in marks]
    return later.take(parse_record(json.dumps(text), later.schedule))


def wrong_lot(seed):
    """A lot of one girder: what was found of its pieces by the oracle against what it comes to."""
    dice = random.Random(f"lot {seed}")
    schedule, contract = girder(3 * seed)  # a sample
    size = dice.randint(2, 30)
    of_many = replace(schedule, girder=replace(schedule.girder, quantity=size))
    plan = sample_plan(size, dice.choice((1.0, 2.5, 4.0, 6.5)), mode=dice.choice(MODES))
    seed_word = f"{dice.randrange(10**6)}"
    sample_of = plan.pieces(seed_word)
    looked = [n for n in range(1, size + 1) if dice.random() < (0.7 if n in sample_of else 0.15)]
    looked = looked[:5]
    bad, paths = set(), []
    with TemporaryDirectory() as folder:
        for piece in looked:
            wanting, parts = _piece(dice, of_many, contract, piece)
            bad |= {piece} if wanting else set()
            for n, data in enumerate(parts):
                path = Path(folder) / f"{piece}-{n}.json"
                path.write_text(json.dumps(data), "utf-8")
                paths.append(path)
        dice.shuffle(paths)
        lot = judge_records(of_many, plan, paths, seed_word)
    said = []
    verdict = lot.result.verdict
    if bad - set(lot.result.nonconforming):
        said.append(f"{sorted(bad - set(lot.result.nonconforming))} were forgotten")
    if verdict == "accepted" and (len(bad) >= plan.reject or not set(sample_of) <= set(looked)):
        said.append(f"accepted with {len(bad)} bad, {len(looked)} looked at of {sample_of}")
    if verdict == "closed" and len(looked) < size:
        said.append("closed before every girder was looked at")
    if lot.settled and any(p.now.verdict != "accepted" for p in lot.pieces.values()):
        said.append("settled with a girder that is not good")
    return verdict, [f"lot {seed}, {verdict}: {text}" for text in said]


MODES = ("normal", "tightened")


def _piece(dice, schedule, contract, piece):
    """Whether the oracle finds it wanting however good the rest is, and its records.

    A bad one is told in part first, and then a record says that all is good.
    """
    signed = {"piece": piece, "plies": {"gap_mm": 0.0, "alignment_mm": 0.0}}
    whole = record_data(schedule, **signed)
    if dice.random() < 0.6:
        return False, [whole]
    f = schedule.fasteners
    chord = dice.choice([x["chord"] for x in contract["loads"] if x["face"] != "top"])
    own = f.id[(f.member == chord) & f.driven].tolist()
    gone = own[: dice.randint(1, len(own))]
    part = record_data(schedule, dict.fromkeys(gone, "missing"), only=gone, **signed)
    made = oracle.world(contract, part, dice, schedule.rules.tolerance)
    wanting = bool(oracle.objections(made, ("transfer",)))
    if dice.random() < 0.5:
        return wanting, [part]
    return wanting, [part, whole | {"previous": record_hash(part)}]


def main_lots(count, start):
    verdicts, failed = Counter(), 0
    for seed in range(start, start + count):
        verdict, said = wrong_lot(seed)
        verdicts[verdict] += 1
        failed += bool(said)
        for line in said:
            print(line, flush=True)
    print(f"{count} lots, {failed} against: {dict(verdicts)}")
    return 1 if failed else 0


def main(count, start):
    verdicts, failed = Counter(), 0
    for seed in range(start, start + count):
        verdict, said = wrong(seed)
        verdicts[verdict] += 1
        failed += bool(said)
        for line in said:
            print(line, flush=True)
        if seed % 50 == 49:
            girder.cache_clear()
    print(f"{count} cases, {failed} against: {dict(verdicts)}; {dict(OTHER)}")
    return 1 if failed else 0


if __name__ == "__main__":
    asked = argparse.ArgumentParser()
    asked.add_argument("count", type=int, nargs="?", default=200)
    asked.add_argument("--from", type=int, default=0, dest="start")
    asked.add_argument("--lots", type=int, default=0)
    given = asked.parse_args()
    if given.lots:
        sys.exit(main_lots(given.lots, given.start))
    sys.exit(main(given.count, given.start))
