// The squad as a table: typed ratings, pasted or opened spreadsheets, and wishes as sentences.
import { useRef, useState } from "preact/hooks";
import { type Answer, quick, thinker } from "./engine";
import {
  type Doc, type Plan, type Player, ROLES, type Role, SKILLS, type Skill, type Team, type Who, type Wishes, rolesOf,
} from "./files";
import { type OddsAnswer, askOdds } from "./requests";
import { cellsOf, delimiterOf, textOfCells } from "./sheet";
import { ROLE_LETTER, ROLE_WORD, list, named, textOf } from "./words";

interface Trouble {
  row?: number;
  column?: number;
  heading?: string;
  message: string;
}

interface Props {
  doc: Doc;
  onTeam(team: Team): void;
  onWishes(wishes: Wishes): void;
  onPlan(plan: Plan): void;
}

/** Wishes about one player, as a coach says them. */
const SAYINGS: [string, string][] = [
  ["must_play", "must play"],
  ["must_sit", "sits out"],
  ["never_pass", "never passes"],
  ["always_pass", "always passes"],
  ["not_front_row", "does not play in the front row"],
  ["not_back_row", "does not play in the back row"],
  ["libero_for", "is replaced by the libero in the back row"],
  ["must_set", "is one of the setters"],
];
/** About two. */
const PAIRS: [string, string][] = [
  ["opposite", "stands opposite to"],
  ["not_adjacent", "does not stand next to"],
];

interface Wish {
  kind: string;
  whom: Who[];
}

function wishList(wishes: Wishes): Wish[] {
  const many = (kind: string): unknown[] => (Array.isArray(wishes[kind]) ? (wishes[kind] as unknown[]) : []);
  return [
    ...SAYINGS.flatMap(([kind]) => many(kind).map((who) => ({ kind, whom: [who as Who] }))),
    ...PAIRS.flatMap(([kind]) => many(kind).map((two) => ({ kind, whom: two as Who[] }))),
  ];
}

/** Members of "wishes" that the page has no sentence for; they stay as they are. */
function others(wishes: Wishes): string[] {
  const known = [...SAYINGS, ...PAIRS].map(([kind]) => kind);
  return Object.keys(wishes).filter((kind) => !known.includes(kind));
}

function without(wishes: Wishes, wish: Wish): Wishes {
  const same = JSON.stringify(wish.whom.length > 1 ? wish.whom : wish.whom[0]);
  const left = (wishes[wish.kind] as unknown[]).filter((w) => JSON.stringify(w) !== same);
  const next = { ...wishes, [wish.kind]: left };
  if (!left.length) delete next[wish.kind];
  return next;
}

