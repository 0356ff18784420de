"""What goes through the door is what its schemas say: request, answer, and the answer's inside by the
question. A request that its schema refuses is refused by the door too.

usage: check_door.py DOOR PROJECT_FOLDER [SIXTURN]
"none" for the program: its drawings are left out. Without it: only what a door without drawings says.
"""
import copy
import json
import pathlib
import subprocess
import sys
import tempfile

import schemas

door, project, program = sys.argv[1], pathlib.Path(sys.argv[2]), sys.argv[3] if len(sys.argv) > 3 else None
folder = project / "datasets/schema"
team = json.loads((project / "datasets/junior-12.json").read_text())
formation = json.loads((project / "datasets/junior-12-formations.json").read_text())
log = (project / "datasets/club-16-log.csv").read_text()
head = "No.\tName\tRoles\tpassing\tsetting\tattacking\tblocking\tserving\tdigging\n"
sheet = head + "".join(f"{k}\tPlayer {k}\t{role}\t5\t5\t5\t5\t5\t5\n"
                       for k, role in enumerate("S OH OH MB MB OPP L".split(), 1))
wrong = []


def ask(**members):
    request = {"format": "sixturn-request-1", **members}
    run = subprocess.run([door], input=json.dumps(request), capture_output=True, text=True, check=True)
    return request, json.loads(run.stdout)


def hold(status, **members):
    request, answer = ask(**members)
    wrong.extend(f"{members['question']}: request: {f}" for f in schemas.faults(folder / "request.json", request))
    wrong.extend(f"{members['question']}: answer: {f}" for f in schemas.faults(folder / "answer.json", answer))
    assert answer["status"] == status, (members["question"], answer)
    if "answer" in answer:
        told = {"sheet": "plan", "report": "plan"}.get(members["question"], members["question"])
        inside = folder / f"answers/{told}.json"
        wrong.extend(f"{members['question']}: inside: {f}" for f in schemas.faults(inside, answer["answer"]))
    return answer


if not program:
    for question in "sheet", "report":
        told = hold("usage", question=question, team=team)
        assert "file" not in told and "built without drawings" in told["error"]["text"], told
    print("\n".join(wrong))
    sys.exit(bool(wrong))

for question in "plan", "odds", "rank", "setters", "systems":
    hold("done", question=question, team=team, want_text=True, options={"passers": 3, "out": [7]})
hold("done", question="absent", team=team, options={"players": [1]})
hold("done", question="check", formation=formation)
hold("done", question="mend", formation=json.dumps(formation), options={"fewest": True, "lock": []})
club = json.loads((project / "datasets/club-16.json").read_text())
fitted = hold("done", question="fit", team=club, log=log, want_file=True)
wrong.extend(f"the file of fit: {f}" for f in schemas.faults(folder / "rates.json", fitted["file"]))
measured = hold("done", question="odds", team=club, rates=fitted["file"])  # it goes straight back in
assert measured["answer"]["win"] != hold("done", question="odds", team=club)["answer"]["win"]
mended = hold("done", question="mend", formation=formation, want_file=True)["file"]
assert hold("done", question="check", formation=mended)["answer"]["legal"]
hold("usage", question="plan", team=team, want_file=True)
# Drawings are those that the program writes.
with tempfile.TemporaryDirectory() as room:
    for question, name, options, words in [
            ("sheet", "a.svg", {"phase": "serve", "paper": "letter"}, "--phase serve --paper letter"),
            ("sheet", "b.svg", {"cards": True}, "--cards"),
            ("sheet", "c.svg", {"for": 7, "sets": 2, "set": 2}, "--for 7 --sets 2 --set 2"),
            ("sheet", "d.svg", {"rotation": 6}, "--rotation 6"),
            ("report", "e.html", {"brief": True, "phase": "receive"}, "--brief --phase receive"),
            ("report", "f.html", {}, "")] if program != "none" else []:
        drawn = hold("done", question=question, team=team, options=options)
        file = pathlib.Path(room) / name
        subprocess.run([program, question, project / "datasets/junior-12.json", "-o", file, *words.split()], check=True)
        assert drawn["file"] == file.read_text(), (question, options)
for options in () if program == "none" else ({"cards": True, "for": 7}, {"cards": True, "rotation": 1}, {"sets": 2, "set": 3}, {"for": 99}):
    assert "file" not in hold("usage", question="sheet", team=team, options=options)
hold("done", question="bench", team=team, swap={"out": 1, "in": "pia-osterloh"}, made=[])
for start in 1, 4:  # who began decides who may come in
    plans = {"format": "sixturn-plan-1", "system": "6-2-double"}
    moment = hold("done", question="moment", team=team, plan=plans, moment={"rotation": start, "started": start})["answer"]
    own = moment["exchanges"][moment["own"]["exchange"]]
    for leaves, comes, allowed in (own["out"][0], own["in"][0], True), (own["in"][0], own["out"][0], False):
        verdict = hold("done", question="bench", team=team, plan=plans, swap={"out": leaves, "in": comes}, moment={"started": start})
        assert verdict["answer"]["allowed"] == allowed, (start, leaves, verdict)
hold("done", question="moment", team=team, want_text=True,
     moment={"score": "14-17", "rotation": 3, "serving": "us", "their_rotation": 1, "used": 4, "deciding": False,
             "consider": ["4:10", "1:8+7:6"], "made": ["9:12"], "back": [], "card": True})
hold("done", question="receive", team=team, want_text=True, options={"rotation": 1, "top": 2, "keep": 1},
     formation_terms=(project / "datasets/formation-terms.json").read_text())
hold("usage", question="receive", team=team, options={"top": 21})
hold("usage", question="moment", team=team, moment={"score": "14-17"})
for question in "moment", "odds":
    assert hold("done", question=question, team=team, log="3 receive wlwwl lwlll 4-6")["answer"]["measured"]
hold("bad-input", question="moment", team=team, log="3 receive wlwwl lwlll 4-7")
hold("done", question="import", sheet=sheet, options={"strict": True})
hold("bad-input", question="import", sheet=sheet.replace("OPP", "goalkeeper"))
hold("no", question="plan", team=team, options={"out": [1, 6]})

# Every member left out or given a strange value: whatever the schema refuses the door refuses.
good = {"format": "sixturn-request-1", "question": "bench", "team": team, "swap": {"out": 1, "in": 6},
        "made": [{"out": 1, "in": 6}], "options": {"passers": 3, "start": 1, "out": [7], "goal": "set"}}
valid = schemas.validator(folder / "request.json")
refused = 0
for path in (), ("swap",), ("made", 0), ("options",):
    for key in ["no-such-member", *(good if not path else ["out", "in", "passers", "start", "goal"])]:
        changed = copy.deepcopy(good)
        place = changed
        for step in path:
            place = place[step]
        place[key] = ["strange"] if key != "out" or path != ("options",) else 3
        if not valid.is_valid(changed):
            refused += 1
            _, answer = ask(**changed)
            if answer["status"] != "bad-input":
                wrong.append(f"the schema refuses {path} {key}, the door does not")
assert refused > 15, refused
print("\n".join(wrong))
sys.exit(bool(wrong))
