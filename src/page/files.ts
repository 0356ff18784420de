// The files that page and command line share, as types; and the page's own document around them.

export const ROLES = ["setter", "outside", "middle", "opposite", "libero", "specialist"] as const;
export const SKILLS = ["passing", "setting", "attacking", "blocking", "serving", "digging"] as const;
export type Role = (typeof ROLES)[number];
export type Skill = (typeof SKILLS)[number];

export interface Player {
  id: string;
  name: string;
  number: number;
  roles: Role[] | Partial<Record<Role, number>>;
  skills: Record<Skill, number>;
  available?: boolean;
  attacks_from?: string[];
  estimated?: string[];
}

export interface Team {
  format: string;
  name: string;
  rules?: string;
  level?: string;
  players: Player[];
  connections?: { setter: string | number; hitter: string | number; bonus: number }[];
  [other: string]: unknown;
}

export type Who = string | number;

export interface Wishes {
  [wish: string]: unknown;
}

export interface Plan {
  format: string;
  system?: string;
  rules?: string;
  passers?: number | number[];
  start_rotation?: number;
  wishes?: Wishes;
  formations?: KeptFormation[];
  [other: string]: unknown;
}

/** One rotation as the coach keeps it in her plan, by position: it holds for whoever fills the place. */
export interface KeptFormation {
  rotation: number;
  spots?: KeptSpot[]; // the whole formation at their serve
  wishes?: KeptSpot[]; // or what must hold in it
  server_x?: number;
  [other: string]: unknown;
}

export interface KeptSpot {
  position?: number;
  player?: Who;
  x?: number;
  y?: number;
  passes?: boolean;
  attacks_from?: string;
}

export type Phase = "receive" | "serve";

/** Metres from the left side line and from the net. */
export interface Place {
  x: number;
  y: number;
}

export type Presence = "here" | "late" | "hurt" | "away";

/** Everything that the page keeps: what the files hold, and who is here tonight. */
export interface Doc {
  team: Team | null;
  plan: Plan;
  tonight: Record<string, Presence>;
  /** Spots that were moved by hand, by "ROTATION-PHASE" and player id. */
  mine: Record<string, Record<string, Place>>;
  /** Those of `mine` that count: they are printed and saved. */
  kept: string[];
  /** Substitutions that are tried out while no set is played. */
  made: Swap[];
  match: Match;
  /** The other team, a file's text as it stands; without it an even side. */
  opponent?: string;
  /** The team that came with the file, as its text: it is taken once. */
  given?: string;
}

export interface Swap {
  out: string;
  in: string;
}

export type SetEvent = { won: "we" | "they" } | { swap: Swap };

/** A set from its first service on. */
export interface PlayedSet {
  rotation: number;
  serve: boolean; // we serve first
  theirs: number | null; // their rotation at the first service, if somebody saw it
  deciding: boolean;
  events: SetEvent[];
  /** Team, plan and options as they were then; the lineup on court does not change with later edits. */
  asked: object;
}

/** Rates as fit writes them. */
export interface Rates {
  format: string;
  [other: string]: unknown;
}

/** The day: sets that are over, the one that is played, and what the log says of us. */
export interface Match {
  sets: PlayedSet[];
  now: PlayedSet | null;
  rates: Rates | null;
  useRates: boolean;
}

export const spotKey = (rotation: number, phase: Phase): string => `${rotation}-${phase}`;

/** Is this rotation kept, by the plan or (at our serve) by the page? */
export function isKept(doc: Doc, rotation: number, phase: Phase): boolean {
  const key = spotKey(rotation, phase);
  const inPlan = phase === "receive" && (doc.plan.formations ?? []).some((f) => f.rotation === rotation && f.spots);
  return doc.kept.includes(key) || (inPlan && !doc.mine[key]);
}

export const emptyDoc = (): Doc => ({
  team: null,
  plan: { format: "sixturn-plan-1" },
  tonight: {},
  mine: {},
  kept: [],
  made: [],
  match: { sets: [], now: null, rates: null, useRates: true },
});

export function presence(doc: Doc, id: string): Presence {
  return doc.tonight[id] ?? "here";
}

/** Ids that are planned without tonight. */
export function out(doc: Doc, withLate = false): string[] {
  return (doc.team?.players ?? [])
    .filter((p) => presence(doc, p.id) !== "here" && !(withLate && presence(doc, p.id) === "late"))
    .map((p) => p.id);
}

export function late(doc: Doc): Player[] {
  return (doc.team?.players ?? []).filter((p) => presence(doc, p.id) === "late" && p.available !== false);
}

export function rolesOf(player: Player): Role[] {
  if (Array.isArray(player.roles)) return player.roles;
  const roles = player.roles;
  return ROLES.filter((role) => (roles[role] ?? 0) > 0);
}

export function playerOf(doc: Doc, id: string | null | undefined): Player | undefined {
  return doc.team?.players.find((p) => p.id === id);
}
