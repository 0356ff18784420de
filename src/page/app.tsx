// The page: one document, its history, the lineup that follows from it, and five views of both.
import { useEffect, useLayoutEffect, useMemo, useState } from "preact/hooks";
import { type Answer, type EngineError, planner, quick } from "./engine";
import {
  type Doc, type KeptFormation, type KeptSpot, type Phase, type Place, type Plan, type Presence, type Swap, type Team, emptyDoc, late, playerOf, presence, spotKey,
} from "./files";
import { type Next, keep, useHistory } from "./history";
import { Board } from "./board";
import { logText, swapsOf, withEvent } from "./match";
import { Paper } from "./paper";
import { Questions } from "./questions";
import {
  type PlanAnswer, type Spot, afterSwaps, askPlan, formationFile, hasWishes, unwished,
} from "./requests";
import { Rotations } from "./rotations";
import { Squad } from "./squad";
import { Tonight } from "./tonight";
import { withOne, withoutWish } from "./who";
import { textOf } from "./words";

const VIEWS = ["tonight", "court", "set", "squad", "questions", "paper"] as const;
type View = (typeof VIEWS)[number];
const VIEW_WORD: Record<View, string> = {
  tonight: "Tonight",
  court: "Court",
  set: "Set",
  squad: "Squad",
  questions: "Questions",
  paper: "Paper",
};

/** The lineups that follow from the document. */
export interface Lineups {
  now: PlanAnswer | null;
  complete: PlanAnswer | null; // with those who are late
  free: PlanAnswer | null; // without wishes
}

const NOTHING: Lineups = { now: null, complete: null, free: null };

function save(name: string, value: unknown): void {
  saveText(name, JSON.stringify(value, null, 2) + "\n", "application/json");
}

