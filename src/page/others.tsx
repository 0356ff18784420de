// Other formations of a rotation when they serve, with what each costs; one of them into the plan.
import { useState } from "preact/hooks";
import { type Answer, thinker } from "./engine";
import { type Doc, type KeptFormation, type Plan, playerOf } from "./files";
import { base } from "./requests";
import { list, metres, shirt } from "./words";

interface Choice {
  choice: number;
  sets: number; // of 100 that it costs
  run: number;
  asks?: string;
  passers: string[];
}

const TOP = 5;
const BIG = 0.05; // sets of 100

export function Others({ doc, rotation, onOther }: { doc: Doc; rotation: number; onOther(kept: KeptFormation): void }) {
  const [told, setTold] = useState<Answer<{ choices: Choice[]; planned: { run: number } }> | null>(null);
  const [busy, setBusy] = useState(false);
  const ask = async (keep?: number): Promise<Answer> => {
    setBusy(true);
    const answer = await thinker.ask({
      question: "receive",
      ...base(doc),
      options: { ...(base(doc) as { options: object }).options, rotation, top: TOP, ...(keep ? { keep } : {}) },
      ...(keep ? { want_file: true } : {}),
    });
    setBusy(false);
    return answer;
  };
  const keep = async (choice: number): Promise<void> => {
    const answer = await ask(choice);
    const kept = (answer.file as Plan | undefined)?.formations?.find((f) => f.rotation === rotation);
    if (kept) onOther(kept);
    else setTold(answer);
  };
  const answer = told?.answer;
  const words = ({ sets, run, asks, passers }: Choice): string => {
    const cost = Math.abs(sets) < BIG ? "costs nothing" : `${sets > 0 ? "costs" : "gains"} ${Math.abs(sets).toFixed(1)} sets of 100`;
    const way = run - answer!.planned.run;
    const further = Math.abs(way) < BIG ? "" : `, ${metres(Math.abs(way))} ${way > 0 ? "more" : "less"} to run`;
    return `${list(passers.map((id) => shirt(playerOf(doc, id))))} pass; ${cost}${further}${asks ? `; ${asks.replace(/#(?=\d)/g, "")}` : ""}.`; // the page's numbers go without
  };
  return (
    <section aria-labelledby="others-title">
      <h3 id="others-title">What else could we do here?</h3>
      <div class="row">
        <button disabled={busy} onClick={() => void ask().then(setTold)}>
          {busy ? "thinking" : "other formations"}
        </button>
        {busy ? <button onClick={() => thinker.stop()}>stop</button> : null}
      </div>
      <div role="status">
        {told?.error ? <p class="fault">{told.error.text}</p> : null}
        {answer ? (
          <ul class="wishes">
            {answer.choices.map((choice) => (
              <li key={choice.choice}>
                {words(choice)}{" "}
                <button aria-label={`keep it: ${words(choice)}`} onClick={() => void keep(choice.choice)}>
                  keep it
                </button>
              </li>
            ))}
          </ul>
        ) : null}
      </div>
    </section>
  );
}
