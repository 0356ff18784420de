// What the page asks of the engine, from the document.
import { type Doc, out } from "./files";

/** Spots by position 1 to 6, as the engine gives them. */
export interface Spot {
  position: number;
  player: string;
  x: number;
  y: number;
  passer?: boolean;
  run?: number;
  late?: boolean | number;
}

export interface Formation {
  spots: Spot[];
  passers?: string[];
  margin?: number | null;
  runs_meet?: [string, string][];
}

export interface RotationAnswer {
  rotation: number;
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
  best_start?: { receiving: number; serving: number };
  order: { slot: number; front: string; back: string }[];
  libero: string[];
  rotations: RotationAnswer[];
  weak_rotation?: number;
  sets_of_100?: number;
  win?: number;
  [other: string]: unknown;
}

export function base(doc: Doc): object {
  return { team: doc.team, plan: doc.plan, options: { out: out(doc) } };
}

export const askPlan = (doc: Doc): object => ({ question: "plan", ...base(doc) });

/** A rotation as somebody drew it, for check and mend. */
export function drawn(doc: Doc, plan: PlanAnswer, rotation: number, spots: Spot[], phase: "receive" | "serve"): object {
  const number = (id: string): number => doc.team!.players.find((p) => p.id === id)?.number ?? 0;
  const row = (slot: number): "front" | "back" => {
    const position = ((slot - (rotation - 1) + 6) % 6) + 1;
    return position >= 2 && position <= 4 ? "front" : "back";
  };
  const order = plan.order.map((place) => number(place[row(place.slot)]));
  const at = plan.rotations[rotation - 1]!;
  return {
    format: "sixturn-formation-1",
    rules: plan.rules,
    rotation,
    order,
    phase,
    liberos: plan.libero.slice(0, 2).map(number),
    players: spots.map((spot) => {
      const stands = spot.player === at.libero && at.libero_for ? { for: number(at.libero_for) } : {};
      return { number: number(spot.player), x: spot.x, y: spot.y, ...stands };
    }),
  };
}
