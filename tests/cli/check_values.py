"""The figures in the JSON of rank, setters, systems, versus, worth, shares and fit: by arithmetic of our own
from the team file, the system file and the rally log, or by what another command answers.

The plan fixes how much each part and each rotation counts, so that every command values a lineup alike: of
the scores of the rotations, (1 - balance) times their mean and balance times the least. Where a command aims
at sets won, its sets are held to those of plan.

usage: check_values.py PROGRAM PROJECT_FOLDER TEST...
"""
import csv
import json
import math
import pathlib
import subprocess
import sys
import tempfile

BALANCE = 0.25
WEIGHTS = [3, 1, 2, 1, 1, 2]
PART_WEIGHTS = {"pass": 1, "attack": 1, "block": 0.4, "set": 0.5, "serve": 0.4, "dig": 0.4, "run": 0.05}
SHARES = [weight / sum(WEIGHTS) for weight in WEIGHTS]
PARTS = ["pass", "attack", "block", "set", "serve", "dig"]
LEVEL = "juniors"
TOLERANCE = 1e-6
HALF_A_STEP = 0.005  # raises are told in hundredths


def near(one, other, tolerance=TOLERANCE):
    return abs(one - other) <= tolerance


class Desk:
    """One team, and the program asked about it."""

    def __init__(self, program, root, folder, team="junior-12"):
        self.program, self.root, self.folder = program, pathlib.Path(root), pathlib.Path(folder)
        self.data = json.loads((self.root / f"datasets/{team}.json").read_text())
        self.data["level"] = LEVEL
        self.team = self.write("team.json", self.data)
        levels = json.loads((self.root / "datasets/rally-model.json").read_text())["levels"]
        self.block_shares = next(level["block_shares"] for level in levels if level["id"] == LEVEL)
        self.player = {player["id"]: player for player in self.data["players"]}
        self.systems = {}
        self.plan_file = self.write_plan("plan-file.json")

    def write(self, name, data):
        path = self.folder / name
        path.write_text(json.dumps(data))
        return str(path)

    def write_plan(self, name, **more):
        plan = {"format": "sixturn-plan-1", "balance": BALANCE, "rotation_weights": WEIGHTS,
                "weights": PART_WEIGHTS, **more}
        return self.write(name, plan)

    def run(self, command, *arguments):
        run = subprocess.run([self.program, command, *arguments, "--json"], capture_output=True, text=True)
        assert run.returncode == 0, (command, arguments, run.stderr)
        return json.loads(run.stdout)

    def has_goal(self, command):
        told = subprocess.run([self.program, command, "--help"], capture_output=True, text=True).stdout
        return "--goal set|score" in told

    def ask(self, command, *arguments, team=None, plan=None):
        goal = ["--goal", "score"] if self.has_goal(command) else []
        return self.run(command, team or self.team, *arguments, "--plan", plan or self.plan_file, *goal)

    def system(self, name):
        if name not in self.systems:
            self.systems[name] = json.loads((self.root / f"datasets/systems/{name}.json").read_text())
        return self.systems[name]

    def fitness(self, player, role):
        roles = self.player[player]["roles"]
        return roles.get(role, 0) if isinstance(roles, dict) else float(role in roles)

    def skill(self, player, skill):
        return self.player[player]["skills"][skill]

    def team_with(self, name, raises):
        """The team with some ratings raised, by (player, skill), to 10 at most."""
        data = json.loads(json.dumps(self.data))
        for player in data["players"]:
            for skill in player["skills"]:
                raised = player["skills"][skill] + raises.get((player["id"], skill), 0)
                player["skills"][skill] = min(10, raised)
        return self.write(name, data)


def in_front(slot, rotation):
    """A slot serves in the rotation of its number; after that and two more rotations it is in front."""
    return (rotation - slot) % 6 > 2


def own_parts(desk, lineup, rotation):
    """Block, set and serve: those parts that need no knowledge of the libero and the formation."""
    system = desk.system(lineup["system"])
    standing = [place["front" if in_front(place["slot"], rotation) else "back"] for place in lineup["order"]]
    block = 0
    for slot, player in enumerate(standing):
        if in_front(slot, rotation):
            duty = system["duties"][system["slots"][slot]]["front"]
            skill = desk.skill(player, "blocking") * desk.fitness(player, duty["role"])
            block += desk.block_shares[duty["lane"]]["value"] * skill
    setter = standing[system["setters_by_rotation"][rotation]]
    return {"block": block, "set": desk.skill(setter, "setting") * desk.fitness(setter, "setter"),
            "serve": desk.skill(standing[rotation], "serving")}


