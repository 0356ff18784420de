// Wishes as a coach says them, each with its price by the engine.
import { useState } from "preact/hooks";
import type { Doc, Player, Who, Wishes as WishFile } from "./files";
import type { PlanAnswer } from "./requests";
import { means, withOne } from "./who";
import { list, named, shirt } from "./words";

type Form = "one" | "two" | "count" | "place" | "limit";

interface Saying {
  kind: string;
  form: Form;
  words: string;
  more?: string; // after the number
}

const SAYINGS: Saying[] = [
  { kind: "must_play", form: "one", words: "must play" },
  { kind: "must_sit", form: "one", words: "sits out" },
  { kind: "never_pass", form: "one", words: "never passes" },
  { kind: "always_pass", form: "one", words: "always passes" },
  { kind: "not_front_row", form: "one", words: "does not play in the front row" },
  { kind: "not_back_row", form: "one", words: "leaves the back row after her serve" },
  { kind: "libero_for", form: "one", words: "is replaced by the libero in the back row" },
  { kind: "must_set", form: "one", words: "is one of the setters" },
  { kind: "opposite", form: "two", words: "stands opposite to" },
  { kind: "not_adjacent", form: "two", words: "does not stand next to" },
  { kind: "min_rotations", form: "count", words: "is on court in at least", more: "of the six rotations when they serve" },
  { kind: "slots", form: "place", words: "serves in rotation" },
  { kind: "max_substitutions", form: "limit", words: "planned substitutions in six rotations, at most" },
];

interface Wish {
  saying: Saying;
  whom: Who[];
  value?: number;
  path: string; // where the engine's answer finds it
}

function wishList(wishes: WishFile): Wish[] {
  return SAYINGS.flatMap((saying): Wish[] => {
    const { kind, form } = saying;
    const given = wishes[kind];
    const path = `wishes.${kind}`;
    if (given === undefined || given === null) return [];
    if (typeof given === "number") return [{ saying, whom: [], value: given, path }];
    if (Array.isArray(given)) {
      return given.map((entry: unknown, k): Wish => {
        const at = `${path}[${k}]`;
        if (form === "place") {
          const { player, slot } = entry as { player: Who; slot: number };
          return { saying, whom: [player], value: slot + 1, path: at };
        }
        return { saying, whom: form === "two" ? (entry as Who[]) : [entry as Who], path: at };
      });
    }
    return Object.entries(given as Record<string, number>).map(([who, value]) => ({ saying, whom: [who], value, path: `${path}.${who}` }));
  });
}

/** Members of "wishes" that the page has no sentence for; they stay as they are. */
const others = (wishes: WishFile): string[] => Object.keys(wishes).filter((kind) => !SAYINGS.some((s) => s.kind === kind));

function without(wishes: WishFile, wish: Wish): WishFile {
  const { kind } = wish.saying;
  const { [kind]: given, ...rest } = wishes;
  if (Array.isArray(given)) {
    const left = given.filter((_, k) => wish.path !== `wishes.${kind}[${k}]`);
    return left.length ? { ...rest, [kind]: left } : rest;
  }
  if (given && typeof given === "object") {
    const left = Object.entries(given).filter(([who]) => who !== wish.whom[0]);
    return left.length ? { ...rest, [kind]: Object.fromEntries(left) } : rest;
  }
  return rest;
}

/** The plan may name her by number already: the same wish is not made twice. */
function withWish(wishes: WishFile, { kind, form }: Saying, who: Player | undefined, other: Player | undefined, value: number): WishFile {
  const given = wishes[kind];
  const fresh = <T,>(entry: T, same: (old: T) => boolean): WishFile => {
    const before = Array.isArray(given) ? (given as T[]) : [];
    return before.some(same) ? wishes : { ...wishes, [kind]: [...before, entry] };
  };
  if (form === "limit" || (form === "count" && !who)) return { ...wishes, [kind]: value };
  if (!who) return wishes;
  switch (form) {
    case "one":
      return withOne(wishes, kind, who);
    case "two":
      return other ? fresh<Who[]>([who.id, other.id], (two) => two.some((w) => means(w, who)) && two.some((w) => means(w, other))) : wishes;
    case "place":
      return fresh({ player: who.id as Who, slot: value - 1 }, (old) => means(old.player, who) && old.slot === value - 1);
    case "count": {
      const others = Object.entries(given && typeof given === "object" ? given : {}).filter(([whose]) => !means(whose, who));
      return { ...wishes, [kind]: { ...Object.fromEntries(others), [who.id]: value } };
    }
  }
}

