// The set as it is played: taps become score, rotation and service, the words of the question of the
// moment, and the log that the engine's fit reads. Points and service as everybody counts them: who
// wins the rally scores and serves, and a team that wins the service rotates.
import type { Doc, PlayedSet, Rates, SetEvent, Swap } from "./files";

const ROTATIONS = 6;
const after = (rotation: number): number => (rotation % ROTATIONS) + 1;

export interface Standing {
  ours: number;
  theirs: number;
  rotation: number;
  theirRotation: number | null;
  serving: boolean;
  swaps: Swap[];
}

interface Rally {
  rotation: number;
  serving: boolean;
  won: boolean;
  theirRotation: number | null;
}

function begun(set: PlayedSet): Standing {
  return { ours: 0, theirs: 0, rotation: set.rotation, theirRotation: set.theirs, serving: set.serve, swaps: [] };
}

function next(at: Standing, event: SetEvent): Standing {
  if ("swap" in event) return { ...at, swaps: [...at.swaps, event.swap] };
  if (event.won === "we") {
    return { ...at, ours: at.ours + 1, serving: true, rotation: at.serving ? at.rotation : after(at.rotation) };
  }
  const turned = at.serving && at.theirRotation !== null ? after(at.theirRotation) : at.theirRotation;
  return { ...at, theirs: at.theirs + 1, serving: false, theirRotation: turned };
}

export function standing(set: PlayedSet): Standing {
  return set.events.reduce(next, begun(set));
}

export function rallies(set: PlayedSet): Rally[] {
  const list: Rally[] = [];
  let at = begun(set);
  for (const event of set.events) {
    if ("won" in event) {
      list.push({ rotation: at.rotation, serving: at.serving, won: event.won === "we", theirRotation: at.theirRotation });
    }
    at = next(at, event);
  }
  return list;
}

/** All rallies of these sets as fit reads them. */
export function logText(sets: PlayedSet[]): string {
  const rows = sets.flatMap((set, k) =>
    rallies(set).map((r) =>
      [k + 1, r.rotation, r.serving ? "serve" : "receive", r.won ? "won" : "lost", r.theirRotation ?? ""].join(","),
    ),
  );
  return ["set,rotation,we,result,their_rotation", ...rows].join("\n") + "\n";
}

/** Substitutions by starter: those who are in for her now, and those who were and left again. */
export function exchanges(swaps: Swap[]): { made: string[]; back: string[] } {
  const pairs = new Map<string, boolean>(); // "STARTER:SUBSTITUTE", is she in now?
  for (const swap of swaps) {
    const home = `${swap.in}:${swap.out}`;
    if (pairs.get(home)) pairs.set(home, false);
    else pairs.set(`${swap.out}:${swap.in}`, true);
  }
  const where = (on: boolean): string[] => [...pairs].filter(([, now]) => now === on).map(([pair]) => pair);
  return { made: where(true), back: where(false) };
}

/** What the engine is asked at every rally of the running set. */
export function askMoment(set: PlayedSet, rates: Rates | null, card = false): object {
  const at = standing(set);
  return {
    question: "moment",
    ...set.asked,
    ...(rates ? { rates } : {}),
    moment: {
      score: `${at.ours}-${at.theirs}`,
      rotation: at.rotation,
      started: set.rotation,
      serving: at.serving ? "us" : "them",
      ...(at.theirRotation === null ? {} : { their_rotation: at.theirRotation }),
      used: at.swaps.length,
      deciding: set.deciding,
      ...exchanges(at.swaps),
      card,
    },
  };
}

/** The day's rates, if the coach wants them. */
export const ratesOf = (doc: Doc): Rates | null => (doc.match.useRates ? doc.match.rates : null);

/** Substitutions of the running set; without one those that are tried out on the court. */
export const swapsOf = (doc: Doc): Swap[] => (doc.match.now ? standing(doc.match.now).swaps : doc.made);

export function withEvent(doc: Doc, event: SetEvent): Doc {
  const { now } = doc.match;
  return now ? { ...doc, match: { ...doc.match, now: { ...now, events: [...now.events, event] } } } : doc;
}

/** Takes back the last tap or substitution, also after the page was closed in between. */
export function takenBack(doc: Doc): Doc {
  const { now } = doc.match;
  return now ? { ...doc, match: { ...doc.match, now: { ...now, events: now.events.slice(0, -1) } } } : doc;
}