def value(scores):
    mean = sum(share * score for share, score in zip(SHARES, scores))
    return (1 - BALANCE) * mean + BALANCE * min(scores)


def expect_lineup(desk, lineup, weights):
    """What every answer says of a lineup."""
    assert near(lineup["score"], value(lineup["rotation_scores"])), lineup
    assert lineup["weak_rotation"] == 1 + lineup["rotation_scores"].index(min(lineup["rotation_scores"]))
    parts = sum(weights[part] * lineup["parts"][part] for part in PARTS)
    parts -= weights["run"] * lineup["parts"]["run"]
    mean = sum(share * score for share, score in zip(SHARES, lineup["rotation_scores"]))
    assert near(parts, mean), (lineup, parts, mean)
    for part in ["block", "set", "serve"]:
        own = sum(SHARES[r] * own_parts(desk, lineup, r)[part] for r in range(6))
        assert near(own, lineup["parts"][part]), (part, own, lineup)
    names = [place[row] for place in lineup["order"] for row in ("front", "back")]
    assert not set(names) & set(lineup["libero"])


def same_lineup(lineup, plan):
    assert near(lineup["score"], plan["score"])
    assert lineup["order"] == plan["order"] and lineup["libero"] == plan["libero"]
    assert all(near(score, rotation["score"])
               for score, rotation in zip(lineup["rotation_scores"], plan["rotations"]))


def rank(desk):
    plan, answer = desk.ask("plan"), desk.ask("rank", "--top", "6")
    orders = answer["orders"]
    assert answer["complete"] and len(orders) == 6 and [o["rank"] for o in orders] == [1, 2, 3, 4, 5, 6]
    same_lineup(orders[0], plan)
    for order in orders:
        expect_lineup(desk, order, plan["weights"])
        difference = order["difference"]
        assert order["proven"] and near(difference["score"], order["score"] - orders[0]["score"])
        for r in range(6):
            apart = order["rotation_scores"][r] - orders[0]["rotation_scores"][r]
            assert near(difference["rotations"][r], apart)
        first, here = ({p[row] for p in o["order"] for row in ("front", "back")} for o in (orders[0], order))
        told = difference["moves"]
        assert {move["player"] for move in told if move["kind"] in ("replaces", "joins")} == here - first
        assert ({move["other"] for move in told if move["kind"] == "replaces"} |
                {move["player"] for move in told if move["kind"] == "leaves"}) == first - here
    assert all(a["score"] >= b["score"] - TOLERANCE for a, b in zip(orders, orders[1:]))
    assert len({json.dumps(order["order"]) for order in orders}) == 6
    # Without a starter plan finds the first of the six in which she does not play; if she plays in all six,
    # nothing better than the sixth.
    for place in orders[0]["order"][:3]:
        sits = place["front"]
        without = desk.ask("plan", plan=desk.write_plan("sits.json", wishes={"must_sit": [sits]}))["score"]
        told = [o["score"] for o in orders if sits not in json.dumps(o["order"])]
        if told:
            assert near(without, told[0]), (sits, without, told)
        else:
            assert without <= orders[-1]["score"] + TOLERANCE, (sits, without)


def setters(desk):
    weights = desk.ask("plan")["weights"]
    answer = desk.ask("setters")
    choices = [choice for choice in answer["choices"] if choice["possible"]]
    can_set = {player for player in desk.player if desk.fitness(player, "setter") > 0}
    assert answer["complete"] and {tuple(c["setters"]) for c in choices if len(c["setters"]) == 1} == {
        (player,) for player in can_set}
    assert all(a["score"] >= b["score"] - TOLERANCE for a, b in zip(choices, choices[1:]))
    for choice in choices:
        expect_lineup(desk, choice, weights)
        system = desk.system(choice["system"])
        on_duty = set()
        for rotation, slot in enumerate(system["setters_by_rotation"]):
            place = choice["order"][slot]
            on_duty.add(place["front" if in_front(slot, rotation) else "back"])
        assert on_duty == set(choice["setters"]), choice
        # The same as plan says when the coach asks for them.
        wishes = {"must_set": choice["setters"]}
        plan = desk.ask("plan", "--system", choice["system"], plan=desk.write_plan("set.json", wishes=wishes))
        assert near(choice["score"], plan["score"]), (choice, plan["score"])


