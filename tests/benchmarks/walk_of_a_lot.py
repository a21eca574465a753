"""Twelve girders inspected as a lead would: four on paper, eight on a tablet; to certificates.

    PYTHONPATH=tests/support python tests/benchmarks/walk_of_a_lot.py

Done for real, by the commands and by the page in Chromium. Taps, keys and commands are counted;
seconds of the machine are measured; seconds of the person are an estimate by a keystroke-level
model: Card, Moran and Newell, The Psychology of Human-Computer Interaction (1983), from
memory: a key 0.28 s (average typist), pointing 1.10 s, hand to the keys 0.40 s, a decision
1.35 s. A tap is taken as pointing and 0.10 s, which the model of 1983 does not have. Walking,
counting nails and putting in what is missing are not in it.
"""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
import time
from base64 import b64decode
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

from browser import PORTRAIT, chromium, tablet
from inspection_records import SAMPLES, finish_due, jpeg

import girderply

KEY, TAP, HAND, DECIDE = 0.28, 1.20, 0.40, 1.35
PAPER, BAD = (1, 2, 3, 4), {7: "two nails of a row are missing", 10: "one is driven too deep"}
DAY, SEED = "2026-11-30", "HTTHHTHTHT"


class Walk:
    """What was done so far."""

    def __init__(self) -> None:
        self.done = Counter()
        self.machine = Counter()

    def person(self) -> float:
        d = self.done
        return KEY * d["keys"] + TAP * d["taps"] + HAND * d["fields"] + DECIDE * d["decisions"]

    def command(self, *words, code=0) -> str:
        """One command of the lead: its words are keys, but a file's name is completed (3 keys)."""
        typed = ["girderply", *map(str, words)]
        self.done["keys"] += sum(3 if "/" in w else len(w) for w in typed) + len(typed)
        self.done["commands"] += 1
        self.done["decisions"] += 1
        self.done["fields"] += 1
        began = time.perf_counter()
        ran = subprocess.run(
            [sys.executable, "-m", *typed], capture_output=True, text=True, check=False
        )
        self.machine["commands"] += time.perf_counter() - began
        if ran.returncode != code:
            raise SystemExit(f"{typed}: {ran.returncode}\n{ran.stdout}\n{ran.stderr}")
        return ran.stdout


