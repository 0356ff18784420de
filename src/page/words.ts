// Words and small shapes of text that several views share.
import type { Doc, Player, Presence, Role, Swap } from "./files";
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

/** A name of another script must not turn the words around it. */
function isolated(name: string): string {
  return /^[ -~]*$/.test(name) ? name : `\u2068${name}\u2069`;
}

export function named(player: Player | undefined): string {
  return player ? `${player.number} ${isolated(player.name)}` : "nobody";
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

/** "9 for 4 and 12 for 7". */
export function swapWords(doc: Doc, swaps: Swap[]): string {
  return list(swaps.map((swap) => `${shirt(playerOf(doc, swap.in))} for ${shirt(playerOf(doc, swap.out))}`));
}

/** The engine's reason as a sentence of its own; nothing of nothing. */
export function sentence(words: string): string {
  return words && `${words[0]!.toUpperCase()}${words.slice(1)}.`;
}

/** The text of a file in the encodings that spreadsheets write. */
export async function textOf(file: File): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}