function saveText(name: string, text: string, type: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

function formatOf(text: string): string {
  try {
    return String((JSON.parse(text) as { format?: unknown }).format);
  } catch {
    return "";
  }
}

interface DrawnFile {
  formations?: DrawnOne[];
}
interface DrawnOne {
  rotation?: number;
  phase: "receive" | "serve";
  players: { number: number; x: number; y: number }[];
}

export function App() {
  const history = useHistory(document.getElementById("given-team")?.textContent?.trim() ?? "");
  const { doc, newest, undo, redo } = history;
  const [chosen, setView] = useState<View>(() => (doc.team ? "tonight" : "squad"));
  const view = doc.team ? chosen : "squad"; // without players there is nothing else to see
  const [rotation, setRotation] = useState(1);
  const [lineups, setLineups] = useState<Lineups>(NOTHING);
  const [failed, setFailed] = useState<Answer | null>(null);
  const [planning, setPlanning] = useState(false);
  const [said, setSaid] = useState("");
  const [trouble, setTrouble] = useState("");
  const update = (next: Next): void => {
    setSaid(""); // what was said of the change before
    history.update(next);
  };

  useLayoutEffect(() => { // at once: she may close the page right after a tap
    if (!keep(doc)) setTrouble("This browser keeps nothing: save your files before you close the page.");
  }, [doc]);

  const planned = JSON.stringify([doc.team, doc.plan, doc.tonight, doc.opponent]);
  useEffect(() => {
    if (!doc.team) {
      setLineups(NOTHING);
      setFailed(null);
      setPlanning(false);
      return;
    }
    let current = true;
    const lineup = async (key: keyof Lineups, from: Doc, withLate: boolean): Promise<Answer> => {
      const told = await planner.ask<PlanAnswer>(askPlan(from, withLate));
      if (current && told.answer) setLineups((old) => ({ ...old, [key]: told.answer }));
      return told;
    };
    const all = async (): Promise<void> => {
      setPlanning(true);
      const first = await lineup("now", doc, false);
      if (!current) return;
      setPlanning(false);
      setFailed(first.answer ? null : first);
      if (!first.answer) setLineups(NOTHING);
      if (late(doc).length) await lineup("complete", doc, true);
      if (current && hasWishes(doc)) await lineup("free", unwished(doc), false);
    };
    setLineups((old) => ({ ...old, complete: null, free: null }));
    void all();
    return () => { // the newest document wins
      current = false;
      planner.stop();
    };
  }, [planned]);

  useEffect(() => {
    const keys = (event: KeyboardEvent): void => {
      if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") {
        if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) return;
        event.preventDefault();
        (event.shiftKey ? redo : undo)?.();
      }
    };
    window.addEventListener("keydown", keys);
    return () => window.removeEventListener("keydown", keys);
  });

  const tell = (words: string, bad = false): void => {
    setSaid(bad ? "" : words);
    setTrouble(bad ? words : "");
  };

  /** A file of any of the four kinds; what the engine refuses changes nothing. */
  const open = async (file: File): Promise<void> => {
    const text = await textOf(file);
    const format = formatOf(text);
    const refuse = (told: Answer): void => tell(`${file.name}: ${told.error?.text ?? "this file cannot be read."}`, true);
    if (format.startsWith("sixturn-formation-")) {
      const told = await quick.ask({ question: "check", formation: text });
      if (told.status !== "done") return refuse(told);
      const value = JSON.parse(text) as DrawnFile & DrawnOne;
      const known = (value.formations ?? [value]).filter((one) => one.rotation);
      if (!known.length) return tell(`${file.name} holds no formation of a known rotation.`, true);
      update((now) => {
        const mine = { ...now.mine };
        for (const one of known) {
          const spots = one.players.flatMap(({ number, x, y }) => {
            const player = now.team?.players.find((p) => p.number === number);
            return player ? [[player.id, { x, y }] as const] : [];
          });
          mine[spotKey(one.rotation!, one.phase)] = Object.fromEntries(spots);
        }
        const keys = known.map((one) => spotKey(one.rotation!, one.phase));
        return { ...now, mine, kept: [...new Set([...now.kept, ...keys])] };
      });
      tell(`Opened ${known.length} formation${known.length === 1 ? "" : "s"} from ${file.name}.`);
    } else if (doc.team && (format.startsWith("sixturn-opponent-") || /\.csv$/i.test(file.name))) {
      const told = await quick.ask({ question: "read", team: doc.team, opponent: text });
      if (told.status !== "done") return refuse(told);
      update((now) => ({ ...now, opponent: text }));
      tell(`Opened the other team, ${file.name}.`);
    } else if (format.startsWith("sixturn-plan-1") && doc.team) {
      const told = await quick.ask({ question: "read", team: doc.team, plan: text });
      if (told.status !== "done") return refuse(told);
      update((now) => ({ ...now, plan: JSON.parse(text) as Plan }));
      tell(`Opened the plan ${file.name}.`);
    } else {
      const told = await quick.ask({ question: "read", team: text });
      if (told.status !== "done") return refuse(told);
      update(({ given }) => ({ ...emptyDoc(), team: JSON.parse(text) as Team, ...(given === undefined ? {} : { given }) }));
      setView("tonight");
      tell(`Opened ${file.name}. Undo brings back what was here.`);
    }
  };

  const now = lineups.now;
  const made = useMemo(() => swapsOf(doc), [doc.match, doc.made]);
  const onCourt = useMemo(() => now && afterSwaps(now, made), [now, made]);
  const setPresence = (id: string, state: Presence): void => update({ ...doc, tonight: { ...doc.tonight, [id]: state } });
  const setMine = (key: string, spots: Record<string, Place> | null): void =>
    update((now) => {
      const { [key]: before, ...others } = now.mine;
      const mine = spots ? { ...others, [key]: { ...before, ...spots } } : others;
      return { ...now, mine, kept: now.kept.filter((k) => k !== key) };
    });
  const formationOf = (plan: Plan, at: number): KeptFormation => (plan.formations ?? []).find((f) => f.rotation === at) ?? { rotation: at };
  const withFormation = (plan: Plan, kept: KeptFormation): Plan => {
    const { formations: old = [], ...rest } = plan;
    const list = [...old.filter((f) => f.rotation !== kept.rotation), ...(Object.keys(kept).length > 1 ? [kept] : [])];
    return list.length ? { ...rest, formations: list.sort((a, b) => a.rotation - b.rotation) } : rest;
  };
  /** The engine reads the change before it counts; what it refuses comes back and changes nothing. */
  const judged = async (make: (now: Doc) => Doc): Promise<EngineError | null> => {
    for (;;) {
      const before = newest();
      const next = make(before);
      const told = await quick.ask({ question: "read", team: next.team, plan: next.plan });
      if (told.status !== "done") return told.error ?? { text: "This cannot be.", message: "this cannot be" };
      if (before !== newest()) continue; // something else has changed since
      update(next);
      return null;
    }
  };
  const keepInPlan = async (make: (now: Doc) => Doc, words: string): Promise<void> => {
    const error = await judged(make);
    tell(error?.text ?? words, error !== null);
  };
  /** The plan keeps where the server stands, the page the other five. */
  const withServe = (now: Doc, at: number, spots: Spot[] | null): Doc => {
    const key = spotKey(at, "serve");
    const others = now.kept.filter((k) => k !== key);
    const { server_x: _, ...rest } = formationOf(now.plan, at);
    const server = spots?.find((s) => s.position === 1);
    const plan = withFormation(now.plan, server ? { ...rest, server_x: server.x } : rest);
    if (spots) return { ...now, kept: [...others, key], plan };
    const { [key]: __, ...mine } = now.mine;
    return { ...now, kept: others, mine, plan };
  };
  const withReception = (now: Doc, at: number, spots: Spot[] | null): Doc => {
    const key = spotKey(at, "receive");
    const { [key]: _, ...mine } = now.mine;
    const { spots: own = [], wishes = [], ...rest } = formationOf(now.plan, at);
    const drawn = spots?.map(({ position, player, x, y, passer }): KeptSpot => {
      const side = [...own, ...wishes].find((w) => w.position === position || w.player === player)?.attacks_from;
      return { position, x, y, ...(passer ? { passes: true } : {}), ...(side ? { attacks_from: side } : {}) };
    });
    return { ...now, kept: now.kept.filter((k) => k !== key), mine, plan: withFormation(now.plan, drawn ? { ...rest, spots: drawn } : rest) };
  };
  const keepMine = (at: number, phase: Phase, spots: Spot[] | null): void => {
    const make = (now: Doc): Doc => (phase === "serve" ? withServe : withReception)(now, at, spots);
    if (!spots) return update(make);
    void keepInPlan(make, phase === "serve"
      ? `Our serve in rotation ${at} is kept on this page and on paper; the plan keeps the server's place.`
      : `Rotation ${at} is kept in the plan: plan, odds and paper obey.`);
  };
  const startHer = (swap: Swap): void => {
    const [comes, leaves] = [playerOf(doc, swap.in), playerOf(doc, swap.out)];
    if (!comes || !leaves) return;
    const neither = ["must_play", "must_sit"].reduce((w, kind) => withoutWish(withoutWish(w, kind, comes), kind, leaves), doc.plan.wishes ?? {});
    const wishes = withOne(withOne(neither, "must_play", comes), "must_sit", leaves);
    update({ ...doc, plan: { ...doc.plan, wishes } });
    tell(`${comes.number} plays for ${leaves.number}: two wishes in the plan. Undo takes them back.`);
  };
  const missing = (doc.team?.players ?? []).filter((p) => presence(doc, p.id) === "hurt").length;

  return (
    <>
      <header class="screen">
        <h1>{doc.team?.name ?? "sixturn"}</h1>
        <nav aria-label="Views">
          {VIEWS.map((name) => (
            <button
              key={name}
              aria-current={view === name ? "page" : undefined}
              disabled={!doc.team && name !== "squad"}
              onClick={() => {
                setSaid("");
                setView(name);
              }}
            >
              {VIEW_WORD[name]}
            </button>
          ))}
        </nav>
        <div class="row files">
          <button disabled={!undo} onClick={() => undo?.()}>
            undo
          </button>
          <button disabled={!redo} onClick={() => redo?.()}>
            redo
          </button>
          <label class="button">
            open
            <input
              type="file"
              accept=".json,.csv"
              data-opens="files"
              onChange={(e) => {
                const file = e.currentTarget.files?.[0];
                if (file) void open(file);
                e.currentTarget.value = "";
              }}
            />
          </label>
          <details class="saves">
            <summary>save</summary>
            <div class="row">
              <button disabled={!doc.team} onClick={() => save("team.json", doc.team)}>
                team
              </button>
              <button disabled={!doc.team} onClick={() => save("plan.json", doc.plan)}>
                plan
              </button>
              <button
                disabled={!onCourt}
                onClick={() => onCourt && save("formations.json", formationFile(doc, onCourt))}
              >
                formations
              </button>
            </div>
          </details>
        </div>
        <p role="status" class="said">
          {said}
        </p>
        {trouble ? (
          <div class="troubles" role="alert">
            {trouble.split("\n").map((line) => (
              <p>{line}</p>
            ))}
            <button onClick={() => setTrouble("")}>understood</button>
          </div>
        ) : null}
      </header>
      <main>
        {failed?.error ? (
          <div class="troubles screen" role="alert">
            <strong>No lineup.</strong>
            {failed.error.text.split("\n").map((line) => (
              <p>{line}</p>
            ))}
            <button disabled={!undo} onClick={() => undo?.()}>
              take the last change back
            </button>
          </div>
        ) : null}
        <p role="status" class="screen planning" data-busy={planning}>
          {planning ? "Planning." : ""}
        </p>
        {view === "tonight" && doc.team ? (
          <Tonight
            doc={doc}
            lineups={lineups}
            onPresence={setPresence}
            onEven={() => {
              const { opponent: _, ...rest } = doc;
              update(rest);
            }}
          />
        ) : null}
        {view === "court" && onCourt ? (
          <Rotations
            doc={doc}
            plan={onCourt}
            lineups={lineups}
            rotation={rotation}
            onRotation={setRotation}
            onMine={setMine}
            onKeep={keepMine}
            onFormation={(kept) =>
              void keepInPlan((now) => ({ ...now, plan: withFormation(now.plan, kept) }), `A wish for rotation ${kept.rotation}. Undo takes it back.`)
            }
            onOther={(kept) => {
              update((now) => {
                const { [spotKey(kept.rotation, "receive")]: _, ...mine } = now.mine;
                return { ...now, mine, plan: withFormation(now.plan, kept) };
              });
              tell(`Rotation ${kept.rotation} is kept in the plan. Undo takes it back.`);
            }}
            onStart={startHer}
            made={made}
            onMade={(next) => update(doc.match.now ? withEvent(doc, { swap: next[next.length - 1]! }) : { ...doc, made: next })}
            onWishes={(wishes) => update({ ...doc, plan: { ...doc.plan, wishes } })}
            onTeam={(team) => update({ ...doc, team })}
          />
        ) : null}
        {view === "set" && doc.team ? (
          <Board doc={doc} onDoc={update} onSave={() => saveText("rallies.csv", logText(doc.match.sets), "text/csv")} />
        ) : null}
        {view === "squad" ? (
          <Squad
            doc={doc}
            plan={now}
            newest={newest}
            judged={judged}
            onTeam={(team) => update({ ...doc, team })}
            onWishes={(wishes) => update({ ...doc, plan: { ...doc.plan, wishes } })}
            onPlan={(plan) => update({ ...doc, plan })}
          />
        ) : null}
        {view === "questions" ? <Questions doc={doc} /> : null}
        {view === "paper" && now ? <Paper doc={doc} plan={now} /> : null}
      </main>
      <footer class="screen">
        <p>
          Ratings are opinions and some constants are invented. The competition's own rule book and its referees prevail.
          {missing ? " When a hurt player may return is for the medical staff to say." : ""} Sixturn is no medical advice.
        </p>
      </footer>
    </>
  );
}
