// One large court: six players who can be dragged by finger, mouse or arrow keys, judged as they move.
// The engine is the only judge: one request at a time, and of those that come meanwhile the newest.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { Newest, quick } from "./engine";
import { type Doc, type Phase, playerOf } from "./files";
import { type PlanAnswer, type Spot, drawn } from "./requests";
import { metres, named } from "./words";

const WIDTH = 9;
const DEPTH = 9;
const BEHIND = 1; // room for the server behind the end line
const STEP = 0.1;
const LONG_STEP = 0.5;

interface Finding {
  sentence: string;
  fault: boolean;
  metres: number;
  player?: { number: number };
  other?: { number: number };
}

export interface Verdict {
  legal: boolean;
  findings: Finding[];
}

interface Props {
  doc: Doc;
  plan: PlanAnswer;
  rotation: number;
  phase: Phase;
  spots: Spot[];
  best: Spot[];
  pinned: string[];
  chosen: string | null;
  onChoose(id: string | null): void;
  onMove(id: string, x: number, y: number, done: boolean): void;
  onVerdict(verdict: Verdict | null): void;
}

const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));
const centimetre = (value: number): number => Math.round(value * 100) / 100;

export function Court(props: Props) {
  const { doc, plan, rotation, phase, spots, best, pinned, chosen } = props;
  const svg = useRef<SVGSVGElement>(null);
  const held = useRef<{ id: string; dx: number; dy: number } | null>(null);
  const frame = useRef(0);
  const judge = useRef(new Newest());
  const [verdict, setVerdict] = useState<Verdict | null>(null);
  const [trouble, setTrouble] = useState("");
  const depth = phase === "serve" ? DEPTH + BEHIND : DEPTH;

  const request = useMemo(() => drawn(doc, plan, rotation, spots, phase), [doc.team, plan, rotation, spots, phase]);
  const newest = useRef(request);
  newest.current = request;
  useEffect(() => {
    judge.current.run(async () => {
      const answer = await quick.ask({ question: "check", formation: request });
      setTrouble(answer.error?.text ?? "");
      const result = (answer.answer as { formations?: Verdict[] } | undefined)?.formations?.[0] ?? null;
      setVerdict(result);
      props.onVerdict(newest.current === request ? result : null);
    });
  }, [request]);

  const place = (event: PointerEvent): { x: number; y: number } => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.current!.getScreenCTM()!.inverse());
    return { x: at.x, y: at.y };
  };
  const goTo = (event: PointerEvent, done: boolean): void => {
    const grip = held.current;
    if (!grip) return;
    const at = place(event);
    const x = centimetre(clamp(at.x + grip.dx, 0, WIDTH));
    const y = centimetre(clamp(at.y + grip.dy, 0, depth));
    cancelAnimationFrame(frame.current);
    if (done) props.onMove(grip.id, x, y, true);
    else frame.current = requestAnimationFrame(() => props.onMove(grip.id, x, y, false));
  };

  const keyed = (event: KeyboardEvent, spot: Spot): void => {
    const step = event.shiftKey ? LONG_STEP : STEP;
    const moves: Record<string, [number, number]> = {
      ArrowLeft: [-step, 0],
      ArrowRight: [step, 0],
      ArrowUp: [0, -step],
      ArrowDown: [0, step],
    };
    const move = moves[event.key];
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      props.onChoose(chosen === spot.player ? null : spot.player);
    }
    if (!move) return;
    event.preventDefault();
    props.onChoose(spot.player);
    props.onMove(
      spot.player,
      centimetre(clamp(spot.x + move[0], 0, WIDTH)),
      centimetre(clamp(spot.y + move[1], 0, depth)),
      true,
    );
  };

  const findings = verdict?.findings ?? [];
  const faulty = new Set(findings.filter((f) => f.fault).flatMap((f) => [f.player?.number, f.other?.number]));
  const spotOf = (number: number | undefined): Spot | undefined =>
    spots.find((s) => number !== undefined && playerOf(doc, s.player)?.number === number);

  return (
    <figure class="court">
      <svg
        ref={svg}
        viewBox={`-0.7 -0.7 ${WIDTH + 1.4} ${depth + 1.4}`}
        role="group"
        aria-label={`Court, rotation ${rotation}, ${phase === "receive" ? "their serve" : "our serve"}; the net is at the top. Arrow keys move a player by 10 centimetres, with shift by 50.`}
        onPointerMove={(event) => goTo(event, false)}
        onPointerUp={(event) => {
          goTo(event, true);
          held.current = null;
        }}
        onPointerCancel={() => {
          held.current = null;
        }}
      >
        <rect class="floor" x="0" y="0" width={WIDTH} height={DEPTH} />
        <line class="net" x1="-0.5" y1="0" x2={WIDTH + 0.5} y2="0" />
        <line class="attack-line" x1="0" y1="3" x2={WIDTH} y2="3" />
        {best.map((spot) => {
          const now = spots.find((s) => s.player === spot.player);
          if (!now || Math.hypot(now.x - spot.x, now.y - spot.y) < 0.05) return null;
          return (
            <g class="ghost" key={`best-${spot.player}`} aria-hidden="true">
              <line x1={spot.x} y1={spot.y} x2={now.x} y2={now.y} />
              <circle cx={spot.x} cy={spot.y} r="0.18" />
            </g>
          );
        })}
        {findings.map((finding, k) => {
          const a = spotOf(finding.player?.number);
          const b = spotOf(finding.other?.number);
          if (!a || !b) return null;
          return <line key={k} class={finding.fault ? "call fault" : "call"} x1={a.x} y1={a.y} x2={b.x} y2={b.y} />;
        })}
        {spots.map((spot) => {
          const player = playerOf(doc, spot.player);
          const fault = player !== undefined && faulty.has(player.number);
          const label = `${named(player)}, ${spot.passer ? "passes, " : ""}${metres(spot.x)} from the left, ${metres(spot.y)} from the net${fault ? ", in a fault" : ""}`;
          return (
            <g
              key={spot.player}
              class={`mark${spot.passer ? " passer" : ""}${fault ? " fault" : ""}${chosen === spot.player ? " chosen" : ""}`}
              transform={`translate(${spot.x} ${spot.y})`}
              tabindex={0}
              role="button"
              aria-label={label}
              aria-pressed={chosen === spot.player}
              data-player={spot.player}
              onPointerDown={(event) => {
                svg.current!.setPointerCapture(event.pointerId);
                const at = place(event);
                held.current = { id: spot.player, dx: spot.x - at.x, dy: spot.y - at.y };
                props.onChoose(spot.player);
              }}
              onKeyDown={(event) => keyed(event, spot)}
            >
              <circle class="reach" r="0.68" />
              {spot.passer ? <rect x="-0.42" y="-0.42" width="0.84" height="0.84" /> : <circle r="0.44" />}
              {pinned.includes(spot.player) ? <path class="pin" d="M-0.62 -0.62 h0.34 l-0.34 0.34 z" /> : null}
              <text y="0.2">{player?.number ?? "?"}</text>
            </g>
          );
        })}
      </svg>
      <figcaption aria-live="polite" role="status" class={verdict?.legal === false ? "verdict fault" : "verdict"}>
        <strong>{verdict === null ? trouble : verdict.legal ? "Legal." : "Not legal."}</strong>
        <ul>
          {findings.map((finding) => (
            <li key={finding.sentence} class={finding.fault ? "fault" : ""}>
              {finding.fault ? "Fault: " : "Close: "}
              {finding.sentence}.
            </li>
          ))}
        </ul>
      </figcaption>
    </figure>
  );
}
