// The page: one document, its history, the lineup that follows from it, and five views of both.
import { useEffect, useRef, useState } from "preact/hooks";
import { type Answer, quick, thinker } from "./engine";
import { type Doc, type KeptFormation, type Plan, type Presence, type Team, emptyDoc } from "./files";
import { type History, change, keep, load, redo, undo } from "./history";
import { Paper } from "./paper";
import { Questions } from "./questions";
import { type PlanAnswer, askPlan } from "./requests";
import { Rotations } from "./rotations";
import { Squad } from "./squad";
import { Tonight } from "./tonight";

const VIEWS = ["tonight", "court", "squad", "questions", "paper"] as const;
type View = (typeof VIEWS)[number];
const VIEW_WORD: Record<View, string> = {
  tonight: "Tonight",
  court: "Court",
  squad: "Squad",
  questions: "Questions",
  paper: "Paper",
};

function given(): Doc | null {
  const text = document.getElementById("given-team")?.textContent?.trim();
  if (!text) return null;
  try {
    return { ...emptyDoc(), team: JSON.parse(text) as Team };
  } catch {
    return null;
  }
}

function save(name: string, value: unknown): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(value, null, 2) + "\n"], { type: "application/json" }));
  link.download = name;
  link.click();
  URL.revokeObjectURL(link.href);
}

export function App() {
  const [history, setHistory] = useState<History>(() => load(given()));
  const [view, setView] = useState<View>(() => (history.doc.team ? "tonight" : "squad"));
  const [rotation, setRotation] = useState(1);
  const [answer, setAnswer] = useState<Answer<PlanAnswer> | null>(null);
  const [planning, setPlanning] = useState(false);
  const [said, setSaid] = useState("");
  const asked = useRef(0);
  const doc = history.doc;
  const update = (next: Doc): void => setHistory((now) => change(now, next));

  useEffect(() => {
    if (!keep(doc)) setSaid("This browser keeps nothing: save your files before you close the page.");
  }, [doc]);

  const planned = JSON.stringify([doc.team, doc.plan, doc.tonight]);
  useEffect(() => {
    if (!doc.team) {
      setAnswer(null);
      return;
    }
    const mine = ++asked.current;
    setPlanning(true);
    void thinker.ask<PlanAnswer>(askPlan(doc)).then((told) => {
      if (mine !== asked.current || told.status === "stopped") return;
      setAnswer(told);
      setPlanning(false);
    });
  }, [planned]);

  useEffect(() => {
    const keys = (event: KeyboardEvent): void => {
      if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") {
        if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) return;
        event.preventDefault();
        setHistory((now) => (event.shiftKey ? redo(now) : undo(now)));
      }
    };
    window.addEventListener("keydown", keys);
    return () => window.removeEventListener("keydown", keys);
  }, []);

  const open = async (file: File): Promise<void> => {
    const text = await file.text();
    let format = "";
    try {
      format = String((JSON.parse(text) as { format?: unknown }).format);
    } catch {
      format = "";
    }
    if (format.startsWith("sixturn-plan-") && doc.team) {
      const told = await quick.ask({ question: "read", team: doc.team, plan: text });
      if (told.status === "done") {
        update({ ...doc, plan: JSON.parse(text) as Plan });
        setSaid(`Opened the plan ${file.name}.`);
      } else {
        setSaid(told.error?.text ?? "This plan cannot be read.");
      }
      return;
    }
    const told = await quick.ask({ question: "read", team: text });
    if (told.status === "done") {
      update({ ...emptyDoc(), team: JSON.parse(text) as Team });
      setSaid(`Opened ${file.name}.`);
    } else {
      setSaid(told.error?.text ?? "This file cannot be read.");
    }
  };

  const plan = answer?.answer ?? null;
  const setPresence = (id: string, state: Presence): void => update({ ...doc, tonight: { ...doc.tonight, [id]: state } });
  const setMine = (at: number, mine: Record<string, { x: number; y: number }> | null): void => {
    const next = { ...doc.mine };
    if (mine) next[`${at}-receive`] = mine;
    else delete next[`${at}-receive`];
    update({ ...doc, mine: next });
  };
  const keepMine = (kept: KeptFormation): void => {
    const others = (doc.plan.formations ?? []).filter((f) => f.rotation !== kept.rotation);
    update({ ...doc, plan: { ...doc.plan, formations: [...others, kept].sort((a, b) => a.rotation - b.rotation) } });
    setSaid(`Rotation ${kept.rotation} is kept in the plan.`);
  };
  const forget = (at: number): void =>
    update({ ...doc, plan: { ...doc.plan, formations: (doc.plan.formations ?? []).filter((f) => f.rotation !== at) } });
  const swap = (gone: string, into: string): void => {
    const wishes = doc.plan.wishes ?? {};
    const add = (wish: string, id: string): unknown[] => [
      ...((wishes[wish] as unknown[] | undefined) ?? []).filter((w) => w !== id),
      id,
    ];
    update({
      ...doc,
      plan: { ...doc.plan, wishes: { ...wishes, must_play: add("must_play", into), must_sit: add("must_sit", gone) } },
    });
    setSaid("The plan now says so. Undo takes it back.");
  };

  return (
    <>
      <header class="screen">
        <h1>{doc.team?.name ?? "sixturn"}</h1>
        <nav aria-label="Views">
          {VIEWS.map((name) => (
            <button
              aria-current={view === name ? "page" : undefined}
              disabled={!doc.team && name !== "squad"}
              onClick={() => setView(name)}
            >
              {VIEW_WORD[name]}
            </button>
          ))}
        </nav>
        <div class="row">
          <button disabled={!history.past.length} onClick={() => setHistory(undo)}>
            undo
          </button>
          <button disabled={!history.future.length} onClick={() => setHistory(redo)}>
            redo
          </button>
          <label class="button">
            open
            <input
              type="file"
              accept=".json"
              onChange={(e) => {
                const file = e.currentTarget.files?.[0];
                if (file) void open(file);
                e.currentTarget.value = "";
              }}
            />
          </label>
          <button disabled={!doc.team} onClick={() => save("team.json", doc.team)}>
            save team
          </button>
          <button disabled={!doc.team} onClick={() => save("plan.json", doc.plan)}>
            save plan
          </button>
        </div>
        <p role="status" class="said">
          {said}
        </p>
      </header>
      <main>
        {answer?.error ? (
          <div class="troubles" role="alert">
            {answer.error.text.split("\n").map((line) => (
              <p>{line}</p>
            ))}
          </div>
        ) : null}
        {planning ? (
          <p role="status" class="screen">
            Planning.
          </p>
        ) : null}
        {view === "tonight" ? <Tonight doc={doc} plan={plan} onPresence={setPresence} /> : null}
        {view === "court" && plan ? (
          <Rotations
            doc={doc}
            plan={plan}
            rotation={rotation}
            onRotation={setRotation}
            onMine={setMine}
            onKeep={keepMine}
            onForget={forget}
            onSwap={swap}
          />
        ) : null}
        {view === "squad" ? (
          <Squad
            doc={doc}
            onTeam={(team) => update({ ...doc, team })}
            onWishes={(wishes) => update({ ...doc, plan: { ...doc.plan, wishes } })}
          />
        ) : null}
        {view === "questions" ? <Questions doc={doc} onBusy={() => undefined} /> : null}
        {view === "paper" && plan ? <Paper doc={doc} plan={plan} /> : null}
      </main>
      <footer class="screen">
        <p>
          Ratings are opinions and some constants are invented. The competition's own rule book and its referees prevail. Sixturn
          is no medical advice.
        </p>
      </footer>
    </>
  );
}
