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

/** One rotation as the coach keeps it, by shirt number: metres from the left side line and the net. */
export interface KeptFormation {
  rotation: number;
  spots: { player: string; x: number; y: number; passer?: boolean }[];
}

export type Presence = "here" | "late" | "hurt" | "away";

/** Everything that the page keeps: what the files hold, and who is here tonight. */
export interface Doc {
  team: Team | null;
  plan: Plan;
  tonight: Record<string, Presence>;
  /** Spots that were moved by hand, by rotation 1 to 6 and player id. */
  mine: Record<string, Record<string, { x: number; y: number }>>;
}

export const emptyDoc = (): Doc => ({
  team: null,
  plan: { format: "sixturn-plan-1" },
  tonight: {},
  mine: {},
});

export function presence(doc: Doc, id: string): Presence {
  return doc.tonight[id] ?? "here";
}

/** Ids that are planned without tonight. */
export function out(doc: Doc): string[] {
  return (doc.team?.players ?? []).filter((p) => presence(doc, p.id) !== "here").map((p) => p.id);
}

export function rolesOf(player: Player): Role[] {
  if (Array.isArray(player.roles)) return player.roles;
  const roles = player.roles;
  return ROLES.filter((role) => (roles[role] ?? 0) > 0);
}

export function playerOf(doc: Doc, id: string | null | undefined): Player | undefined {
  return doc.team?.players.find((p) => p.id === id);
}
