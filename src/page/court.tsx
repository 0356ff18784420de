// One large court: six players who can be dragged by finger, mouse or arrow keys, judged as they move.
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { quick } from "./engine";
import { type Doc, playerOf } from "./files";
import { type PlanAnswer, type Spot, drawn } from "./requests";
import { metres, named } from "./words";

const WIDTH = 9;
const DEPTH = 9;
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
  phase: "receive" | "serve";
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
  const [held, setHeld] = useState<string | null>(null);
  const [verdict, setVerdict] = useState<Verdict | null>(null);
  const asked = useRef(0);

  const request = useMemo(() => drawn(doc, plan, rotation, spots, phase), [doc.team, plan, rotation, spots, phase]);
  useEffect(() => {
    const mine = ++asked.current;
    void quick.ask({ question: "check", formation: request }).then((answer) => {
      if (mine !== asked.current) return;
      const result = (answer.answer as { formations?: Verdict[] } | undefined)?.formations?.[0] ?? null;
      setVerdict(result);
      props.onVerdict(result);
    });
  }, [request]);

  const place = (event: PointerEvent): { x: number; y: number } => {
    const box = svg.current!.getBoundingClientRect();
    const scale = box.width / (WIDTH + 1);
    return {
      x: centimetre(clamp((event.clientX - box.left) / scale - 0.5, 0, WIDTH)),
      y: centimetre(clamp((event.clientY - box.top) / scale - 0.5, 0, phase === "serve" ? DEPTH + 1 : DEPTH)),
    };
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
    if (!move) return;
    event.preventDefault();
    props.onMove(
      spot.player,
      centimetre(clamp(spot.x + move[0], 0, WIDTH)),
      centimetre(clamp(spot.y + move[1], 0, DEPTH)),
      true,
    );
  };

  const faulty = new Set((verdict?.findings ?? []).filter((f) => f.fault).flatMap((f) => [f.player?.number, f.other?.number]));
  const legalWord = verdict === null ? "" : verdict.legal ? "Legal." : "Not legal.";

  return (
    <figure class="court">
      <svg
        ref={svg}
        viewBox={`-0.5 -0.5 ${WIDTH + 1} ${DEPTH + (phase === "serve" ? 2 : 1)}`}
        role="group"
        aria-label={`Court, rotation ${rotation}, ${phase === "receive" ? "their serve" : "our serve"}; the net is at the top`}
        onPointerMove={(event) => {
          if (held) {
            const at = place(event);
            props.onMove(held, at.x, at.y, false);
          }
        }}
        onPointerUp={(event) => {
          if (held) {
            const at = place(event);
            props.onMove(held, at.x, at.y, true);
            setHeld(null);
          }
        }}
        onPointerCancel={() => setHeld(null)}
      >
        <rect class="floor" x="0" y="0" width={WIDTH} height={DEPTH} />
        <line class="net" x1="-0.4" y1="0" x2={WIDTH + 0.4} y2="0" />
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
        {spots.map((spot) => {
          const player = playerOf(doc, spot.player);
          const fault = player !== undefined && faulty.has(player.number);
          const label = `${named(player)}, ${spot.passer ? "passes, " : ""}${metres(spot.x)} from the left, ${metres(spot.y)} from the net${fault ? ", in a fault" : ""}`;
          return (
            <g
              key={spot.player}
              class={`mark${spot.passer ? " passer" : ""}${fault ? " fault" : ""}${chosen === spot.player ? " chosen" : ""}`}
              transform={`translate(${spot.x} ${spot.y})`}
              tabIndex={0}
              role="button"
              aria-label={label}
              aria-pressed={chosen === spot.player}
              data-player={spot.player}
              onPointerDown={(event) => {
                (event.currentTarget as Element).setPointerCapture?.(event.pointerId);
                setHeld(spot.player);
                props.onChoose(spot.player);
              }}
              onFocus={() => props.onChoose(spot.player)}
              onKeyDown={(event) => keyed(event, spot)}
            >
              <circle class="reach" r="0.62" />
              {spot.passer ? <rect x="-0.42" y="-0.42" width="0.84" height="0.84" /> : <circle r="0.44" />}
              {pinned.includes(spot.player) ? <path class="pin" d="M-0.5 -0.5 h0.28 v0.28 z" /> : null}
              <text y="0.2">{player?.number ?? "?"}</text>
            </g>
          );
        })}
      </svg>
      <figcaption aria-live="polite" role="status" class={verdict?.legal === false ? "verdict fault" : "verdict"}>
        <strong>{legalWord}</strong>
        <ul>
          {(verdict?.findings ?? []).map((finding) => (
            <li class={finding.fault ? "fault" : ""}>{finding.sentence}.</li>
          ))}
        </ul>
      </figcaption>
    </figure>
  );
}
