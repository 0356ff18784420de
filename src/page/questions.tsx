// The questions before a season and after an injury, each a long thought that can be stopped. Answers
// are short tables; the whole text stands below.
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { type Answer, thinker } from "./engine";
import { type Doc, playerOf } from "./files";
import { ratesOf } from "./match";
import { base } from "./requests";
import { list, namedId, sets, shirt } from "./words";

const ASKS: { question: string; words: string }[] = [
  { question: "odds", words: "In which rotation do we start, and do the substitutions last?" },
  { question: "rank", words: "Which other orders are nearly as good?" },
  { question: "absent", words: "Whom can we least do without, and who steps in?" },
  { question: "setters", words: "Which setter, or pair of setters?" },
  { question: "systems", words: "Which playing system?" },
  { question: "worth", words: "What should we train?" },
];

function Table({ heads, rows }: { heads: string[]; rows: ComponentChildren[][] }) {
  return (
    <div class="scroll" tabIndex={0} role="region" aria-label="Answer">
      <table class="plain">
        <thead>
          <tr>
            {heads.map((head) => (
              <th scope="col">{head}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((cells) => (
            <tr>
              {cells.map((cell) => (
                <td>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

interface Valued {
  score: number;
  sets?: number;
}
/** Sets of 100 where the answer tells them, else points of the score. */
const shown = (of: Valued): string => (of.sets ?? of.score).toFixed(1);
const unit = (of: Valued | undefined): string => (of?.sets !== undefined ? "sets of 100" : "points");

interface Move {
  kind: "replaces" | "joins" | "swaps" | "takes" | "leaves" | "libero";
  player: string | null;
  other: string | null;
  row?: "front" | "back";
}
function moveWords(doc: Doc, { kind, player, other, row }: Move): string {
  const [she, her] = [shirt(playerOf(doc, player)), shirt(playerOf(doc, other))];
  const where = row ? (row === "front" ? " in front" : " in the back row") : "";
  switch (kind) {
    case "replaces":
      return `${she} for ${her}${where}`;
    case "joins":
      return `${she} comes in at the place of ${her}${where}`;
    case "swaps":
      return `${she} and ${her} swap places${where}`;
    case "takes":
      return `${she} moves to the place of ${her}${where}`;
    case "leaves":
      return `${she} sits out`;
    case "libero":
      return player === null ? `no libero in place of ${her}` : other === null ? `${she} is libero too` : `${she} is libero instead of ${her}`;
  }
}
const moves = (doc: Doc, of: { difference?: { moves?: Move[] } }): string =>
  (of.difference?.moves ?? []).map((move) => moveWords(doc, move)).join("; ") || "the same lineup";

/* The shapes of the answers are those of datasets/schema/answers. */
function Short({ doc, question, answer }: { doc: Doc; question: string; answer: any }) {
  const ids = (players: string[]): string => list(players.map((id) => namedId(doc, id)));
  const order = (places: { front: string; back: string }[]): string =>
    places
      .map((p) => (p.back !== p.front ? `${shirt(playerOf(doc, p.back))}/` : "") + shirt(playerOf(doc, p.front)))
      .join(" ");
  switch (question) {
    case "odds":
      return (
        <>
          <p class="value">
            <b>{sets(answer.win)}</b> sets of 100; <b>{sets(answer.match.win)}</b> of 100 matches, best of {answer.match.best_of}.
            Start in rotation <b>{answer.start.receive}</b> when they serve first, in <b>{answer.start.serve}</b> when we do.
          </p>
          <Table
            heads={["start in", "they serve first", "we serve first"]}
            rows={[0, 1, 2, 3, 4, 5].map((k) => [
              `rotation ${k + 1}`,
              `${sets(answer.set.receive.mean[k])}${answer.set.receive.best_start === k + 1 ? " best" : ""}`,
              `${sets(answer.set.serve.mean[k])}${answer.set.serve.best_start === k + 1 ? " best" : ""}`,
            ])}
          />
        </>
      );
    case "rank":
      return (
        <Table
          heads={["", "order", unit(answer.orders[0]), "apart from the first"]}
          rows={answer.orders.map((o: any) => [o.rank, order(o.order), shown(o), o.rank === 1 ? "" : moves(doc, o)])}
        />
      );
    case "absent":
      return (
        <Table
          heads={["without", `loss, ${unit(answer.with_everybody)}`, "then"]}
          rows={answer.absences.map((a: any) => [
            ids(a.absent),
            a.possible ? (a.loss as number).toFixed(1) : "",
            a.possible ? moves(doc, a) : "no lineup",
          ])}
        />
      );
    case "setters":
      return (
        <Table
          heads={["setters", "system", unit(answer.choices.find((c: any) => c.possible))]}
          rows={answer.choices.map((c: any) => [ids(c.setters), c.system ?? "", c.possible ? shown(c) : "no lineup"])}
        />
      );
    case "systems":
      return (
        <Table
          heads={["system", unit(answer.systems.find((s: any) => s.possible)), "order"]}
          rows={answer.systems.map((s: any) => [
            s.system,
            s.possible ? shown(s) : "no lineup",
            s.possible ? order(s.order) : "",
          ])}
        />
      );
    case "worth":
      return (
        <Table
          heads={["player", "one point more of", `gives, ${unit(answer.best)}`]}
          rows={[...answer.points]
            .sort((a: any, b: any) => b.gain - a.gain)
            .slice(0, 12)
            .map((p: any) => [namedId(doc, p.player), p.skill, (p.gain as number).toFixed(2)])}
        />
      );
    default:
      return null;
  }
}

export function Questions({ doc }: { doc: Doc }) {
  const [asked, setAsked] = useState<string | null>(null);
  const [progress, setProgress] = useState<[number, number]>([0, 0]);
  const [answer, setAnswer] = useState<Answer | null>(null);
  const [thinking, setThinking] = useState(false);

  const ask = async (question: string): Promise<void> => {
    setAsked(question);
    setAnswer(null);
    setProgress([0, 0]);
    setThinking(true);
    const rates = question === "odds" ? ratesOf(doc) : null;
    const told = await thinker.ask({ question, want_text: true, ...base(doc), ...(rates ? { rates } : {}) }, (done, total) => setProgress([done, total]));
    setAnswer(told);
    setThinking(false);
  };

  return (
    <section aria-labelledby="questions-title">
      <h2 id="questions-title">Questions</h2>
      <ul class="asks">
        {ASKS.map(({ question, words }) => (
          <li key={question}>
            <button disabled={!doc.team || thinking} aria-pressed={asked === question} onClick={() => void ask(question)}>
              {words}
            </button>
          </li>
        ))}
      </ul>
      {thinking ? (
        <div role="status" class="row">
          <progress aria-label="Thinking" max={progress[1] || undefined} value={progress[1] ? progress[0] : undefined} />
          <span>Thinking{progress[1] ? `: ${progress[0]} of ${progress[1]}` : ""}.</span>
          <button onClick={() => thinker.stop()}>stop</button>
        </div>
      ) : null}
      {answer?.status === "stopped" ? <p role="status">Stopped.</p> : null}
      {answer?.error ? (
        <p class="troubles" role="alert">
          {answer.error.text}
        </p>
      ) : null}
      {answer?.answer && asked ? (
        <div aria-live="polite">
          <Short doc={doc} question={asked} answer={answer.answer} />
          <details>
            <summary>all of it</summary>
            <pre tabIndex={0} class="told">
              {answer.text}
            </pre>
          </details>
        </div>
      ) : null}
    </section>
  );
}
