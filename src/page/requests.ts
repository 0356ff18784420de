// What the page asks of the engine, from the document.
import { type Doc, type Phase, type Place, type Player, type Swap, out, presence, spotKey } from "./files";

/** Spots by position 1 to 6, as the engine gives them. */
export interface Spot {
  position: number;
  player: string;
  x: number;
  y: number;
  passer?: boolean;
  run?: number;
  late?: boolean;
}

interface Formation {
  spots: Spot[];
  passers?: string[];
  margin?: number | null;
  runs_meet?: [string, string][];
}

export interface RotationAnswer {
  rotation: number;
  score: number;
  weight?: number;
  libero: string | null;
  libero_for: string | null;
  libero_serves?: boolean;
  parts: Record<string, number>;
  receive: Formation;
  serve: Formation;
}

export interface PlanAnswer {
  status: string;
  system: string;
  rules: string;
  start_rotation: number;
  sets: number; // of 100 that it wins
  against: string; // whom
  best_start?: { receiving: number; serving: number };
  order: { slot: number; front: string; back: string }[];
  libero: string[];
  rotations: RotationAnswer[];
  substitutions: {
    planned: { cycle: number; rotation: number; out: string; in: string }[];
    /** With whom to play on when no more of them are made. */
    after_the_limit?: { substitutions_made: number; system: string; order: string[] };
  };
  [other: string]: unknown;
}

export interface OddsAnswer {
  win: number;
  opponent: string | null; // null: an even one
  start: { receive: number; serve: number };
  set: Record<"receive" | "serve", { best_reply?: number[] | null }>;
  [other: string]: unknown;
}

export interface BenchAnswer {
  out: string;
  in: string;
  allowed: boolean;
  reason: string;
  left: number | null;
  may_return: { player: string; for: string }[];
  sets_of_100: { before: number; after?: number; no_value?: string };
}

export function base(doc: Doc, withLate = false): object {
  const { opponent } = doc;
  return { team: doc.team, plan: doc.plan, ...(opponent === undefined ? {} : { opponent }), options: { out: out(doc, withLate) } };
}

export const askPlan = (doc: Doc, withLate = false): object => ({ question: "plan", ...base(doc, withLate) });
export const askOdds = (doc: Doc, withLate = false): object => ({ question: "odds", ...base(doc, withLate) });

/** The same without what the coach wishes and keeps. */
export function unwished(doc: Doc): Doc {
  const { wishes: _, formations: __, ...rest } = doc.plan;
  return { ...doc, plan: rest };
}

export function hasWishes(doc: Doc): boolean {
  return (doc.plan.formations?.length ?? 0) > 0 || Object.values(doc.plan.wishes ?? {}).some((wish) =>
    Array.isArray(wish) ? wish.length > 0 : wish !== undefined && wish !== null && JSON.stringify(wish) !== "{}",
  );
}

/** The weakest rotation, 1 to 6. */
export function weak(plan: PlanAnswer): number {
  return plan.rotations.reduce((low, r) => (r.score < low.score ? r : low)).rotation;
}

/** Metres run from reception to the first task, all six rotations. */
export function runs(plan: PlanAnswer): number {
  return plan.rotations.reduce((sum, r) => sum + r.receive.spots.reduce((own, s) => own + (s.run ?? 0), 0), 0);
}

export function inLineup(plan: PlanAnswer): Set<string> {
  return new Set([...plan.order.flatMap((place) => [place.front, place.back]), ...plan.libero]);
}

/** Who sits on the bench tonight, in the team's order. */
export function benchOf(doc: Doc, plan: PlanAnswer): Player[] {
  const playing = inLineup(plan);
  return (doc.team?.players ?? []).filter((p) => !playing.has(p.id) && p.available !== false && presence(doc, p.id) === "here");
}

/** The lineup after the substitutions of this set. */
export function afterSwaps(plan: PlanAnswer, made: Swap[]): PlanAnswer {
  if (!made.length) return plan;
  const now = (id: string): string => made.reduce((who, swap) => (who === swap.out ? swap.in : who), id);
  const spots = (formation: Formation): Formation => ({
    ...formation,
    spots: formation.spots.map((s) => ({ ...s, player: now(s.player) })),
  });
  return {
    ...plan,
    order: plan.order.map((p) => ({ ...p, front: now(p.front), back: now(p.back) })),
    rotations: plan.rotations.map((r) => ({
      ...r,
      libero_for: r.libero_for && now(r.libero_for),
      receive: spots(r.receive),
      serve: spots(r.serve),
    })),
  };
}

/** Those who stand in a rotation, in both rows: a set begins with them, and all others sit. */
export function begunWith(plan: PlanAnswer, rotation: number): PlanAnswer {
  const starters = rightful(plan, rotation);
  const others = plan.order.map((place, k) => ({ out: place.front === starters[k] ? place.back : place.front, in: starters[k]! }));
  return afterSwaps(plan, others);
}

export function moved(spots: Spot[], mine: Record<string, Place> | undefined): Spot[] {
  return mine ? spots.map((spot) => ({ ...spot, ...(mine[spot.player] ?? {}) })) : spots;
}

/** Whose place it is by the order, by position in this rotation. */
function rightful(plan: PlanAnswer, rotation: number): string[] {
  return plan.order.map((place) => {
    const position = ((place.slot - (rotation - 1) + 6) % 6) + 1;
    return position >= 2 && position <= 4 ? place.front : place.back;
  });
}

/** The libero among those who stand there, and for whom; at our serve it may be another one than at theirs. */
export function standIn(plan: PlanAnswer, rotation: number, spots: Spot[]): { libero: string; for: string } | null {
  const libero = spots.find((s) => plan.libero.includes(s.player))?.player;
  const off = rightful(plan, rotation).find((id) => !spots.some((s) => s.player === id));
  return libero !== undefined && off !== undefined ? { libero, for: off } : null;
}

/** A rotation as somebody drew it, for check and mend. */
export function drawn(doc: Doc, plan: PlanAnswer, rotation: number, spots: Spot[], phase: Phase): object {
  const number = (id: string): number => doc.team!.players.find((p) => p.id === id)?.number ?? 0;
  const order = rightful(plan, rotation).map(number);
  const instead = standIn(plan, rotation, spots);
  return {
    format: "sixturn-formation-1",
    rules: plan.rules,
    rotation,
    order,
    phase,
    liberos: plan.libero.slice(0, 2).map(number),
    players: spots.map((spot) => {
      const stands = spot.player === instead?.libero ? { for: number(instead.for) } : {};
      return { number: number(spot.player), x: spot.x, y: spot.y, ...stands };
    }),
  };
}

/** As they are printed and saved: by hand where that is kept. */
export function spotsOf(doc: Doc, rotation: RotationAnswer, phase: Phase): Spot[] {
  const key = spotKey(rotation.rotation, phase);
  return moved(rotation[phase].spots, doc.kept.includes(key) ? doc.mine[key] : undefined);
}

/** All that is kept, or all that sixturn proposes where nothing is, as one formation file. */
export function formationFile(doc: Doc, plan: PlanAnswer): { format: string; rules: string; formations: object[] } {
  const formations = (["receive", "serve"] as const).flatMap((phase) =>
    plan.rotations.map((r) => {
      const { format: _, rules: __, ...one } = drawn(doc, plan, r.rotation, spotsOf(doc, r, phase), phase) as Record<string, unknown>;
      return { label: `Rotation ${r.rotation}, ${phase === "receive" ? "their serve" : "our serve"}`, ...one };
    }),
  );
  return { format: "sixturn-formation-1", rules: plan.rules, formations };
}
