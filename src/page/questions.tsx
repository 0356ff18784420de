// The questions before a season and after an injury, each a long thought that can be stopped.
import { useState } from "preact/hooks";
import { type Answer, thinker } from "./engine";
import type { Doc } from "./files";
import { base } from "./requests";

const ASKS: { question: string; words: string }[] = [
  { question: "odds", words: "In which rotation do we start, and do the substitutions last?" },
  { question: "rank", words: "Which other orders are nearly as good?" },
  { question: "absent", words: "Whom can we least do without, and who steps in?" },
  { question: "setters", words: "Which setter, or pair of setters?" },
  { question: "systems", words: "Which playing system?" },
  { question: "worth", words: "What should we train?" },
];

export function Questions({ doc, onBusy }: { doc: Doc; onBusy(busy: boolean): void }) {
  const [asked, setAsked] = useState<string | null>(null);
  const [progress, setProgress] = useState<[number, number]>([0, 0]);
  const [answer, setAnswer] = useState<Answer | null>(null);
  const [thinking, setThinking] = useState(false);

  const ask = async (question: string): Promise<void> => {
    setAsked(question);
    setAnswer(null);
    setProgress([0, 0]);
    setThinking(true);
    onBusy(true);
    const told = await thinker.ask({ question, want_text: true, ...base(doc) }, (done, total) => setProgress([done, total]));
    setAnswer(told);
    setThinking(false);
    onBusy(false);
  };

  return (
    <section aria-labelledby="questions-title">
      <h2 id="questions-title">Questions</h2>
      <ul class="asks">
        {ASKS.map(({ question, words }) => (
          <li>
            <button disabled={!doc.team || thinking} aria-pressed={asked === question} onClick={() => void ask(question)}>
              {words}
            </button>
          </li>
        ))}
      </ul>
      {thinking ? (
        <p role="status">
          Thinking{progress[1] ? `: ${progress[0]} of ${progress[1]}` : ""}.{" "}
          <button onClick={() => thinker.stop()}>stop</button>
        </p>
      ) : null}
      {answer?.status === "stopped" ? <p role="status">Stopped.</p> : null}
      {answer?.error ? (
        <p class="troubles" role="alert">
          {answer.error.text}
        </p>
      ) : null}
      {answer?.text ? (
        <pre tabIndex={0} class="told">
          {answer.text}
        </pre>
      ) : null}
    </section>
  );
}
