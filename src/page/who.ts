// Players come and go, and change numbers: what the plan and the team say of them goes along.
import type { Doc, KeptFormation, Plan, Player, Role, Team, Who, Wishes } from "./files";
import { SKILLS } from "./files";

const MIDDLING = 5; // of 0 to 10, until somebody rates her

/** Does this name the player, by id or shirt number? */
export function means(who: unknown, player: Player): boolean {
  return who === player.id || String(who).replace("#", "") === String(player.number);
}

const entries = (wishes: Wishes, kind: string): unknown[] => (wishes[kind] as unknown[] | undefined) ?? [];

/** Of a wish that lists players: is she among them, by id or number? */
export const wishesOf = (wishes: Wishes, kind: string, player: Player): boolean => entries(wishes, kind).some((who) => means(who, player));

export function withoutWish(wishes: Wishes, kind: string, player: Player): Wishes {
  const { [kind]: _, ...rest } = wishes;
  const left = entries(wishes, kind).filter((who) => !means(who, player));
  return left.length ? { ...rest, [kind]: left } : rest;
}

export const withOne = (wishes: Wishes, kind: string, player: Player): Wishes =>
  wishesOf(wishes, kind, player) ? wishes : { ...wishes, [kind]: [...entries(wishes, kind), player.id] };

/** The wishes with every name changed; null drops what names her. */
function renamed(wishes: Wishes, name: (who: Who) => Who | null): Wishes {
  const next: Wishes = {};
  for (const [kind, wish] of Object.entries(wishes)) {
    if (Array.isArray(wish)) {
      next[kind] = wish
        .map((entry: unknown) => {
          if (Array.isArray(entry)) {
            const two = entry.map((who) => name(who as Who));
            return two.includes(null) ? null : two;
          }
          if (entry && typeof entry === "object") {
            const player = name((entry as { player: Who }).player);
            return player === null ? null : { ...entry, player };
          }
          return name(entry as Who);
        })
        .filter((entry) => entry !== null);
    } else if (wish && typeof wish === "object") {
      next[kind] = Object.fromEntries(
        Object.entries(wish).map(([who, value]) => [name(who), value] as const).filter(([who]) => who !== null),
      );
    } else {
      next[kind] = wish;
    }
  }
  return next;
}

function planWith(plan: Plan, name: (who: Who) => Who | null): Plan {
  const keep = (f: KeptFormation): KeptFormation | null => {
    const named = (spots: KeptFormation["spots"]) =>
      spots?.map((s) => (s.player === undefined ? s : { ...s, player: name(s.player) })).filter((s) => s.player !== null);
    const spots = named(f.spots);
    const wishes = named(f.wishes);
    if (spots && spots.length < f.spots!.length) return null; // a formation of five is none
    return { ...f, ...(spots ? { spots } : {}), ...(wishes ? { wishes } : {}) } as KeptFormation;
  };
  return {
    ...plan,
    ...(plan.wishes ? { wishes: renamed(plan.wishes, name) } : {}),
    ...(plan.formations ? { formations: plan.formations.map(keep).filter((f): f is KeptFormation => f !== null) } : {}),
  };
}

export function withoutPlayer(doc: Doc, player: Player): Doc {
  const team = doc.team!;
  const connections = team.connections?.filter((c) => !means(c.setter, player) && !means(c.hitter, player));
  const { [player.id]: _, ...tonight } = doc.tonight;
  return {
    ...doc,
    team: { ...team, players: team.players.filter((p) => p.id !== player.id), ...(connections ? { connections } : {}) },
    plan: planWith(doc.plan, (who) => (means(who, player) ? null : who)),
    tonight,
    made: doc.made.filter((swap) => swap.in !== player.id && swap.out !== player.id),
  };
}

/** Her new number; whatever named her by the old one names her by id from now on. */
export function renumbered(doc: Doc, player: Player, number: number): Doc {
  const team = doc.team!;
  const name = (who: Who): Who => (means(who, player) ? player.id : who);
  return {
    ...doc,
    team: {
      ...team,
      players: team.players.map((p) => (p.id === player.id ? { ...p, number } : p)),
      ...(team.connections
        ? { connections: team.connections.map((c) => ({ ...c, setter: name(c.setter), hitter: name(c.hitter) })) }
        : {}),
    },
    plan: planWith(doc.plan, name),
  };
}

export const withTeam = (doc: Doc, make: (team: Team) => Team): Doc => (doc.team ? { ...doc, team: make(doc.team) } : doc);

export function withPlayer(team: Team, number: number, name: string, role: Role): Team {
  const plain = name.normalize("NFD").toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 40) || "player";
  const taken = new Set(team.players.map((p) => p.id));
  let id = plain;
  for (let k = 2; taken.has(id) || /^\d+$/.test(id); k++) id = `${plain}-${k}`;
  const skills = Object.fromEntries(SKILLS.map((skill) => [skill, MIDDLING])) as Player["skills"];
  return { ...team, players: [...team.players, { id, name, number, roles: [role], skills, estimated: [...SKILLS] }] };
}
