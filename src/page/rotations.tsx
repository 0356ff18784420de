// Six rotations on one large court: move, pin, mend, keep; mine beside the best; and the bench.
import { useMemo, useRef, useState } from "preact/hooks";
import type { Lineups } from "./app";
import { Court, type Verdict } from "./court";
import { planner, quick } from "./engine";
import { type Doc, type KeptFormation, type KeptSpot, type Phase, type Place, type Swap, type Team, type Wishes, isKept, playerOf, spotKey } from "./files";
import { Others } from "./others";
import { plannedInto } from "./planned";
import { type BenchAnswer, type PlanAnswer, type Spot, base, benchOf, drawn, inLineup, moved, runs, weak } from "./requests";
import { wishesOf, withOne, withoutWish } from "./who";
import { list, metres, named, namedId, sentence, shirt, swapWords } from "./words";

interface Props {
  doc: Doc;
  plan: PlanAnswer; // after the substitutions of this set
  lineups: Lineups;
  rotation: number;
  onRotation(rotation: number): void;
  /** These stand there from now on; null: nobody is moved any more. */
  onMine(key: string, spots: Record<string, Place> | null): void;
  /** null: no longer. */
  onKeep(rotation: number, phase: Phase, spots: Spot[] | null): void;
  /** What the plan keeps of a rotation from now on. */
  onFormation(kept: KeptFormation): void;
  onOther(kept: KeptFormation): void;
  onStart(swap: Swap): void;
  /** Substitutions of the set so far. */
  made: Swap[];
  onMade(made: Swap[]): void;
  onWishes(wishes: Wishes): void;
  onTeam(team: Team): void;
}

function elsewhere(spots: Spot[], best: Spot[]): { count: number; way: number } {
  const ways = spots.map((spot) => {
    const then = best.find((b) => b.player === spot.player);
    return then ? Math.hypot(spot.x - then.x, spot.y - then.y) : 0;
  });
  return { count: ways.filter((way) => way >= 0.05).length, way: ways.reduce((sum, way) => sum + way, 0) };
}

