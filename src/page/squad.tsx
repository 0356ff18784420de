// The squad as a table: typed ratings, pasted or opened spreadsheets, and wishes as sentences.
import { useRef, useState } from "preact/hooks";
import { type Answer, type EngineError, quick } from "./engine";
import { type Doc, type Plan, type Player, ROLES, type Role, SKILLS, type Skill, type Team, type Wishes, rolesOf } from "./files";
import type { PlanAnswer } from "./requests";
import { cellsOf, delimiterOf, textOfCells } from "./sheet";
import { renumbered, withPlayer, withTeam, withoutPlayer } from "./who";
import { WishTable } from "./wishes";
import { ROLE_LETTER, ROLE_WORD, named, textOf } from "./words";

interface Trouble {
  row?: number;
  column?: number;
  heading?: string;
  message: string;
}

interface Props {
  doc: Doc;
  plan: PlanAnswer | null;
  newest(): Doc;
  /** The change counts, or the engine's objection comes back. */
  judged(make: (now: Doc) => Doc): Promise<EngineError | null>;
  onTeam(team: Team): void;
  onWishes(wishes: Wishes): void;
  onPlan(plan: Plan): void;
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

/** A text that counts when it is left; what is refused stays, with the reason. */
function Field({ label, value, size, onSet }: { label: string; value: string; size: number; onSet(text: string): Promise<string | null> }) {
  const [typed, setTyped] = useState<string | null>(null);
  const [wrong, setWrong] = useState("");
  const leave = async (text: string): Promise<void> => {
    const why = text === value ? null : await onSet(text);
    setWrong(why ?? "");
    if (!why) setTyped(null);
  };
  return (
    <span class={wrong ? "wrong" : ""}>
      <input
        class="field"
        size={size}
        aria-label={label}
        aria-invalid={wrong ? "true" : undefined}
        value={typed ?? value}
        onInput={(e) => setTyped(e.currentTarget.value)}
        onChange={(e) => void leave(e.currentTarget.value.trim())}
      />
      {wrong ? <small role="alert">{wrong}</small> : null}
    </span>
  );
}

function NewPlayer({ onAdd }: { onAdd(number: number, name: string, role: Role): Promise<string | null> }) {
  const [number, setNumber] = useState("");
  const [name, setName] = useState("");
  const [role, setRole] = useState<Role>("outside");
  const [wrong, setWrong] = useState("");
  const add = async (): Promise<void> => {
    const why = await onAdd(/^\d+$/.test(number.trim()) ? Number(number) : -1, name.trim(), role);
    setWrong(why ?? "");
    if (why) return;
    setNumber("");
    setName("");
  };
  return (
    <div class="row" role="group" aria-label="A new player">
      <label>
        No. <input class="field" size={2} inputMode="numeric" value={number} onInput={(e) => setNumber(e.currentTarget.value)} />
      </label>
      <label>
        Name <input class="field" size={14} value={name} onInput={(e) => setName(e.currentTarget.value)} />
      </label>
      <select aria-label="Role of the new player" value={role} onChange={(e) => setRole(e.currentTarget.value as Role)}>
        {ROLES.map((r) => (
          <option value={r}>{ROLE_WORD[r]}</option>
        ))}
      </select>
      <button disabled={!number.trim() || !name.trim()} onClick={() => void add()}>
        joins the squad
      </button>
      {wrong ? (
        <p class="fault" role="alert">
          {wrong}
        </p>
      ) : null}
    </div>
  );
}

export function Squad({ doc, plan, newest, judged, onTeam, onWishes, onPlan }: Props) {
  const [pasted, setPasted] = useState("");
  const [troubles, setTroubles] = useState<Trouble[]>([]);
  const [notes, setNotes] = useState<string[]>([]);
  const [said, setSaid] = useState("");
  const taken = useRef(0);
  const team = doc.team;

  const take = async (typed: string): Promise<void> => {
    // Pasted cells may hold a quote anywhere; a file of such cells would double it.
    const text = delimiterOf(typed) === "\t" ? textOfCells(cellsOf(typed, "\t")) : typed;
    const mine = ++taken.current; // of several takes only the last may change what is pasted
    const { team: into } = newest();
    const answer: Answer<{ team?: Team; notes?: string[]; problems?: Trouble[] }> = await quick.ask({
      question: "import",
      sheet: text,
      ...(into ? { team: into } : {}),
    });
    if (mine !== taken.current) return;
    if (into !== newest().team) return take(typed); // somebody's rating has changed since
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

  /** Why not, or null. */
  const tried = async (make: (now: Doc) => Doc): Promise<string | null> => (await judged(make))?.message ?? null;

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
                  <td />
                </tr>
              </thead>
              <tbody>
                {team.players.map((player) => (
                  <tr key={player.id}>
                    <td class="digit">
                      <Field
                        label={`number of ${player.name}`}
                        value={String(player.number)}
                        size={2}
                        onSet={(text) => tried((now) => renumbered(now, player, /^\d+$/.test(text) ? Number(text) : -1))}
                      />
                    </td>
                    <th scope="row">
                      <Field
                        label={`name of number ${player.number}`}
                        value={player.name}
                        size={12}
                        onSet={(text) =>
                          tried((now) => withTeam(now, (was) => ({ ...was, players: was.players.map((p) => (p.id === player.id ? { ...p, name: text } : p)) })))
                        }
                      />
                    </th>
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
                    <td>
                      <button
                        aria-label={`${named(player)} leaves the squad`}
                        onClick={() =>
                          void tried((now) => withoutPlayer(now, player)).then((why) =>
                            setSaid(why ?? `${named(player)} has left, with every wish that named her. Undo brings her back.`),
                          )
                        }
                      >
                        leaves
                      </button>
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
          <p role="status">{said}</p>
          <NewPlayer onAdd={(number, name, role) => tried((now) => withTeam(now, (was) => withPlayer(was, number, name, role)))} />
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
          <WishTable doc={doc} plan={plan} onWishes={onWishes} />
        </>
      ) : null}
    </section>
  );
}