/** The pasted cells with every mistake in its place. */
function Cells({ text, troubles, onText }: { text: string; troubles: Trouble[]; onText(text: string): void }) {
  const rows = cellsOf(text, delimiterOf(text));
  const placed = (row: number, column: number): Trouble | undefined =>
    troubles.find((t) => t.row === row + 1 && t.column === column + 1);
  const ofRow = (row: number): Trouble[] => troubles.filter((t) => t.row === row + 1 && !t.column);
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label="What you pasted, with its mistakes">
      <table class="squad pasted">
        <tbody>
          {rows.map((cells, r) => (
            <tr key={r}>
              <th scope="row">{r + 1}</th>
              {cells.map((cell, c) => {
                const wrong = placed(r, c);
                return wrong ? (
                  <td key={c} class="wrong">
                    <input
                      aria-invalid="true"
                      aria-label={`Row ${r + 1}, column ${c + 1}: ${wrong.message}`}
                      value={cell}
                      onChange={(e) =>
                        onText(textOfCells(rows.map((row, i) => row.map((old, j) => (i === r && j === c ? e.currentTarget.value : old)))))
                      }
                    />
                    <small>{wrong.message}</small>
                  </td>
                ) : (
                  <td key={c}>{cell}</td>
                );
              })}
              {ofRow(r).map((t) => (
                <td key={t.message} class="wrong">
                  <small>{t.message}</small>
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** A cell that keeps what was typed until it makes sense, and says so. */
function Rating({ player, skill, onSet }: { player: Player; skill: Skill; onSet(value: number): void }) {
  const [typed, setTyped] = useState<string | null>(null);
  const wrong = typed !== null;
  const guess = player.estimated?.includes(skill);
  return (
    <td class={`${guess ? "estimated" : ""}${wrong ? " wrong" : ""}`}>
      <input
        inputMode="decimal"
        size={4}
        aria-label={`${skill} of ${player.name}${guess ? ", estimated" : ""}`}
        aria-invalid={wrong ? "true" : undefined}
        value={typed ?? String(player.skills[skill])}
        onChange={(e) => {
          const text = e.currentTarget.value;
          const value = Number(text.trim().replace(",", "."));
          if (text.trim() !== "" && value >= 0 && value <= 10) {
            setTyped(null);
            onSet(value);
          } else {
            setTyped(text);
          }
        }}
      />
      {wrong ? <small role="alert">0 to 10</small> : null}
    </td>
  );
}

export function Squad({ doc, onTeam, onWishes, onPlan }: Props) {
  const [pasted, setPasted] = useState("");
  const [troubles, setTroubles] = useState<Trouble[]>([]);
  const [notes, setNotes] = useState<string[]>([]);
  const [who, setWho] = useState("");
  const [other, setOther] = useState("");
  const [kind, setKind] = useState(SAYINGS[0]![0]);
  const [prices, setPrices] = useState<Record<string, string>>({});
  const [pricing, setPricing] = useState(false);
  const taken = useRef(0);
  const team = doc.team;

  const take = async (typed: string): Promise<void> => {
    // Pasted cells may hold a quote anywhere; a file of such cells would double it.
    const text = delimiterOf(typed) === "\t" ? textOfCells(cellsOf(typed, "\t")) : typed;
    const mine = ++taken.current; // of several takes only the last may change what is pasted
    const answer: Answer<{ team?: Team; notes?: string[]; problems?: Trouble[] }> = await quick.ask({
      question: "import",
      sheet: text,
      ...(team ? { team } : {}),
    });
    if (mine !== taken.current) return;
    const problems = answer.answer?.problems ?? [];
    setTroubles(problems.length || !answer.error ? problems : [{ message: answer.error.text }]);
    setNotes(answer.answer?.notes ?? []);
    if (answer.status === "done" && answer.answer?.team) {
      onTeam(answer.answer.team);
      setPasted("");
    } else {
      setPasted(text);
    }
  };

  const open = async (file: File): Promise<void> => {
    try {
      if (/\.xlsx$/i.test(file.name)) {
        const { sheetText } = await import("./xlsx");
        await take(await sheetText(file));
      } else {
        await take(await textOf(file));
      }
    } catch {
      setTroubles([{ message: `${file.name} cannot be read as a spreadsheet.` }]);
    }
  };

  const edit = (id: string, change: (player: Player) => Player): void => {
    if (team) onTeam({ ...team, players: team.players.map((p) => (p.id === id ? change(p) : p)) });
  };

  const setRole = (player: Player, role: Role, on: boolean): void => {
    const now = rolesOf(player);
    const next = on ? ROLES.filter((r) => r === role || now.includes(r)) : now.filter((r) => r !== role);
    if (!next.length) return;
    const fitness = Array.isArray(player.roles) ? null : player.roles;
    const roles = fitness ? Object.fromEntries(next.map((r) => [r, fitness[r] || 1])) : next;
    edit(player.id, (p) => ({ ...p, roles }));
  };

  const wishes = doc.plan.wishes ?? {};
  const all = wishList(wishes);
  const findPlayer = (whom: Who | undefined): Player | undefined =>
    team?.players.find((p) => p.id === whom || String(p.number) === String(whom).replace("#", ""));
  const sentence = ({ kind: k, whom }: Wish): string => {
    const words = [...SAYINGS, ...PAIRS].find(([w]) => w === k)?.[1] ?? k;
    return `${named(findPlayer(whom[0]))} ${words}${whom.length > 1 ? ` ${named(findPlayer(whom[1]))}` : ""}`;
  };
  const isPair = PAIRS.some(([k]) => k === kind);

  /** What each wish costs: the odds with all of them, and with all but this one. */
  const price = async (): Promise<void> => {
    setPricing(true);
    setPrices({});
    const odds = async (of: Wishes): Promise<number | null> => {
      const told = await thinker.ask<OddsAnswer>(askOdds({ ...doc, plan: { ...doc.plan, wishes: of } }));
      return told.answer?.win ?? null;
    };
    const mine = await odds(wishes);
    const told: Record<string, string> = {};
    for (const wish of all) {
      const free = await odds(without(wishes, wish));
      const lost = mine === null || free === null ? null : 100 * (free - mine);
      told[JSON.stringify(wish)] =
        lost === null
          ? "no price: there is no lineup"
          : Math.abs(lost) < 0.05
            ? "costs nothing"
            : lost > 0
              ? `costs ${lost.toFixed(1)} sets of 100`
              : `gains ${(-lost).toFixed(1)} sets of 100`;
      setPrices({ ...told });
    }
    setPricing(false);
  };

  const general = troubles.filter((t) => !t.row);
  return (
    <section aria-labelledby="squad-title">
      <h2 id="squad-title">The squad</h2>
      <details open={!team || troubles.length > 0}>
        <summary>Paste or open a spreadsheet</summary>
        <label class="block">
          Copy the cells with their headings (number, name, roles, the six skills), and paste them here
          <textarea rows={6} value={pasted} onInput={(e) => {
              taken.current++;
              setPasted(e.currentTarget.value);
            }} spellcheck={false} />
        </label>
        <div class="row">
          <button disabled={!pasted.trim()} onClick={() => void take(pasted)}>
            take these players
          </button>
          <label class="button">
            open .csv or .xlsx
            <input
              type="file"
              accept=".csv,.tsv,.txt,.xlsx"
              data-opens="sheet"
              onChange={(e) => {
                const file = e.currentTarget.files?.[0];
                if (file) void open(file);
                e.currentTarget.value = "";
              }}
            />
          </label>
        </div>
        {troubles.length ? (
          <div class="troubles" role="alert">
            <strong>
              {troubles.length === 1 ? "One mistake" : `${troubles.length} mistakes`}; nothing was taken.
            </strong>
            {general.map((t) => (
              <p>{t.message}</p>
            ))}
            <ul>
              {troubles
                .filter((t) => t.row)
                .map((t) => (
                  <li>
                    Row {t.row}
                    {t.heading ? `, ${t.heading}` : ""}: {t.message}
                  </li>
                ))}
            </ul>
          </div>
        ) : null}
        {troubles.some((t) => t.row) ? <Cells text={pasted} troubles={troubles} onText={setPasted} /> : null}
        {notes.length ? (
          <ul class="notes">
            {notes.map((note) => (
              <li>{note}</li>
            ))}
          </ul>
        ) : null}
      </details>
      {team ? (
        <>
          <div class="scroll" tabIndex={0} role="region" aria-label="Squad table">
            <table class="squad">
              <thead>
                <tr>
                  <th scope="col">No.</th>
                  <th scope="col">Name</th>
                  {SKILLS.map((skill) => (
                    <th scope="col">{skill}</th>
                  ))}
                  <th scope="col">Roles</th>
                </tr>
              </thead>
              <tbody>
                {team.players.map((player) => (
                  <tr key={player.id}>
                    <td class="digit">{player.number}</td>
                    <th scope="row">{player.name}</th>
                    {SKILLS.map((skill) => (
                      <Rating
                        key={skill}
                        player={player}
                        skill={skill}
                        onSet={(value) =>
                          edit(player.id, (p) => {
                            const estimated = p.estimated?.filter((s) => s !== skill);
                            const { estimated: _, ...rest } = p;
                            return {
                              ...rest,
                              skills: { ...p.skills, [skill]: value },
                              ...(estimated?.length ? { estimated } : {}),
                            };
                          })
                        }
                      />
                    ))}
                    <td class="roles">
                      {ROLES.map((role) => (
                        <label key={role} title={ROLE_WORD[role]}>
                          <input
                            type="checkbox"
                            checked={rolesOf(player).includes(role)}
                            aria-label={`${player.name} plays ${ROLE_WORD[role]}`}
                            onChange={(e) => setRole(player, role, e.currentTarget.checked)}
                          />
                          <span aria-hidden="true">{ROLE_LETTER[role]}</span>
                        </label>
                      ))}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <p>
            <small>
              Ratings go from 0 to 10; slanted ones are estimated. {ROLES.map((r) => `${ROLE_LETTER[r]} ${ROLE_WORD[r]}`).join(", ")}.
            </small>
          </p>
          <label class="block">
            Name of the team{" "}
            <input
              value={team.name}
              maxLength={120}
              onChange={(e) => {
                const name = e.currentTarget.value.trim();
                if (name) onTeam({ ...team, name });
              }}
            />
          </label>
          <label class="block">
            Playing system{" "}
            <select
              value={doc.plan.system ?? ""}
              onChange={(e) => {
                const { system: _, ...rest } = doc.plan;
                onPlan(e.currentTarget.value ? { ...rest, system: e.currentTarget.value } : rest);
              }}
            >
              <option value="">as usual (5-1-outside)</option>
              {["5-1-outside", "5-1-middle", "6-2", "6-2-double", "4-2", "4-2-centre", "4-2-w"].map((id) => (
                <option value={id}>{id}</option>
              ))}
            </select>
          </label>
          <h3>Wishes</h3>
          <ul class="wishes">
            {all.map((wish) => (
              <li key={JSON.stringify(wish)}>
                {sentence(wish)}
                {prices[JSON.stringify(wish)] ? <b> {prices[JSON.stringify(wish)]}</b> : null}{" "}
                <button aria-label={`drop: ${sentence(wish)}`} onClick={() => onWishes(without(wishes, wish))}>
                  drop
                </button>
              </li>
            ))}
          </ul>
          {others(wishes).length ? <p>The plan also has: {list(others(wishes))}.</p> : null}
          <div class="row">
            <select aria-label="Player" value={who} onChange={(e) => setWho(e.currentTarget.value)}>
              <option value="">choose a player</option>
              {team.players.map((p) => (
                <option value={p.id}>{named(p)}</option>
              ))}
            </select>
            <select aria-label="Wish" value={kind} onChange={(e) => setKind(e.currentTarget.value)}>
              {[...SAYINGS, ...PAIRS].map(([k, words]) => (
                <option value={k}>{words}</option>
              ))}
            </select>
            {isPair ? (
              <select aria-label="The other player" value={other} onChange={(e) => setOther(e.currentTarget.value)}>
                <option value="">choose a player</option>
                {team.players
                  .filter((p) => p.id !== who)
                  .map((p) => (
                    <option value={p.id}>{named(p)}</option>
                  ))}
              </select>
            ) : null}
            <button
              disabled={!who || (isPair && !other)}
              onClick={() => {
                const now = (wishes[kind] as unknown[] | undefined) ?? [];
                const fresh = isPair ? [who, other] : who;
                if (!now.some((w) => JSON.stringify(w) === JSON.stringify(fresh))) {
                  onWishes({ ...wishes, [kind]: [...now, fresh] });
                }
              }}
            >
              add this wish
            </button>
            <button disabled={!all.length || pricing} onClick={() => void price()}>
              {pricing ? "working out the prices" : "what does each cost?"}
            </button>
          </div>
        </>
      ) : null}
    </section>
  );
}