/** The lineup with what the coach wishes beside the one without. */
function Beside({ doc, mine, free }: { doc: Doc; mine: PlanAnswer; free: PlanAnswer }) {
  const only = (a: PlanAnswer, b: PlanAnswer): string => {
    const others = inLineup(b);
    const ids = [...inLineup(a)].filter((id) => !others.has(id));
    return ids.length ? list(ids.map((id) => shirt(playerOf(doc, id)))) : "the same";
  };
  const rows: [string, string, string][] = [
    ["sets of 100", mine.sets.toFixed(1), free.sets.toFixed(1)],
    ["weakest rotation", String(weak(mine)), String(weak(free))],
    ["metres run", runs(mine).toFixed(1), runs(free).toFixed(1)],
    ["plays only here", only(mine, free), only(free, mine)],
  ];
  const lost = free.sets - mine.sets;
  const run = runs(mine) - runs(free);
  return (
    <>
      <p>
        {Math.abs(lost) < 0.05
          ? "What you wish and keep costs nothing"
          : lost > 0
            ? `What you wish and keep costs ${lost < 0.95 ? "less than one set" : `about ${lost.toFixed(0)} sets`} of 100`
            : "With what you wish and keep it wins more sets"}
        {Math.abs(run) < 1
          ? "; they run as far."
          : `; they run ${run > 0 ? "farther" : "less"}, by about ${Math.abs(run).toFixed(0)} m in six rotations.`}
      </p>
      <details>
        <summary>in figures</summary>
        <table class="plain">
          <thead>
            <tr>
              <td />
              <th scope="col">yours</th>
              <th scope="col">without wishes</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(([what, yours, theirs]) => (
              <tr key={what}>
                <th scope="row">{what}</th>
                <td>{yours}</td>
                <td>{theirs}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </>
  );
}

/** Who stands under the finger. */
function under(event: PointerEvent): string | null {
  const mark = document.elementsFromPoint(event.clientX, event.clientY).map((e) => e.closest<SVGGElement>(".mark")).find((e) => e);
  return mark?.dataset.player ?? null;
}

const DRAG = 6; // pixels from which on a press is a drag

interface BenchProps extends Pick<Props, "doc" | "plan" | "made" | "onStart" | "onMade"> {
  chosen: string | null;
  onChoose(id: string | null): void;
}

/** Tap a player of the court and one of the bench, or drag the second onto the first. */
function Bench({ doc, plan, chosen, made, onChoose, onStart, onMade }: BenchProps) {
  const [told, setTold] = useState<BenchAnswer | null>(null);
  const [trouble, setTrouble] = useState("");
  const [held, setHeld] = useState<{ id: string; x: number; y: number } | null>(null);
  const press = useRef<{ x: number; y: number } | null>(null);
  const dragged = useRef(false);
  const asked = useRef(0);
  const bench = benchOf(doc, plan);
  const ask = async (leaves: string | null, into: string): Promise<void> => {
    if (!leaves) return;
    const mine = ++asked.current;
    setTold(null);
    setTrouble("");
    const answer = await planner.ask<BenchAnswer>({ question: "bench", ...base(doc), swap: { out: leaves, in: into }, made });
    if (mine !== asked.current || answer.status === "stopped") return;
    if (answer.answer) setTold(answer.answer);
    else setTrouble(answer.error?.text ?? "Nothing is known about this.");
  };
  const move = (event: PointerEvent, id: string): void => {
    if (!press.current) return;
    if (!held && Math.hypot(event.clientX - press.current.x, event.clientY - press.current.y) < DRAG) return;
    dragged.current = true;
    setHeld({ id, x: event.clientX, y: event.clientY });
    const target = under(event);
    if (target !== chosen) onChoose(target);
  };
  const drop = (event: PointerEvent, id: string): void => {
    press.current = null;
    if (held) void ask(under(event), id);
    setHeld(null);
  };
  const fits = told?.out === chosen ? told : null;
  const cost = fits?.sets_of_100;
  const change = cost?.after === undefined ? null : cost.after - cost.before;
  return (
    <div class="bench-view">
      {bench.length ? (
        <>
          <p>
            {chosen ? `Who comes in for ${namedId(doc, chosen)}?` : "Drag one of the bench onto a player, or choose a player first."}
          </p>
          <div class="row">
            {bench.map((player) => (
              <button
                key={player.id}
                class="chip"
                aria-disabled={!chosen}
                onPointerDown={(event) => {
                  press.current = { x: event.clientX, y: event.clientY };
                  dragged.current = false;
                  event.currentTarget.setPointerCapture(event.pointerId);
                }}
                onPointerMove={(event) => move(event, player.id)}
                onPointerUp={(event) => drop(event, player.id)}
                onPointerCancel={() => {
                  press.current = null;
                  setHeld(null);
                }}
                onClick={() => {
                  if (!dragged.current) void ask(chosen, player.id);
                  dragged.current = false;
                }}
              >
                {named(player)}
              </button>
            ))}
          </div>
          {held ? (
            <span class="held" aria-hidden="true" style={{ left: `${held.x}px`, top: `${held.y}px` }}>
              {shirt(playerOf(doc, held.id))}
            </span>
          ) : null}
        </>
      ) : (
        <p>Nobody is on the bench.</p>
      )}
      <div role="status">
        {trouble ? <p class="fault">{trouble}</p> : null}
        {fits ? (
          <div class="told-swap">
            <p>
              <strong>
                {namedId(doc, fits.in)} for {namedId(doc, fits.out)}: {fits.allowed ? "allowed." : "not allowed."}
              </strong>{" "}
              {sentence(fits.reason)}
            </p>
            {fits.allowed ? (
              <>
                <p>
                  {fits.left === null ? "There is no limit of substitutions." : `${fits.left} substitution${fits.left === 1 ? "" : "s"} left then.`}{" "}
                  {fits.may_return.map((r) => `${namedId(doc, r.player)} may come back for ${namedId(doc, r.for)}.`).join(" ")}
                </p>
                <p>
                  {change === null
                    ? `What it costs cannot be said. ${cost?.no_value ?? ""}`
                    : Math.abs(change) < 0.05
                      ? "From the start of a set it would make no difference."
                      : `From the start of a set she would ${change < 0 ? "cost" : "gain"} ${Math.abs(change).toFixed(1)} sets of 100 there.`}
                </p>
              </>
            ) : null}
            <div class="row">
              <button
                disabled={!fits.allowed}
                onClick={() => {
                  onMade([...made, { out: fits.out, in: fits.in }]);
                  setTold(null);
                }}
              >
                she is in now
              </button>
              <button
                onClick={() => {
                  onStart({ out: fits.out, in: fits.in });
                  setTold(null);
                }}
              >
                plan with her instead
              </button>
            </div>
          </div>
        ) : null}
      </div>
      {made.length ? (
        <p>
          In this set: {swapWords(doc, made)}.{" "}
          {doc.match.now ? null : <button onClick={() => onMade([])}>a new set begins</button>}
        </p>
      ) : null}
    </div>
  );
}

export function Rotations(props: Props) {
  const { doc, plan, lineups, rotation, made, onRotation, onMine, onKeep, onFormation, onOther, onStart, onMade, onWishes, onTeam } = props;
  const [phase, setPhase] = useState<Phase>("receive");
  const [chosen, setChosen] = useState<string | null>(null);
  const [pinned, setPinned] = useState<string[]>([]);
  const [verdict, setVerdict] = useState<Verdict | null>(null);
  const [live, setLive] = useState<Record<string, Place> | null>(null);
  const [said, setSaid] = useState("");
  const key = spotKey(rotation, phase);
  const best = plan.rotations[rotation - 1]![phase];
  // Beside the best: that without what she keeps, where it is known and the same players stand there.
  const free = lineups.free?.rotations[rotation - 1]?.[phase].spots;
  const ideal = free && free.every((s) => best.spots.some((b) => b.player === s.player)) ? free : best.spots;
  const mine = live ?? doc.mine[key];
  const spots = useMemo(() => moved(best.spots, mine), [best, mine]);
  const kept = isKept(doc, rotation, phase);
  const move = (id: string, x: number, y: number, done: boolean): void => {
    if (!done) {
      setLive({ ...mine, [id]: { x, y } });
      return;
    }
    setLive(null);
    const then = spots.find((s) => s.player === id);
    const stored = doc.mine[key]?.[id] ?? best.spots.find((s) => s.player === id);
    if (then && stored && stored.x === x && stored.y === y) return; // a tap moves nobody
    onMine(key, { [id]: { x, y } });
  };
  const mend = async (fewest: boolean): Promise<void> => {
    const lock = pinned.map((id) => playerOf(doc, id)?.number).filter((n): n is number => n !== undefined);
    const answer = await quick.ask<{ formations: { moves: { number: number; to: [number, number] }[] }[] }>({
      question: "mend",
      formation: drawn(doc, plan, rotation, spots, phase),
      options: { fewest, lock },
    });
    const moves = answer.answer?.formations[0]?.moves;
    if (answer.status !== "done" || !moves) {
      setSaid(answer.error?.text ?? "No change of spots makes this legal.");
      return;
    }
    const there = moves.flatMap(({ number, to: [x, y] }) => {
      const player = doc.team!.players.find((p) => p.number === number);
      return player ? [[player.id, { x, y }] as const] : [];
    });
    setSaid(moves.length ? `Moved ${list(moves.map((step) => String(step.number)))}.` : "Nobody has to move.");
    if (moves.length) onMine(key, Object.fromEntries(there));
  };
  const pin = (): void => {
    if (chosen) setPinned(pinned.includes(chosen) ? pinned.filter((id) => id !== chosen) : [...pinned, chosen]);
  };
  const wishes = doc.plan.wishes ?? {};
  const player = playerOf(doc, chosen);
  const wished = (wish: string): boolean => !!player && wishesOf(wishes, wish, player);
  const toggle = (wish: string, against: string): void => {
    if (!player) return;
    const rest = withoutWish(wishes, against, player);
    onWishes(wished(wish) ? withoutWish(rest, wish, player) : withOne(rest, wish, player));
  };
  const sides = ["left", "centre", "right"];
  const from = (side: string): void => {
    if (!doc.team || !player) return;
    const now = player.attacks_from?.length === 1 && player.attacks_from[0] === side;
    const { attacks_from: _, ...rest } = player;
    onTeam({
      ...doc.team,
      players: doc.team.players.map((p) => (p.id === player.id ? (now ? rest : { ...rest, attacks_from: [side] }) : p)),
    });
  };
  const at = spots.find((s) => s.player === chosen);
  const position = at?.position;
  const entry = (doc.plan.formations ?? []).find((f) => f.rotation === rotation);
  const whole = entry?.spots;
  const here: KeptSpot = (whole ?? entry?.wishes ?? []).find((w) => w.position === position || (chosen !== null && w.player === chosen)) ?? {};
  /** A wish for this rotation: given again it is taken back. */
  const setHere = (wish: KeptSpot): void => {
    const same = Object.entries(wish).every(([key, value]) => key === "x" || key === "y" ? here.x !== undefined : here[key as keyof KeptSpot] === value);
    const next: KeptSpot = { ...here, position };
    delete next.player;
    for (const [key, value] of Object.entries(wish)) {
      if (same) delete next[key as keyof KeptSpot];
      else Object.assign(next, { [key]: value });
    }
    if (whole) {
      onFormation({ ...entry!, spots: whole.map((w) => (w === here ? next : w)) });
      return;
    }
    const others = (entry?.wishes ?? []).filter((w) => w !== here);
    const wished = Object.keys(next).length > 1 ? [...others, next] : others;
    const { wishes: _, ...rest } = entry ?? { rotation };
    onFormation(wished.length ? { ...rest, wishes: wished } : rest);
  };
  const away = elsewhere(spots, ideal);
  const planned = plannedInto(doc, plan, rotation);
  const close = (verdict?.findings.length ?? 0) > 0;
  return (
    <section aria-labelledby="court-title">
      <h2 id="court-title">
        Rotation {rotation}
        {weak(plan) === rotation ? ", the weakest" : ""}
        {kept ? ", kept as you drew it" : ""}
      </h2>
      {planned ? <p>{planned}</p> : null}
      <div class="row" role="group" aria-label="Rotation">
        {plan.rotations.map((r) => (
          <button
            key={r.rotation}
            class="digit"
            aria-pressed={r.rotation === rotation}
            aria-label={`Rotation ${r.rotation}`}
            onClick={() => {
              setChosen(null);
              setSaid("");
              onRotation(r.rotation);
            }}
          >
            {r.rotation}
          </button>
        ))}
      </div>
      <div class="row" role="group" aria-label="Who serves">
        <button aria-pressed={phase === "receive"} onClick={() => setPhase("receive")}>
          their serve
        </button>
        <button aria-pressed={phase === "serve"} onClick={() => setPhase("serve")}>
          our serve
        </button>
      </div>
      <div class="columns">
        <div>
          <Court
            doc={doc}
            plan={plan}
            rotation={rotation}
            phase={phase}
            spots={spots}
            best={ideal}
            pinned={pinned}
            chosen={chosen}
            onChoose={setChosen}
            onMove={move}
            onVerdict={setVerdict}
          />
          <Bench doc={doc} plan={plan} chosen={chosen} made={made} onChoose={setChosen} onStart={onStart} onMade={onMade} />
        </div>
        <div>
          <p>
            {chosen ? `${namedId(doc, chosen)}: drag her, or use the arrow keys.` : "Drag a player, or choose one and use the arrow keys."}
          </p>
          <div class="row">
            <button disabled={!close} onClick={() => void mend(true)}>
              mend: fewest players
            </button>
            <button disabled={!close} onClick={() => void mend(false)}>
              mend: shortest way
            </button>
            <button disabled={!chosen} aria-pressed={!!chosen && pinned.includes(chosen)} onClick={pin}>
              {chosen ? `pin ${shirt(player)} to her spot` : "pin to her spot"}
            </button>
          </div>
          <div class="row">
            <button disabled={verdict?.legal !== true || kept || !away.count} onClick={() => onKeep(rotation, phase, spots)}>
              keep mine
            </button>
            {kept ? <button onClick={() => onKeep(rotation, phase, null)}>do not keep it</button> : null}
            <button disabled={!doc.mine[key]} onClick={() => onMine(key, null)}>
              back to the best
            </button>
          </div>
          <p role="status">{said}</p>
          {chosen && phase === "receive" && position ? (
            <div class="row" role="group" aria-label={`${named(player)} in this rotation`}>
              <span class="lead">In this rotation she</span>
              <button aria-pressed={here.x !== undefined && !whole} disabled={!!whole} onClick={() => setHere({ x: at!.x, y: at!.y })}>
                stands here
              </button>
              <button aria-pressed={here.passes === true} onClick={() => setHere({ passes: true })}>
                passes
              </button>
              {whole ? null : (
                <button aria-pressed={here.passes === false} onClick={() => setHere({ passes: false })}>
                  does not pass
                </button>
              )}
              {position >= 2 && position <= 4
                ? sides.map((side) => (
                    <button key={side} aria-pressed={here.attacks_from === side} onClick={() => setHere({ attacks_from: side })}>
                      hits {side}
                    </button>
                  ))
                : null}
            </div>
          ) : null}
          {chosen && !plan.libero.includes(chosen) ? (
            <div class="row" role="group" aria-label={`Wishes for ${named(player)}`}>
              <span class="lead">In every rotation she</span>
              <button aria-pressed={wished("always_pass")} onClick={() => toggle("always_pass", "never_pass")}>
                always passes
              </button>
              <button aria-pressed={wished("never_pass")} onClick={() => toggle("never_pass", "always_pass")}>
                never passes
              </button>
              {sides.map((side) => (
                <button
                  key={side}
                  aria-pressed={player?.attacks_from?.length === 1 && player.attacks_from[0] === side}
                  onClick={() => from(side)}
                >
                  attacks {side}
                </button>
              ))}
            </div>
          ) : null}
          {phase === "receive" ? <Others key={`${rotation}`} doc={doc} rotation={rotation} onOther={onOther} /> : null}
          <h3>Mine beside the best</h3>
          <p>
            {away.count
              ? `${away.count === 1 ? "One player stands" : `${away.count} players stand`} elsewhere than in the best formation, ${metres(away.way)} in all. Thin lines lead from the best spots.`
              : "Everybody stands where sixturn knows the best spot."}
          </p>
          {lineups.now && lineups.free ? (
            <Beside doc={doc} mine={lineups.now} free={lineups.free} />
          ) : lineups.now ? (
            <p>
              {made.length ? "The lineup that began" : "This lineup"} wins {lineups.now.sets.toFixed(1)} sets of 100. Runs in this rotation: {metres(best.spots.reduce((sum, s) => sum + (s.run ?? 0), 0))}
              {best.spots.some((s) => s.late) ? `; ${list(best.spots.filter((s) => s.late).map((s) => namedId(doc, s.player)))} may come late` : ""}.
            </p>
          ) : null}
        </div>
      </div>
    </section>
  );
}
