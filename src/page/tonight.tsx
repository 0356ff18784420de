// Who is here tonight, and what follows at once: lineup, bench and both slips.
import { type Doc, type Presence, out, presence, rolesOf } from "./files";
import type { PlanAnswer } from "./requests";
import { PRESENCE_WORD, ROLE_WORD, ROMAN, list, namedId, shirt } from "./words";

const STATES: Presence[] = ["here", "late", "hurt", "away"];

/** Shirt numbers by position I to VI if the set starts in this rotation. */
export function slip(doc: Doc, plan: PlanAnswer, rotation: number): string[] {
  return ROMAN.map((_, k) => {
    const slot = (rotation - 1 + k) % 6;
    const place = plan.order.find((p) => p.slot === slot);
    const id = k >= 1 && k <= 3 ? place?.front : place?.back;
    return shirt(doc.team?.players.find((p) => p.id === id));
  });
}

export function Slip({ doc, plan, rotation, title }: { doc: Doc; plan: PlanAnswer; rotation: number; title: string }) {
  const at = slip(doc, plan, rotation);
  const cell = (k: number) => (
    <td>
      <small>{ROMAN[k]}</small>
      <strong>{at[k]}</strong>
    </td>
  );
  return (
    <table class="slip">
      <caption>
        {title}: start in rotation {rotation}
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
          <td colSpan={3}>
            libero: {plan.libero.length ? list(plan.libero.map((id) => shirt(doc.team?.players.find((p) => p.id === id)))) : "none"}
          </td>
        </tr>
      </tfoot>
    </table>
  );
}

export function inLineup(plan: PlanAnswer): Set<string> {
  return new Set([...plan.order.flatMap((place) => [place.front, place.back]), ...plan.libero]);
}

interface Props {
  doc: Doc;
  plan: PlanAnswer | null;
  onPresence(id: string, state: Presence): void;
}

export function Tonight({ doc, plan, onPresence }: Props) {
  const players = [...(doc.team?.players ?? [])].sort((a, b) => a.number - b.number);
  const playing = plan ? inLineup(plan) : new Set<string>();
  const missing = new Set(out(doc));
  const bench = players.filter((p) => !playing.has(p.id) && !missing.has(p.id) && p.available !== false);
  return (
    <div class="columns">
      <section aria-labelledby="squad-tonight">
        <h2 id="squad-tonight">Who is here tonight?</h2>
        <ul class="presence">
          {players.map((player) => (
            <li key={player.id}>
              <fieldset>
                <legend>
                  <b>{player.number}</b> {player.name}
                  <small> {rolesOf(player).map((r) => ROLE_WORD[r]).join(", ")}</small>
                </legend>
                <div class="choices">
                  {STATES.map((state) => (
                    <label class={presence(doc, player.id) === state ? "on" : ""}>
                      <input
                        type="radio"
                        name={`presence-${player.id}`}
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
      {plan ? (
        <section aria-labelledby="lineup-tonight">
          <h2 id="lineup-tonight">The lineup</h2>
          <ol class="order">
            {Array.from({ length: 6 }, (_, k) => {
              const place = plan.order[(plan.start_rotation - 1 + k) % 6]!;
              return (
                <li key={place.slot}>
                  <b>{ROMAN[k]}</b> {namedId(doc, k >= 1 && k <= 3 ? place.front : place.back)}
                  {place.front !== place.back ? (
                    <small> (changes with {namedId(doc, k >= 1 && k <= 3 ? place.back : place.front)})</small>
                  ) : null}
                </li>
              );
            })}
            {plan.libero.map((id) => (
              <li key={id}>
                <b>L</b> {namedId(doc, id)}, libero
              </li>
            ))}
          </ol>
          <div class="slips">
            <Slip doc={doc} plan={plan} rotation={plan.best_start?.serving ?? plan.start_rotation} title="We serve first" />
            <Slip doc={doc} plan={plan} rotation={plan.best_start?.receiving ?? plan.start_rotation} title="They serve first" />
          </div>
          <h3>Bench</h3>
          {bench.length ? (
            <ul class="bench">
              {bench.map((p) => (
                <li key={p.id}>
                  <b>{p.number}</b> {p.name}
                  <small> covers {list(rolesOf(p).map((r) => ROLE_WORD[r]))}</small>
                </li>
              ))}
            </ul>
          ) : (
            <p>Nobody is on the bench.</p>
          )}
        </section>
      ) : null}
    </div>
  );
}
