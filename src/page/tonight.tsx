// Who is here tonight, and what follows at once: lineup, bench and both slips.
import type { Lineups } from "./app";
import { type Doc, type Player, type Presence, late, playerOf, presence, rolesOf } from "./files";
import { type PlanAnswer, benchOf, inLineup, weak } from "./requests";
import { Planned } from "./planned";
import { PRESENCE_WORD, ROLE_WORD, ROMAN, list, named, namedId, shirt } from "./words";

const STATES: Presence[] = ["here", "late", "hurt", "away"];

/** Who stands in positions I to VI if the set starts in this rotation. */
function starters(plan: PlanAnswer, rotation: number): string[] {
  return ROMAN.map((_, k) => {
    const place = plan.order.find((p) => p.slot === (rotation - 1 + k) % 6)!;
    return k >= 1 && k <= 3 ? place.front : place.back;
  });
}

function Slip({ doc, plan, rotation, title }: { doc: Doc; plan: PlanAnswer; rotation: number; title: string }) {
  const at = starters(plan, rotation);
  const cell = (k: number) => (
    <td>
      <small>{ROMAN[k]}</small>
      <strong>{shirt(playerOf(doc, at[k]))}</strong>
    </td>
  );
  return (
    <table class="slip">
      <caption>
        {title}: <span>rotation {rotation}</span>
      </caption>
      <tbody>
        <tr>
          {cell(3)}
          {cell(2)}
          {cell(1)}
        </tr>
        <tr>
          {cell(4)}
          {cell(5)}
          {cell(0)}
        </tr>
      </tbody>
      <tfoot>
        <tr>
          <td colSpan={3}>libero: {plan.libero.length ? list(plan.libero.map((id) => shirt(playerOf(doc, id)))) : "none"}</td>
        </tr>
      </tfoot>
    </table>
  );
}

export function Slips({ doc, plan }: { doc: Doc; plan: PlanAnswer }) {
  return (
    <div class="slips">
      <Slip doc={doc} plan={plan} rotation={plan.best_start?.serving ?? plan.start_rotation} title="We serve first" />
      <Slip doc={doc} plan={plan} rotation={plan.best_start?.receiving ?? plan.start_rotation} title="They serve first" />
    </div>
  );
}

/** What the lineup is worth, in one line. */
function Value({ plan }: { plan: PlanAnswer }) {
  return (
    <p class="value">
      <b>{plan.sets.toFixed(1)}</b> sets of 100 against <bdi>{plan.against}</bdi>; weakest in rotation <b>{weak(plan)}</b>.
    </p>
  );
}

function Order({ doc, plan }: { doc: Doc; plan: PlanAnswer }) {
  const at = starters(plan, plan.start_rotation);
  return (
    <>
      <h3>Serving order from rotation {plan.start_rotation}</h3>
      <ol class="order">
        {at.map((id, k) => {
          const place = plan.order[(plan.start_rotation - 1 + k) % 6]!;
          const other = place.front === id ? place.back : place.front;
          return (
            <li key={place.slot}>
              <b>{ROMAN[k]}</b> {namedId(doc, id)}
              {other !== id ? <small> (changes with {namedId(doc, other)})</small> : null}
            </li>
          );
        })}
        {plan.libero.map((id) => (
          <li key={id}>
            <b>L</b> {namedId(doc, id)}, libero
          </li>
        ))}
      </ol>
    </>
  );
}

/** Who plays in one lineup and not in the other. */
function Changes({ doc, from, to }: { doc: Doc; from: PlanAnswer; to: PlanAnswer }) {
  const before = inLineup(from);
  const after = inLineup(to);
  const come = [...after].filter((id) => !before.has(id));
  const go = [...before].filter((id) => !after.has(id));
  if (!come.length && !go.length) return <p>The same players.</p>;
  return (
    <p>
      {list(come.map((id) => namedId(doc, id)))} {come.length === 1 ? "comes" : "come"} in
      {go.length ? ` for ${list(go.map((id) => namedId(doc, id)))}` : ""}.
    </p>
  );
}

interface Props {
  doc: Doc;
  lineups: Lineups;
  onPresence(id: string, state: Presence): void;
  onEven(): void;
}

export function Tonight({ doc, lineups, onPresence, onEven }: Props) {
  const byNumber = (a: Player, b: Player): number => a.number - b.number;
  const players = [...(doc.team?.players ?? [])].sort(byNumber);
  const { now, complete } = lineups;
  const bench = now ? benchOf(doc, now).sort(byNumber) : [];
  const waiting = late(doc);
  return (
    <div class="columns tonight">
      <section aria-labelledby="squad-tonight">
        <h2 id="squad-tonight">Who is here tonight?</h2>
        <ul class="presence">
          {players.map((player) => (
            <li key={player.id} class={presence(doc, player.id)}>
              <fieldset disabled={player.available === false}>
                <legend>
                  <b>{player.number}</b> <bdi>{player.name}</bdi>
                  <small>
                    {" "}
                    {list(rolesOf(player).map((r) => ROLE_WORD[r]))}
                    {player.available === false ? ", not available by the team file" : ""}
                  </small>
                </legend>
                <div class="choices">
                  {STATES.map((state) => (
                    <label key={state} class={presence(doc, player.id) === state ? "on" : ""}>
                      <input
                        type="radio"
                        name={`presence-${player.id}`}
                        aria-label={`${named(player)} is ${PRESENCE_WORD[state]}`}
                        checked={presence(doc, player.id) === state}
                        onChange={() => onPresence(player.id, state)}
                      />
                      {PRESENCE_WORD[state]}
                    </label>
                  ))}
                </div>
              </fieldset>
            </li>
          ))}
        </ul>
        <p class="care">Who is fit to play is for the medical staff to say. Sixturn is no medical advice.</p>
      </section>
      {now ? (
        <section aria-labelledby="lineup-tonight" class="lineup" aria-live="polite">
          <h2 id="lineup-tonight">{waiting.length ? "The lineup now" : "The lineup"}</h2>
          <Value plan={now} />
          {doc.opponent === undefined ? null : <button onClick={onEven}>against an even opponent again</button>}
          <Slips doc={doc} plan={now} />
          <Order doc={doc} plan={now} />
          <Planned doc={doc} plan={now} />
          <h3>Bench</h3>
          {bench.length ? (
            <ul class="bench">
              {bench.map((p) => (
                <li key={p.id}>
                  <b>{p.number}</b> <bdi>{p.name}</bdi>
                  <small> covers {list(rolesOf(p).map((r) => ROLE_WORD[r]))}</small>
                </li>
              ))}
            </ul>
          ) : (
            <p>Nobody is on the bench.</p>
          )}
          {waiting.length ? (
            <section aria-labelledby="lineup-later" class="later">
              <h2 id="lineup-later">When {list(waiting.map((p) => named(p)))} {waiting.length === 1 ? "is" : "are"} here</h2>
              {complete ? (
                <>
                  <Changes doc={doc} from={now} to={complete} />
                  <Value plan={complete} />
                  <Slips doc={doc} plan={complete} />
                </>
              ) : (
                <p>Working it out.</p>
              )}
            </section>
          ) : null}
        </section>
      ) : null}
    </div>
  );
}
