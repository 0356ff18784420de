// The squad as a table: typed ratings, pasted or opened spreadsheets, and wishes as sentences.
import { useState } from "preact/hooks";
import { quick, type Answer } from "./engine";
import { type Doc, type Player, ROLES, type Role, SKILLS, type Skill, type Team, type Wishes, rolesOf } from "./files";
import { ROLE_LETTER, ROLE_WORD, named } from "./words";

interface Trouble {
  row?: number;
  column?: string;
  message: string;
}

interface Props {
  doc: Doc;
  onTeam(team: Team): void;
  onWishes(wishes: Wishes): void;
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

function wishList(wishes: Wishes): { wish: string; who: string | number }[] {
  return SAYINGS.flatMap(([wish]) => {
    const whom = wishes[wish];
    return Array.isArray(whom) ? whom.map((who: string | number) => ({ wish, who })) : [];
  });
}

export function Squad({ doc, onTeam, onWishes }: Props) {
  const [pasted, setPasted] = useState("");
  const [troubles, setTroubles] = useState<Trouble[]>([]);
  const [notes, setNotes] = useState<string[]>([]);
  const [who, setWho] = useState("");
  const [wish, setWish] = useState(SAYINGS[0]![0]);
  const team = doc.team;

  const take = async (text: string): Promise<void> => {
    const answer: Answer<{ team?: Team; notes?: string[]; problems?: Trouble[] }> = await quick.ask({
      question: "import",
      sheet: text,
      ...(team ? { into: team } : {}),
    });
    setTroubles(answer.answer?.problems ?? (answer.error ? [{ message: answer.error.text }] : []));
    setNotes(answer.answer?.notes ?? []);
    if (answer.status === "done" && answer.answer?.team) {
      onTeam(answer.answer.team);
      setPasted("");
    }
  };

  const open = async (file: File): Promise<void> => {
    if (/\.xlsx$/i.test(file.name)) {
      const { sheetText } = await import("./xlsx");
      await take(await sheetText(file));
      return;
    }
    await take(await file.text());
  };

  const edit = (id: string, change: (player: Player) => Player): void => {
    if (team) onTeam({ ...team, players: team.players.map((p) => (p.id === id ? change(p) : p)) });
  };

  const setRole = (player: Player, role: Role, on: boolean): void => {
    const now = rolesOf(player);
    const next = on ? ROLES.filter((r) => r === role || now.includes(r)) : now.filter((r) => r !== role);
    if (!next.length) return;
    const fitness = Array.isArray(player.roles) ? {} : player.roles;
    const roles = Array.isArray(player.roles)
      ? next
      : Object.fromEntries(next.map((r) => [r, (fitness as Partial<Record<Role, number>>)[r] || 1]));
    edit(player.id, (p) => ({ ...p, roles }));
  };

  const setSkill = (player: Player, skill: Skill, text: string): void => {
    const value = Number(text.replace(",", "."));
    if (text.trim() !== "" && Number.isFinite(value) && value >= 0 && value <= 10) {
      edit(player.id, (p) => ({
        ...p,
        skills: { ...p.skills, [skill]: value },
        ...(p.estimated ? { estimated: p.estimated.filter((s) => s !== skill) } : {}),
      }));
    }
  };

  const wishes = doc.plan.wishes ?? {};
  const findPlayer = (whom: string | number): Player | undefined =>
    team?.players.find((p) => p.id === whom || p.number === Number(String(whom).replace("#", "")));

  return (
    <section aria-labelledby="squad-title">
      <h2 id="squad-title">The squad</h2>
      <details open={!team}>
        <summary>Paste or open a spreadsheet</summary>
        <label class="block">
          Copy the cells with their headings, and paste them here
          <textarea rows={6} value={pasted} onInput={(e) => setPasted(e.currentTarget.value)} spellcheck={false} />
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
              onChange={(e) => {
                const file = e.currentTarget.files?.[0];
                if (file) void open(file);
                e.currentTarget.value = "";
              }}
            />
          </label>
        </div>
        {troubles.length ? (
          <ul class="troubles" role="alert">
            {troubles.map((t) => (
              <li>
                {t.row ? `Row ${t.row}${t.column ? `, ${t.column}` : ""}: ` : ""}
                {t.message}
              </li>
            ))}
          </ul>
        ) : null}
        {notes.map((note) => (
          <p>{note}</p>
        ))}
      </details>
      {team ? (
        <>
          <div class="scroll" tabIndex={0} role="region" aria-label="Squad table">
            <table class="squad">
              <thead>
                <tr>
                  <th scope="col">No.</th>
                  <th scope="col">Name</th>
                  <th scope="col">Roles</th>
                  {SKILLS.map((skill) => (
                    <th scope="col">{skill}</th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {team.players.map((player) => (
                  <tr key={player.id}>
                    <td>{player.number}</td>
                    <th scope="row">{player.name}</th>
                    <td class="roles">
                      {ROLES.map((role) => (
                        <label title={ROLE_WORD[role]}>
                          <input
                            type="checkbox"
                            checked={rolesOf(player).includes(role)}
                            aria-label={`${player.name} plays ${ROLE_WORD[role]}`}
                            onChange={(e) => setRole(player, role, e.currentTarget.checked)}
                          />
                          <span>{ROLE_LETTER[role]}</span>
                        </label>
                      ))}
                    </td>
                    {SKILLS.map((skill) => (
                      <td class={player.estimated?.includes(skill) ? "estimated" : ""}>
                        <input
                          inputMode="decimal"
                          size={4}
                          aria-label={`${skill} of ${player.name}${player.estimated?.includes(skill) ? ", estimated" : ""}`}
                          value={player.skills[skill]}
                          onChange={(e) => setSkill(player, skill, e.currentTarget.value)}
                        />
                      </td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <h3>Wishes</h3>
          <ul class="wishes">
            {wishList(wishes).map(({ wish: kind, who: whom }) => (
              <li>
                {named(findPlayer(whom))} {SAYINGS.find(([w]) => w === kind)?.[1]}
                <button
                  onClick={() =>
                    onWishes({ ...wishes, [kind]: (wishes[kind] as (string | number)[]).filter((w) => w !== whom) })
                  }
                >
                  drop
                </button>
              </li>
            ))}
          </ul>
          <div class="row">
            <select aria-label="Player" value={who} onChange={(e) => setWho(e.currentTarget.value)}>
              <option value="">choose a player</option>
              {team.players.map((p) => (
                <option value={p.id}>{named(p)}</option>
              ))}
            </select>
            <select aria-label="Wish" value={wish} onChange={(e) => setWish(e.currentTarget.value)}>
              {SAYINGS.map(([kind, words]) => (
                <option value={kind}>{words}</option>
              ))}
            </select>
            <button
              disabled={!who}
              onClick={() => {
                const now = (wishes[wish] as (string | number)[] | undefined) ?? [];
                if (!now.includes(who)) onWishes({ ...wishes, [wish]: [...now, who] });
              }}
            >
              add this wish
            </button>
          </div>
        </>
      ) : null}
    </section>
  );
}
