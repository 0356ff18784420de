// Six rotations on one large court: move, pin, mend, keep, and mine beside the best.
import { useMemo, useState } from "preact/hooks";
import { Court, type Verdict } from "./court";
import { quick } from "./engine";
import { type Doc, type KeptFormation, playerOf } from "./files";
import { type Formation, type PlanAnswer, type Spot, drawn } from "./requests";
import { inLineup } from "./tonight";
import { list, metres, named, namedId } from "./words";

type Phase = "receive" | "serve";

interface Props {
  doc: Doc;
  plan: PlanAnswer;
  rotation: number;
  onRotation(rotation: number): void;
  onMine(rotation: number, mine: Record<string, { x: number; y: number }> | null): void;
  onKeep(kept: KeptFormation): void;
  onForget(rotation: number): void;
  onSwap(out: string, into: string): void;
}

const key = (rotation: number, phase: Phase): string => `${rotation}-${phase}`;

function run(spots: Spot[], best: Spot[]): number {
  return spots.reduce((sum, spot) => {
    const then = best.find((b) => b.player === spot.player);
    return sum + (then ? Math.hypot(spot.x - then.x, spot.y - then.y) : 0);
  }, 0);
}

function Compare({ mine, best }: { mine: Spot[]; best: Formation }) {
  const moved = mine.filter((spot) => {
    const then = best.spots.find((b) => b.player === spot.player);
    return then && Math.hypot(spot.x - then.x, spot.y - then.y) >= 0.05;
  });
  if (!moved.length) return <p>This is the best that sixturn knows for this rotation.</p>;
  return (
    <p>
      {moved.length === 1 ? "One player stands" : `${moved.length} players stand`} elsewhere than in the best formation,{" "}
      {metres(run(mine, best.spots))} in all. Thin lines lead from the best spots.
    </p>
  );
}

function Bench({ doc, plan, chosen, onSwap }: { doc: Doc; plan: PlanAnswer; chosen: string | null; onSwap(out: string, into: string): void }) {
  const playing = inLineup(plan);
  const bench = (doc.team?.players ?? []).filter((p) => !playing.has(p.id) && p.available !== false);
  if (!bench.length) return <p>Nobody is on the bench.</p>;
  return (
    <div>
      <p>{chosen ? `Who comes in for ${namedId(doc, chosen)}?` : "Choose a player on the court, then somebody of the bench."}</p>
      <div class="row">
        {bench.map((player) => (
          <button disabled={!chosen} onClick={() => chosen && onSwap(chosen, player.id)}>
            {named(player)}
          </button>
        ))}
      </div>
    </div>
  );
}

export function Rotations({ doc, plan, rotation, onRotation, onMine, onKeep, onForget, onSwap }: Props) {
  const [phase, setPhase] = useState<Phase>("receive");
  const [chosen, setChosen] = useState<string | null>(null);
  const [pinned, setPinned] = useState<string[]>([]);
  const [verdict, setVerdict] = useState<Verdict | null>(null);
  const [live, setLive] = useState<Record<string, { x: number; y: number }> | null>(null);
  const [said, setSaid] = useState("");
  const at = plan.rotations[rotation - 1]!;
  const best = at[phase];
  const mine = live ?? doc.mine[key(rotation, phase)] ?? {};
  const spots = useMemo(
    () => best.spots.map((spot) => ({ ...spot, ...(mine[spot.player] ?? {}) })),
    [best, mine],
  );
  const move = (id: string, x: number, y: number, done: boolean): void => {
    const next = { ...mine, [id]: { x, y } };
    if (done) {
      setLive(null);
      onMine(rotation, { ...next });
    } else {
      setLive(next);
    }
  };
  const mend = async (fewest: boolean): Promise<void> => {
    const lock = pinned.map((id) => playerOf(doc, id)?.number).filter((n): n is number => n !== undefined);
    const answer = await quick.ask({
      question: "mend",
      formation: drawn(doc, plan, rotation, spots, phase),
      options: { fewest, lock },
    });
    const mended = (answer.answer as { formations?: { moves?: { number: number; x: number; y: number }[] }[] } | undefined)
      ?.formations?.[0]?.moves;
    if (answer.status !== "done" || !mended) {
      setSaid(answer.error?.text ?? "No change of spots makes this legal.");
      return;
    }
    const next = { ...mine };
    for (const step of mended) {
      const player = doc.team!.players.find((p) => p.number === step.number);
      if (player) next[player.id] = { x: step.x, y: step.y };
    }
    setSaid(
      mended.length
        ? `Moved ${list(mended.map((step) => String(step.number)))}.`
        : "Nobody has to move.",
    );
    onMine(rotation, next);
  };
  const pin = (): void => {
    if (chosen) setPinned(pinned.includes(chosen) ? pinned.filter((id) => id !== chosen) : [...pinned, chosen]);
  };
  const kept = doc.plan.formations?.some((f) => f.rotation === rotation) ?? false;
  return (
    <section aria-labelledby="court-title">
      <h2 id="court-title">
        Rotation {rotation}
        {plan.weak_rotation === rotation ? " (the weak one)" : ""}
      </h2>
      <div class="row" role="group" aria-label="Rotation">
        {plan.rotations.map((r) => (
          <button
            aria-pressed={r.rotation === rotation}
            onClick={() => {
              setChosen(null);
              setSaid("");
              onRotation(r.rotation);
            }}
          >
            {r.rotation}
          </button>
        ))}
        <span class="gap" />
        <button aria-pressed={phase === "receive"} onClick={() => setPhase("receive")}>
          their serve
        </button>
        <button aria-pressed={phase === "serve"} onClick={() => setPhase("serve")}>
          our serve
        </button>
      </div>
      <div class="columns">
        <Court
          doc={doc}
          plan={plan}
          rotation={rotation}
          phase={phase}
          spots={spots}
          best={best.spots}
          pinned={pinned}
          chosen={chosen}
          onChoose={setChosen}
          onMove={move}
          onVerdict={setVerdict}
        />
        <div>
          <p>
            {chosen ? `Chosen: ${namedId(doc, chosen)}. Drag her, or move her with the arrow keys.` : "Drag a player, or choose one and use the arrow keys."}
          </p>
          <div class="row">
            <button disabled={!chosen} aria-pressed={!!chosen && pinned.includes(chosen)} onClick={pin}>
              pin her spot
            </button>
            <button disabled={verdict?.legal !== false} onClick={() => void mend(true)}>
              mend: fewest players
            </button>
            <button disabled={verdict?.legal !== false} onClick={() => void mend(false)}>
              mend: least way
            </button>
            <button onClick={() => onMine(rotation, null)}>back to the best</button>
          </div>
          <div class="row">
            <button
              disabled={phase !== "receive" || verdict?.legal !== true}
              onClick={() =>
                onKeep({
                  rotation,
                  spots: spots.map(({ player, x, y, passer }) => ({ player, x, y, ...(passer ? { passer } : {}) })),
                })
              }
            >
              keep mine in the plan
            </button>
            {kept ? <button onClick={() => onForget(rotation)}>let sixturn choose again</button> : null}
          </div>
          <p role="status">{said}</p>
          <h3>Mine beside the best</h3>
          <Compare mine={spots} best={best} />
          <h3>Bench</h3>
          <Bench doc={doc} plan={plan} chosen={chosen} onSwap={onSwap} />
        </div>
      </div>
    </section>
  );
}
