// What goes on paper, by the browser's own print dialogue: a wall page a rotation, cards, slips.
import type { Doc } from "./files";
import type { PlanAnswer, Spot } from "./requests";
import { Slip, inLineup } from "./tonight";
import { list, named, namedId, shirt } from "./words";

function Small({ doc, spots, own }: { doc: Doc; spots: Spot[]; own?: string }) {
  return (
    <svg class="print-court" viewBox="-0.5 -0.5 10 11" role="img" aria-label={list(spots.map((s) => namedId(doc, s.player)))}>
      <rect class="floor" x="0" y="0" width="9" height="9" />
      <line class="net" x1="-0.4" y1="0" x2="9.4" y2="0" />
      <line class="attack-line" x1="0" y1="3" x2="9" y2="3" />
      {spots.map((spot) => {
        const player = doc.team?.players.find((p) => p.id === spot.player);
        return (
          <g class={`mark${spot.passer ? " passer" : ""}${own === spot.player ? " chosen" : ""}`} transform={`translate(${spot.x} ${spot.y})`}>
            {spot.passer ? <rect x="-0.45" y="-0.45" width="0.9" height="0.9" /> : <circle r="0.47" />}
            <text y="0.22">{shirt(player)}</text>
          </g>
        );
      })}
    </svg>
  );
}

export function Paper({ doc, plan }: { doc: Doc; plan: PlanAnswer }) {
  const playing = inLineup(plan);
  const cards = (doc.team?.players ?? []).filter((p) => playing.has(p.id));
  return (
    <section aria-labelledby="paper-title">
      <h2 id="paper-title" class="screen">
        Paper
      </h2>
      <p class="screen">
        Slips, a wall page for each rotation and a card for each player, made for A4 and letter in black and white.{" "}
        <button onClick={() => window.print()}>print</button>
      </p>
      <article class="sheet">
        <h3>{doc.team?.name}</h3>
        <div class="slips">
          <Slip doc={doc} plan={plan} rotation={plan.best_start?.serving ?? plan.start_rotation} title="We serve first" />
          <Slip doc={doc} plan={plan} rotation={plan.best_start?.receiving ?? plan.start_rotation} title="They serve first" />
        </div>
        <p>The competition's own rule book and its referees prevail.</p>
      </article>
      {plan.rotations.map((rotation) => {
        const mine = doc.mine[`${rotation.rotation}-receive`] ?? {};
        const spots = rotation.receive.spots.map((s) => ({ ...s, ...(mine[s.player] ?? {}) }));
        return (
          <article class="sheet wall">
            <h3>Rotation {rotation.rotation}: their serve</h3>
            <Small doc={doc} spots={spots} />
            <p>
              Passers: {list(spots.filter((s) => s.passer).map((s) => namedId(doc, s.player)))}
              {rotation.libero ? `. Libero ${namedId(doc, rotation.libero)} for ${namedId(doc, rotation.libero_for)}` : ""}.
            </p>
          </article>
        );
      })}
      <div class="cards">
        {cards.map((player) => (
          <article class="card">
            <h3>{named(player)}</h3>
            <div class="six">
              {plan.rotations.map((rotation) => {
                const on = rotation.receive.spots.some((s) => s.player === player.id);
                return (
                  <figure>
                    <figcaption>{rotation.rotation}</figcaption>
                    {on ? <Small doc={doc} spots={rotation.receive.spots} own={player.id} /> : <p>off</p>}
                  </figure>
                );
              })}
            </div>
          </article>
        ))}
      </div>
    </section>
  );
}
