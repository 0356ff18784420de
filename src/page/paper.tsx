// What goes on paper, by the browser's own print dialogue: slips, a wall page a rotation, pocket cards.
import { useEffect, useState } from "preact/hooks";
import { quick } from "./engine";
import { type Doc, type Phase, playerOf } from "./files";
import { Planned, plannedInto } from "./planned";
import { type PlanAnswer, type RotationAnswer, type Spot, formationFile, inLineup, spotsOf, standIn } from "./requests";
import { Slips } from "./tonight";
import { list, metres, named, namedId, shirt } from "./words";

function Small({ doc, spots, own, phase }: { doc: Doc; spots: Spot[]; own?: string; phase: Phase }) {
  return (
    <svg
      class="print-court"
      viewBox={`-0.6 -0.3 10.2 ${phase === "serve" ? 10.6 : 9.6}`}
      role="img"
      aria-label={list(spots.map((s) => `${namedId(doc, s.player)} ${metres(s.x)} from the left and ${metres(s.y)} from the net`))}
    >
      <rect class="floor" x="0" y="0" width="9" height="9" />
      <line class="net" x1="-0.4" y1="0" x2="9.4" y2="0" />
      <line class="attack-line" x1="0" y1="3" x2="9" y2="3" />
      {spots.map((spot) => (
        <g
          key={spot.player}
          class={`mark${spot.passer ? " passer" : ""}`}
          transform={`translate(${spot.x} ${spot.y})`}
        >
          {own === spot.player ? <circle class="around" r="0.75" /> : null}
          {spot.passer ? <rect x="-0.45" y="-0.45" width="0.9" height="0.9" /> : <circle r="0.47" />}
          <text y="0.22">{shirt(playerOf(doc, spot.player))}</text>
        </g>
      ))}
    </svg>
  );
}

/** Who stands in, at their serve and at ours. */
function liberoWords(doc: Doc, plan: PlanAnswer, rotation: RotationAnswer): string {
  const [theirs, ours] = (["receive", "serve"] as const).map((phase) => {
    const at = standIn(plan, rotation.rotation, rotation[phase].spots);
    return at && `Libero ${namedId(doc, at.libero)} for ${namedId(doc, at.for)}`;
  });
  if (theirs === ours) return theirs ? `${theirs}.` : "";
  return [theirs && `${theirs} at their serve.`, ours && `${ours} at our serve.`].filter(Boolean).join(" ");
}

function Wall({ doc, plan, rotation }: { doc: Doc; plan: PlanAnswer; rotation: RotationAnswer }) {
  const passers = rotation.receive.spots.filter((s) => s.passer);
  return (
    <article class="sheet wall">
      <h3>Rotation {rotation.rotation}</h3>
      <div class="both">
        <figure>
          <figcaption>their serve</figcaption>
          <Small doc={doc} spots={spotsOf(doc, rotation, "receive")} phase="receive" />
        </figure>
        <figure>
          <figcaption>our serve</figcaption>
          <Small doc={doc} spots={spotsOf(doc, rotation, "serve")} phase="serve" />
        </figure>
      </div>
      <p>
        Passers (squares): {list(passers.map((s) => namedId(doc, s.player)))}. {liberoWords(doc, plan, rotation)} {plannedInto(doc, plan, rotation.rotation)}
      </p>
    </article>
  );
}

function Card({ doc, plan, id }: { doc: Doc; plan: PlanAnswer; id: string }) {
  return (
    <article class="card">
      <h3>{named(playerOf(doc, id))}</h3>
      <div class="six">
        {plan.rotations.map((rotation) => {
          const spots = spotsOf(doc, rotation, "receive");
          const own = spots.find((s) => s.player === id);
          return (
            <figure key={rotation.rotation}>
              <figcaption>
                {rotation.rotation}
                {own ? (own.passer ? ", passes" : "") : ", off"}
              </figcaption>
              <Small doc={doc} spots={spots} own={id} phase="receive" />
            </figure>
          );
        })}
      </div>
    </article>
  );
}

export function Paper({ doc, plan }: { doc: Doc; plan: PlanAnswer }) {
  const [faults, setFaults] = useState<string[]>([]);
  const [trouble, setTrouble] = useState("");
  const players = inLineup(plan);
  const cards = (doc.team?.players ?? []).filter((p) => players.has(p.id));
  useEffect(() => {
    // A kept formation may have become illegal with another lineup.
    void quick.ask<{ formations: { title: string; legal: boolean }[] }>({
      question: "check",
      formation: formationFile(doc, plan),
    }).then((told) => {
      setFaults((told.answer?.formations ?? []).filter((f) => !f.legal).map((f) => f.title));
      setTrouble(told.error?.text ?? "");
    });
  }, [doc.team, doc.mine, doc.kept, plan]);
  return (
    <section aria-labelledby="paper-title">
      <h2 id="paper-title" class="screen">
        Paper
      </h2>
      <div class="screen">
        {trouble ? <p class="fault">{trouble}</p> : null}
        {faults.length ? (
          <div class="troubles" role="alert">
            <p>Not legal as it would be printed: {list(faults)}. Mend it on the court first.</p>
          </div>
        ) : null}
        <p>
          Slips, a wall page for each rotation and a card for each player, for A4 and letter, in black and white.{" "}
          <button onClick={() => window.print()}>print</button>
        </p>
      </div>
      <article class="sheet">
        <h3>{doc.team?.name}</h3>
        <Slips doc={doc} plan={plan} />
        <Planned doc={doc} plan={plan} />
        <ul class="bench">
          {cards.map((p) => (
            <li key={p.id}>
              <b>{p.number}</b> <bdi>{p.name}</bdi>
            </li>
          ))}
        </ul>
        <p>The competition's own rule book and its referees prevail.</p>
      </article>
      {plan.rotations.map((rotation) => (
        <Wall key={rotation.rotation} doc={doc} plan={plan} rotation={rotation} />
      ))}
      <div class="cards">
        {cards.map((player) => (
          <Card key={player.id} doc={doc} plan={plan} id={player.id} />
        ))}
      </div>
    </section>
  );
}
