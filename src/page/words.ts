// Words and small shapes of text that several views share.
import type { Doc, Player, Presence, Role } from "./files";
import { playerOf } from "./files";

export const ROMAN = ["I", "II", "III", "IV", "V", "VI"] as const;

export const ROLE_LETTER: Record<Role, string> = {
  setter: "S",
  outside: "O",
  middle: "M",
  opposite: "X",
  libero: "L",
  specialist: "D",
};

export const ROLE_WORD: Record<Role, string> = {
  setter: "setter",
  outside: "outside",
  middle: "middle",
  opposite: "opposite",
  libero: "libero",
  specialist: "defensive specialist",
};

export const PRESENCE_WORD: Record<Presence, string> = {
  here: "here",
  late: "late",
  hurt: "hurt",
  away: "away",
};

export function shirt(player: Player | undefined): string {
  return player ? `${player.number}` : "?";
}

export function named(player: Player | undefined): string {
  return player ? `${player.number} ${player.name}` : "nobody";
}

export function namedId(doc: Doc, id: string | null | undefined): string {
  return named(playerOf(doc, id));
}

export function metres(value: number): string {
  return `${value.toFixed(1)} m`;
}

/** A chance between 0 and 1 as sets of 100. */
export function sets(win: number): string {
  return (100 * win).toFixed(1);
}

export function list(words: string[]): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}