interface Price {
  wish: string;
  binds: boolean;
  sets: number;
  sits: string[];
}

function priceWords(price: Price | undefined, players: Player[]): string {
  if (!price) return "";
  const sits = price.sits.length ? `; ${list(price.sits.map((id) => shirt(players.find((p) => p.id === id))))} would play without it` : "";
  if (Math.abs(price.sets) < 0.05) return `costs nothing${sits}`;
  return `${price.sets > 0 ? "costs" : "gains"} ${Math.abs(price.sets).toFixed(1)} sets of 100${sits}`;
}

const COUNTS: Record<"count" | "place" | "limit", number[]> = {
  count: [1, 2, 3, 4, 5, 6],
  place: [1, 2, 3, 4, 5, 6],
  limit: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12],
};

interface Props {
  doc: Doc;
  plan: PlanAnswer | null; // with its prices, once there is a lineup
  onWishes(wishes: WishFile): void;
}

export function WishTable({ doc, plan, onWishes }: Props) {
  const [who, setWho] = useState("");
  const [other, setOther] = useState("");
  const [kind, setKind] = useState(SAYINGS[0]!.kind);
  const [value, setValue] = useState(3);
  const players = doc.team?.players ?? [];
  const wishes = doc.plan.wishes ?? {};
  const all = wishList(wishes);
  const find = (whom: Who | undefined): Player | undefined => players.find((p) => means(whom, p));
  const sentence = ({ saying, whom, value: number }: Wish): string => {
    const { form, words, more } = saying;
    if (form === "limit") return `${number} ${words}`;
    const subject = whom.length ? named(find(whom[0])) : "everybody who may play";
    return [subject, words, whom.length > 1 ? named(find(whom[1])) : number, more].filter((w) => w !== undefined).join(" ");
  };
  // The engine names each wish with its path at the end, in brackets.
  const prices = (plan?.prices as Price[] | undefined) ?? [];
  const priceOf = (wish: Wish): Price | undefined => prices.find((p) => p.wish.endsWith(`(${wish.path})`));
  const kept = prices.filter((p) => !/\(wishes\.[^()]*\)$/.test(p.wish));
  const saying = SAYINGS.find((s) => s.kind === kind)!;
  const { form } = saying;
  const valued = form === "count" || form === "place" || form === "limit" ? form : null;
  const choose = (label: string, none: string, chosen: string, put: (id: string) => void, but = "") => (
    <select aria-label={label} value={chosen} onChange={(e) => put(e.currentTarget.value)}>
      <option value="">{none}</option>
      {players
        .filter((p) => p.id !== but)
        .map((p) => (
          <option value={p.id}>{named(p)}</option>
        ))}
    </select>
  );
  return (
    <>
      <h3>Wishes</h3>
      <ul class="wishes">
        {all.map((wish) => (
          <li key={wish.path}>
            {sentence(wish)}
            {priceOf(wish) ? <b> {priceWords(priceOf(wish), players)}</b> : null}{" "}
            <button aria-label={`drop: ${sentence(wish)}`} onClick={() => onWishes(without(wishes, wish))}>
              drop
            </button>
          </li>
        ))}
        {kept.map((price) => (
          <li key={price.wish}>
            {price.wish.replace(/ \([^()]*\)$/, "")}
            <b> {priceWords(price, players)}</b>
          </li>
        ))}
      </ul>
      {others(wishes).length ? <p>The plan also has: {list(others(wishes))}.</p> : null}
      <div class="row">
        {form === "limit" ? null : choose("Player", form === "count" ? "everybody" : "choose a player", who, setWho)}
        <select aria-label="Wish" value={kind} onChange={(e) => setKind(e.currentTarget.value)}>
          {SAYINGS.map((s) => (
            <option value={s.kind}>{s.form === "limit" ? `so many ${s.words}` : s.words}</option>
          ))}
        </select>
        {form === "two" ? choose("The other player", "choose a player", other, setOther, who) : null}
        {valued ? (
          <select aria-label="How many" value={String(value)} onChange={(e) => setValue(Number(e.currentTarget.value))}>
            {COUNTS[valued].map((n) => (
              <option value={String(n)}>{n}</option>
            ))}
          </select>
        ) : null}
        <button
          disabled={(form !== "limit" && form !== "count" && !who) || (form === "two" && !other)}
          onClick={() => onWishes(withWish(wishes, saying, find(who), find(other), value))}
        >
          add this wish
        </button>
      </div>
    </>
  );
}