def systems(desk):
    answer = desk.ask("systems")
    allowed = json.loads((desk.root / "datasets/rules/fivb-2025.json").read_text())["substitutions"]
    assert answer["complete"]
    assert {entry["system"] for entry in answer["systems"]} == {
        path.stem for path in (desk.root / "datasets/systems").glob("*.json")}
    for entry in answer["systems"]:
        plan = desk.ask("plan", "--system", entry["system"])
        same_lineup(entry, plan)
        expect_lineup(desk, entry, plan["weights"])
        a_cycle = 2 * sum(place["front"] != place["back"] for place in entry["order"])
        told = entry["substitutions"]
        assert told["a_cycle"] == a_cycle and told["allowed_a_set"] == allowed
        assert told["cycles"] == (allowed // a_cycle if a_cycle else None), told


def versus(desk):
    files, plans = [], []
    for system in ["5-1-outside", "6-2-double"]:
        plans.append(desk.ask("plan", "--system", system))
        files.append(desk.write(f"{system}.json", plans[-1]))
    answer = desk.ask("versus", *files)
    weights, sides = plans[0]["weights"], answer["sides"]
    assert answer["balance"] == BALANCE
    for side, plan in zip(sides, plans):
        same_lineup(side, plan)
        expect_lineup(desk, side, weights)
        on_court = {}
        for rotation in plan["rotations"]:
            for spot in rotation["receive"]["spots"]:
                on_court[spot["player"]] = on_court.get(spot["player"], 0) + 1
        assert side["receptions"] == on_court
    difference = answer["difference"]
    assert near(difference["score"], plans[1]["score"] - plans[0]["score"])
    by_rotation = []
    for r in range(6):
        one, two = (plan["rotations"][r] for plan in plans)
        assert near(difference["rotations"][r], two["score"] - one["score"])
        by_rotation.append({part: weights[part] * (two["parts"][part] - one["parts"][part]) * sign
                            for part, sign in [(p, 1) for p in PARTS] + [("run", -1)]})
    for term in difference["terms"]:
        if term["part"] not in by_rotation[0]:
            continue  # connections are told apart from attack
        points = [by_rotation[r - 1][term["part"]] for r in term["rotations"]]
        if term["part"] != "attack":
            assert near(term["points"], sum(points) / len(points)), (term, points)
    for part in ["set", "serve", "block"]:
        terms = [term for term in difference["terms"] if term["part"] == part]
        told = sum(term["points"] * len(term["rotations"]) for term in terms)
        own = sum(gain[part] for gain in by_rotation)
        small = sum(abs(by_rotation[r][part]) for r in range(6)
                    if all(r + 1 not in term["rotations"] for term in terms))
        assert abs(told - own) <= small + TOLERANCE, (part, told, own)


def worth(desk):
    best = desk.ask("plan")
    answer = desk.ask("worth", "6")
    same_lineup(answer["best"], best)
    expect_lineup(desk, answer["best"], best["weights"])
    assert answer["complete"] and len(answer["players"]) == 1
    told = answer["players"][0]
    who = told["player"]
    plays = desk.write_plan("plays.json", wishes={"must_play": [who]})
    assert not told["plays"] and near(told["missing"], best["score"] - desk.ask("plan", plan=plays)["score"])

    def is_in(skills, raise_by):
        team = desk.team_with("raised.json", {(who, skill): raise_by for skill in skills})
        free, forced = desk.ask("plan", team=team)["score"], desk.ask("plan", team=team, plan=plays)["score"]
        return forced >= free - TOLERANCE

    skills = [skill for skill in told["raises"] if skill != "all"]
    for name, step in told["raises"].items():
        which = skills if name == "all" else [name]
        if step is None:
            assert not is_in(which, 10), (name, "a rating of 10 brings her in")
        else:
            assert is_in(which, step + HALF_A_STEP) and not is_in(which, step - 3 * HALF_A_STEP), (name, step)
    values = answer["points"]
    in_it = {place[row] for place in best["order"] for row in ("front", "back")} | set(best["libero"])
    assert {(v["player"], v["skill"]) for v in values} == {(p, s) for p in in_it for s in skills}
    assert all(a["gain"] >= b["gain"] - TOLERANCE for a, b in zip(values, values[1:]))
    for item in values[:6] + values[-2:]:
        team = desk.team_with("raised.json", {(item["player"], item["skill"]): item["step"]})
        assert near(item["step"], min(1, 10 - desk.skill(item["player"], item["skill"])))
        assert near(item["gain"], desk.ask("plan", team=team)["score"] - best["score"]), item


def shares(desk):
    asked = {"juna-redeker": 4, "merle-dankwart": 3, "pia-osterloh": 6}
    plan = desk.write_plan("shares.json", wishes={"min_rotations": asked})
    answer = desk.ask("plan", "--sets", "3", plan=plan)
    free = desk.ask("plan")
    points = answer["shared_out_by_points"]
    assert near(points["without_shares"], free["score"]) and "mean_sets" not in answer
    assert near(points["total"], sum(one["score"] for one in answer["sets"]))
    assert points["total"] - TOLERANCE <= points["bound"] <= 3 * free["score"] + TOLERANCE
    assert points["status"] != "optimal" or near(points["total"], points["bound"])
    got = {}
    for one in answer["sets"]:
        expect_lineup(desk, one, free["weights"])
        for place in one["order"]:
            for row in ("front", "back"):
                got[place[row]] = got.get(place[row], 0) + 3
    told = {player["player"]: player for player in answer["players"]}
    for player, share in asked.items():
        assert told[player]["share"] == share and told[player]["rotations"] >= share
        assert sum(told[player]["by_set"]) == told[player]["rotations"]
    # Six stand on court in every rotation; who is no libero stands there at most as often as her places turn up.
    assert sum(player["rotations"] for player in told.values()) == 3 * 36
    liberos = {player for one in answer["sets"] for player in one["libero"]}
    assert all(told[player]["rotations"] <= got[player] for player in got if player not in liberos)
    assert all(one["score"] <= free["score"] + TOLERANCE for one in answer["sets"])


# --- fit ---------------------------------------------------------------------------------------------------


def chi_square_above(x, freedom):
    """Of an even number of degrees of freedom: a Poisson sum, as in Abramowitz and Stegun 26.4.21."""
    assert freedom % 2 == 0
    return math.exp(-x / 2) * sum((x / 2) ** k / math.factorial(k) for k in range(freedom // 2))


def gain_of_own_rates(tallies, rates):
    """Twice the log-likelihood by which every rotation's own share of rallies won is better."""
    sum_ = 0
    for (won, played), rate in zip(tallies, rates):
        for count, chance in [(won, rate), (played - won, 1 - rate)]:
            sum_ += 2 * count * math.log(count / played / chance) if count else 0
    return sum_


def moved_together(tallies, rates):
    """On the log-odds scale, until they foretell as many rallies won as were won; by halving."""
    low, high = -20.0, 20.0
    for _ in range(200):
        middle = (low + high) / 2
        moved = [1 / (1 + math.exp(-math.log(rate / (1 - rate)) - middle)) for rate in rates]
        won = sum(played * rate for (_, played), rate in zip(tallies, moved))
        low, high = (middle, high) if won < sum(won for won, _ in tallies) else (low, middle)
    return moved


def fit(desk):
    log = desk.root / "datasets/club-16-log.csv"
    answer = desk.run("fit", desk.team, str(log))
    with open(log, newline="") as file:
        rallies = list(csv.DictReader(file))
    assert answer["rallies"] == len(rallies) and answer["sets"] == len({rally["set"] for rally in rallies})
    gain, team_gain, played_in = 0, 0, 0
    for phase in ["receive", "serve"]:
        told, tallies, ratings = answer[phase], [], []
        for r in range(6):
            here = [rally for rally in rallies if rally["we"] == phase and rally["rotation"] == str(r + 1)]
            won = sum(rally["result"] == "won" for rally in here)
            rotation = told["rotations"][r]
            assert (rotation["won"], rotation["played"]) == (won, len(here))
            # The beta-binomial mean lies between the rotation's own share and the team's rate.
            ends = sorted([won / len(here), told["team"]["rate"]])
            assert ends[0] - 0.01 <= rotation["rate"] <= ends[1] + 0.01, (phase, r, rotation)
            # As seen from K rallies at the team's rate; K is integrated out, so only about.
            weight = told["strength"]
            near_to = (weight * told["team"]["rate"] + won) / (weight + len(here))
            assert near(rotation["rate"], near_to, 0.02), (phase, r, rotation, near_to)
            assert rotation["low"] < rotation["rate"] < rotation["high"]
            tallies.append((won, len(here)))
            ratings.append(rotation["by_ratings"])
        won, played = (sum(column) for column in zip(*tallies))
        assert (told["team"]["won"], told["team"]["played"]) == (won, played)
        assert abs(told["team"]["rate"] - won / played) < 0.03
        team_gain += gain_of_own_rates(tallies, [won / played] * 6)
        gain += gain_of_own_rates(tallies, moved_together(tallies, ratings))
        played_in += len(tallies)
    check = answer["check"]
    assert near(check["team_deviance"], team_gain) and near(check["deviance"], gain), (check, team_gain, gain)
    assert check["freedom"] == played_in - 2
    assert near(check["p_value"], chi_square_above(gain, check["freedom"]))


# --- sets won, the default goal ----------------------------------------------------------------------------


def sets_won(desk):
    """The figures of the other commands are those that plan gives."""
    plan = desk.run("plan", desk.team)
    orders = desk.run("rank", desk.team, "--top", "3")["orders"]
    assert near(orders[0]["sets"], plan["sets"]) and orders[0]["order"] == plan["order"]
    for order in orders:
        assert near(order["difference"]["score"], order["sets"] - orders[0]["sets"])
        told = sum(term["share"] for term in order["difference"]["terms"])
        assert order is orders[0] or told != 0
    assert all(a["sets"] >= b["sets"] - TOLERANCE for a, b in zip(orders, orders[1:]))
    for entry in desk.run("systems", desk.team)["systems"]:
        assert near(entry["sets"], desk.run("plan", desk.team, "--system", entry["system"])["sets"]), entry
    choices = [c for c in desk.run("setters", desk.team)["choices"] if c["possible"]]
    assert all(a["sets"] >= b["sets"] - TOLERANCE for a, b in zip(choices, choices[1:]))
    answer = desk.run("worth", desk.team, "6")
    assert near(answer["best"]["sets"], plan["sets"])
    plays = desk.write("plays-sets.json", {"format": "sixturn-plan-1", "wishes": {"must_play": ["pia-osterloh"]}})
    with_her = desk.run("plan", desk.team, "--plan", plays)["sets"]
    assert near(answer["players"][0]["missing"], plan["sets"] - with_her)
    shared_sets_won(desk, plan)


def shared_sets_won(desk, plan):
    """Every set of several wins as many as the plan that asks for its playing time."""
    def asks(name, least):
        wishes = {"format": "sixturn-plan-1", "wishes": {"min_rotations": least}}
        return ["plan", desk.team, "--plan", desk.write(name, wishes)]

    least = {"merle-dankwart": 6, "enna-wohlers": 4, "pia-osterloh": 6, "ylva-sandkamp": 3}
    answer = desk.run(*asks("shared-sets.json", least), "--sets", "3")
    by_points = desk.run(*asks("shared-sets.json", least), "--sets", "3", "--goal", "score")
    assert near(answer["sets_without_shares"], plan["sets"]) and len(answer["sets"]) == 3
    assert near(answer["mean_sets"], sum(one["sets"] for one in answer["sets"]) / 3)
    assert near(answer["mean_sets"], answer["mean_sets_bound"])
    points = answer["shared_out_by_points"]
    assert near(points["total"], by_points["shared_out_by_points"]["total"])
    assert near(points["total"], sum(one["score"] for one in by_points["sets"]))
    for n, one in enumerate(answer["sets"]):
        played = {player["player"]: player["by_set"][n] for player in answer["players"] if player["share"]}
        assert near(one["sets"], desk.run(*asks(f"set-{n}.json", played))["sets"]), (n, played)
    for player in answer["players"]:
        assert player["rotations"] >= player["share"] == least.get(player["player"], 0)


TESTS = {test.__name__: test for test in (rank, setters, systems, versus, worth, shares, fit, sets_won)}

if __name__ == "__main__":
    program, root = sys.argv[1:3]
    for name in sys.argv[3:] or TESTS:
        with tempfile.TemporaryDirectory() as folder:
            TESTS[name](Desk(program, root, folder))