class Hand:
    """A finger on the page: every tap and key is counted."""

    def __init__(self, t, walk):
        self.t, self.walk = t, walk

    def tap(self, where, decide=False):
        self.t.page.locator(where).first.tap()
        self.walk.done["taps"] += 1
        self.walk.done["decisions"] += decide

    def write(self, where, text):
        self.t.page.locator(where).first.tap()
        self.t.frames()
        self.t.page.keyboard.type(text)
        self.walk.done.update(taps=1, fields=1, decisions=1, keys=len(text))

    def photo(self, number):
        """Taking a picture: the button, the shutter, "use it"."""
        self.t.page.locator(f"#{number}").set_input_files(
            {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": PICTURE}
        )
        self.walk.done.update(taps=3, decisions=1)
        self.t.frames()


def one_girder(hand, schedule, piece):
    """Count, say what went in, sign; returns nothing, the page has it."""
    t = hand.t
    t.page.locator("#piece").select_option(str(piece))
    hand.walk.done.update(taps=2, decisions=1)
    faulty = None
    for stage in schedule.stages:
        hand.tap(f"#stages button >> nth={stage.number - 1}")
        hand.tap("#tab-counts")
        lines = t.js(
            "(s) => blind.of(s).map((l) =>"
            " [blind.lines.indexOf(l), l.due, DATA.members[l.member].id])",
            stage.number,
        )
        for k, (n, due, member) in enumerate(lines):
            short = 2 if piece == 7 and k == 1 and stage.number == 1 else 0
            if short:
                faulty = (n, member)
            if k == 0:
                t.page.locator(f"#found-{n}").tap()
                hand.walk.done["taps"] += 1
            t.page.keyboard.type(str(due - short))
            t.page.keyboard.press("Enter")
            hand.walk.done.update(keys=len(str(due)) + 1, decisions=1)
    if faulty:
        names = t.js("(n) => blind.marks(blind.lines[n]).map((i) => girder.M.id[i])", faulty[0])
        mark(hand, names[3:5], faulty[1], "missing")
    elif piece in BAD:
        names = t.js("girder.M.id.filter((id) => id.startsWith('W3-N'))")
        mark(hand, names[1:2], "W3", "overdriven")
    went_in(hand, schedule)


def mark(hand, names, member, state):
    t = hand.t
    t.page.locator("#stages button").first.tap()
    t.member(member)
    hand.tap("#walk-on")
    hand.walk.done.update(taps=2, decisions=1)
    for name in names:
        t.tap_mark(name)
        hand.walk.done.update(taps=1, decisions=1)
        hand.tap(f"#state-{state}")
        if t.page.get_by_text("A photo is asked for.").count():
            hand.photo("photo-mark")


def went_in(hand, schedule):
    t, f = hand.t, schedule.fasteners
    hand.tap("#tab-sign")
    if t.page.locator("#same-name").count():
        hand.tap("#same-name", decide=True)
    else:
        hand.write("#inspector", "T. Tablet")
    for number, value in (("#plies-gap", "0"), ("#plies-alignment", "1")):
        hand.write(number, value)
    t.page.locator("#date").fill(DAY)  # as "today" is one tap
    t.page.locator("#date").blur()
    hand.walk.done["taps"] += 1
    for stage in schedule.stages:
        n, mine = stage.number, f.stage == stage.number
        if (mine & f.driven).any():
            nail = schedule.nails[str(f.spec[mine & f.driven][0])]
            hand.write(f"#size-{n}", f"{nail.d:g} x {nail.length:g}")
        if mine.any():
            hand.write(f"#finish-{n}", finish_due(schedule, set(f.spec[mine].tolist())) or "zinc")
        if (mine & (f.kind == "bolt")).any():
            t.page.get_by_role("button", name="as drawn").first.tap()
            hand.walk.done.update(taps=1, decisions=1)
        if (mine & f.clench).any():
            hand.write(f"#clenched-{n}", str(int((mine & f.clench).sum())))
        if stage.hold_point:
            hand.photo(f"photo-{n}")
            t.type_in(f"#sign-date-{n}", DAY)
            hand.tap(f"#sign-{n}", decide=True)


def on_tablet(walk, schedule, page, folder, pieces):
    """Records of these pieces, as the page writes them."""
    found = []
    began = time.perf_counter()
    with chromium() as browser, tablet(browser, page, PORTRAIT) as t:
        for piece in pieces:
            before = walk.done.copy()
            one_girder(Hand(t, walk), schedule, piece)
            found.append(t.export(folder / f"no-{piece}.json"))
            walk.done["taps"] += 2
            said = t.page.locator("#status").inner_text()
            spent = {k: walk.done[k] - before[k] for k in ("taps", "keys", "decisions")}
            print(f"  no. {piece}: {spent}, {' '.join(said.split())[:70]}", flush=True)
    walk.machine["tablet"] += time.perf_counter() - began
    return found


def on_paper(walk, pack, piece, folder, schedule):
    """The filled tick-off table of a piece, typed at a desk from the sheet."""
    f, out = schedule.fasteners, io.StringIO()
    rows = list(csv.DictReader(io.StringIO((pack / "tick-off.csv").read_text("utf-8-sig"))))
    answers = {"inspector": "P. Paper", "date": DAY, "gap mm": "0", "alignment mm": "1",
               "signed by": "P. Paper", "signed on": DAY, "note": ""}  # fmt: skip
    for row in rows:
        row["piece"] = str(piece)
        row["found"] = row["due"] or answers.get(row["kind"], "")
        if row["kind"] == "finish" and row["stage"].isdigit():
            used = f.spec[f.stage == int(row["stage"])].tolist()
            row["found"] = finish_due(schedule, set(used)) or "zinc"
        if row["kind"] == "note" and piece == 2:
            row["found"] = "knot of 20 mm in the bottom chord of ply 2 at 1.2 m"
        walk.done.update(keys=len(row["found"]) + 1, decisions=bool(row["found"]))
    writer = csv.DictWriter(out, rows[0].keys())
    writer.writeheader()
    writer.writerows(rows)
    path = folder / f"paper-{piece}.csv"
    path.write_text(out.getvalue(), "utf-8")
    return path


PICTURE = b64decode(jpeg(1200, 900))


def main():
    walk = Walk()
    with TemporaryDirectory() as name:
        folder = Path(name)
        job = folder / "job.toml"
        text = (SAMPLES / "two-ply-howe.toml").read_text("utf-8")
        job.write_text(text.replace("quantity = 2", "quantity = 12"), "utf-8")
        schedule = girderply.schedule(girderply.read(job))
        place = folder / "delivery"
        walk.command("issue", job, "--out", place)
        (pack,) = (p.parent for p in place.glob("*/issued.txt"))
        print("on paper:")
        before = walk.done.copy()
        records = [on_paper(walk, pack, n, folder, schedule) for n in PAPER]
        print(f"  four tables: {walk.done['keys'] - before['keys']} keys")
        print("on the tablet:")
        pieces = range(PAPER[-1] + 1, 13)
        records += on_tablet(walk, schedule, pack / "tick-off.html", folder, pieces)
        walk.command("lot", job, *records, "--seed", SEED, code=1)
        told = json.loads(walk.command("lot", job, *records, "--format", "json", code=1))
        wanting = {p["piece"]: p["now"] for p in told["pieces"] if p["now"] != "accepted"}
        for p in told["pieces"]:
            print(f"  no. {p['piece']}: {p['now']} {[str(r)[:90] for r in p['reasons'][:3]]}")
        print(f"not good yet: {wanting}")
        records += mended(walk, job, folder, wanting)
        print(walk.command("accept", pack, *records, "--out", place), end="")
        print(walk.command("lot", job, *records, "--seed", SEED, "--delivery", place), end="")
        print(f"certificates: {len(list(place.glob('*accepted*.pdf')))}")
    machine = {k: round(v, 1) for k, v in walk.machine.items()}
    print(f"{dict(walk.done)}; machine {machine} s")
    print(f"person, estimated by the model: {walk.person() / 60:.1f} min; KLM, from memory")


def mended(walk, job, folder, wanting):
    """Second visits and decisions, piece by piece."""
    more = []
    for piece, now in wanting.items():
        first = folder / (f"paper-{piece}.csv" if piece in PAPER else f"no-{piece}.json")
        if now == "add":
            page = folder / f"after-{piece}.html"
            walk.command("inspect", job, first, "--format", "html", "--out", page, code=1)
            more.append(second_visit(walk, page, folder, piece))
        else:
            keys = [line[:8] for line in walk.command("decide", job, first).splitlines()]
            out = folder / f"decided-{piece}.json"
            about = [w for k in keys for w in ("--about", k)]
            walk.command("decide", job, first, *about, "--as", "none", "--name", "Q. Lead",
                         "--on", DAY, "--text", "sound, measured", "--out", out)  # fmt: skip
            more.append(out)
    return more


def second_visit(walk, page, folder, piece):
    """What was added is ticked, what went in is said."""
    began = time.perf_counter()
    with chromium() as browser, tablet(browser, page, PORTRAIT) as t:
        hand = Hand(t, walk)
        stage = t.js("DATA.stages.find((s) => s.added).number")
        hand.tap(f"#stages button >> nth={stage - 1}")
        hand.tap("#tab-mark")
        for name in t.js("(s) => girder.ofStage.get(s).map((i) => girder.M.id[i])", stage):
            t.tap_mark(name)
            hand.walk.done.update(taps=1, decisions=1)
            if t.marks().get(name) != "good":
                hand.tap("#state-good")
        hand.tap("#tab-sign")
        hand.write("#inspector", "T. Tablet")
        t.page.locator("#date").fill(DAY)
        t.page.locator("#date").blur()
        hand.walk.done["taps"] += 1
        size = t.js("(s) => girder.stage(s).sizes[0]", stage)
        if size:
            hand.write(f"#size-{stage}", f"{size['d_mm']:g} x {size['length_mm']:g}")
        hand.write(f"#finish-{stage}", "zinc")
        if t.page.locator(f"#clenched-{stage}").count():
            hand.write(f"#clenched-{stage}", str(t.js("(s) => girder.stage(s).bent", stage)))
        path = t.export(folder / f"no-{piece}-second.json")
        hand.walk.done["taps"] += 2
        said = " ".join(t.page.locator("#status").inner_text().split())
        print(f"  second visit, no. {piece}: {said}")
    walk.machine["tablet"] += time.perf_counter() - began
    return path


if __name__ == "__main__":
    main()
