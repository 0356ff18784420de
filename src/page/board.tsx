// The set, rally by rally: one tap each, and what the engine advises before the next service.
import type { ComponentChildren } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { type Answer, Engine, Newest, thinker } from "./engine";
import type { Next } from "./history";
import { type Doc, type Match, type PlayedSet, type Player, type Rates, type Swap, playerOf } from "./files";
import { type Standing, askMoment, logText, ratesOf, standing, takenBack, withEvent } from "./match";
import { type BenchAnswer, type OddsAnswer, type PlanAnswer, afterSwaps, askOdds, base, begunWith, benchOf, inLineup } from "./requests";
import { list, namedId, sentence, sets, shirt, swapWords } from "./words";

/** Its own engine, so that a tap never waits for a long thought. */
const sideline = new Engine();

const BIG = 0.0005; // in odds: 0.05 sets of 100, below which nothing is worth saying

interface Exchange {
  out: string[];
  in: string[];
  use: "serve" | "back row" | "front row" | "setting" | "double" | "planned";
  state: "fresh" | "made" | "back";
  may_make: boolean;
  may_undo: boolean;
}
interface Move {
  make: number[];
  undo: number[];
  win: number;
  gain: number;
}
interface Rule {
  exchange: number;
  do: "make" | "undo";
  rotation: number;
  phase: "receive" | "serve";
  least_lead: number | null;
  most_lead: number | null;
  from_points: number;
}
interface MomentAnswer {
  left: number | null;
  win: number;
  win_without: number;
  moves: Move[];
  next: (Pick<Move, "make" | "undo"> & Pick<Rule, "rotation" | "phase"> & { ever: number; our_points: number; their_points: number }) | null;
  exchanges: Exchange[];
  card: { rules: Rule[]; win: number; win_best: number; win_without: number } | null;
}
interface Tally {
  rate: number;
  low: number;
  high: number;
  won: number;
  played: number;
}

const PURPOSE: Record<Exchange["use"], string> = {
  serve: " to serve",
  "back row": " in the back row",
  "front row": " in the front row",
  setting: " to set",
  double: "",
  planned: ", as planned",
};

/** The swaps of one exchange, made or taken back. */
function swapsIn(exchange: Exchange, undo: boolean): Swap[] {
  return exchange.out.map((out, k) => (undo ? { out: exchange.in[k]!, in: out } : { out, in: exchange.in[k]! }));
}

function exchangeWords(doc: Doc, exchange: Exchange, undo: boolean): string {
  const who = swapsIn(exchange, undo).map((swap) => `${shirt(playerOf(doc, swap.in))} ${undo ? "back " : ""}for ${shirt(playerOf(doc, swap.out))}`);
  return list(who) + (undo ? "" : PURPOSE[exchange.use]);
}

function moveWords(doc: Doc, move: Pick<Move, "make" | "undo">, exchanges: Exchange[]): string {
  const words = [
    ...move.undo.map((k) => exchangeWords(doc, exchanges[k]!, true)),
    ...move.make.map((k) => exchangeWords(doc, exchanges[k]!, false)),
  ];
  return words.length ? list(words) : "hold: nobody changes";
}

const moveSwaps = (move: Move, exchanges: Exchange[]): Swap[] => [
  ...move.undo.flatMap((k) => swapsIn(exchanges[k]!, true)),
  ...move.make.flatMap((k) => swapsIn(exchanges[k]!, false)),
];

const when = (at: Pick<Rule, "rotation" | "phase">): string =>
  `in rotation ${at.rotation} when ${at.phase === "serve" ? "we serve" : "they serve"}`;

function leadWords({ least_lead: least, most_lead: most }: Rule): string {
  const lead = (points: number): string =>
    points > 0 ? `lead by ${points}` : points < 0 ? `trail by ${-points}` : "are level";
  if (least === null && most === null) return "";
  if (least === null) return `, if we ${lead(most!)}${most! < 0 ? " or more" : " or less"}`;
  if (most === null) return `, if we ${lead(least)}${least > 0 ? " or more" : " or better"}`;
  return least === most ? `, if we ${lead(least)}` : `, from where we ${lead(least)} to where we ${lead(most)}`;
}

const ruleWords = (doc: Doc, rule: Rule, exchanges: Exchange[]): string =>
  `${exchangeWords(doc, exchanges[rule.exchange]!, rule.do === "undo")} ${when(rule)}${leadWords(rule)}` +
  `${rule.from_points > 0 ? `, once ${rule.from_points} points are played` : ""}.`;

/** Best play from here, asked anew after every tap; of several taps only the last. */
function useMoment(set: PlayedSet, rates: Rates | null): { told: Answer<MomentAnswer> | null; fresh: boolean } {
  const request = useMemo(() => askMoment(set, rates), [set, rates]);
  const [told, setTold] = useState<{ of: object; answer: Answer<MomentAnswer> } | null>(null);
  const queue = useRef(new Newest());
  useEffect(() => {
    queue.current.run(async () => {
      const answer = await sideline.ask<MomentAnswer>(request);
      setTold({ of: request, answer });
    });
  }, [request]);
  return { told: told?.answer ?? null, fresh: told?.of === request };
}

function Advice({ doc, set, onSwaps }: { doc: Doc; set: PlayedSet; onSwaps(swaps: Swap[]): void }) {
  const { told, fresh } = useMoment(set, ratesOf(doc));
  const answer = told?.answer;
  if (!fresh) {
    return (
      <div class="advice" data-fresh="false">
        <p>Working it out.</p>
      </div>
    );
  }
  if (!answer) {
    return (
      <div class="advice" data-fresh="true" role="status">
        <p>{told?.error ? sentence(told.error.message) : "No advice."}</p>
      </div>
    );
  }
  const best = answer.moves[0]!;
  const second = answer.moves[1];
  const swaps = moveSwaps(best, answer.exchanges);
  const { next } = answer;
  const home = answer.exchanges.filter((x) => x.state === "made" && x.may_undo);
  return (
    <div class="advice" data-fresh="true" role="status">
      <p>
        Now: <strong>{moveWords(doc, best, answer.exchanges)}</strong>
        {swaps.length && best.gain >= BIG ? `; ${sets(best.gain)} sets of 100 more than waiting` : ""}.
      </p>
      {swaps.length ? <button onClick={() => onSwaps(swaps)}>done: {moveWords(doc, best, answer.exchanges)}</button> : null}
      <p>
        <b class="digit">{sets(answer.win)}</b> sets of 100 are won from here with best play,{" "}
        {sets(answer.win_without)} if nobody changes any more.
      </p>
      <ul class="plainly">
        {next ? (
          <li>
            A change pays later in {sets(next.ever).replace(/\.0$/, "")} of 100 sets; most often {moveWords(doc, next, answer.exchanges)}, {when(next)}, near{" "}
            {next.our_points.toFixed(0)}-{next.their_points.toFixed(0)}.
          </li>
        ) : null}
        {second ? (
          <li>
            Next best: {moveWords(doc, second, answer.exchanges)}, {sets(best.win - second.win)} less.
          </li>
        ) : null}
        <li>
          {answer.left === null ? "No limit of substitutions." : `${answer.left} substitution${answer.left === 1 ? "" : "s"} left.`}{" "}
          {home.map((x) => `${list(x.out.map((id) => shirt(playerOf(doc, id))))} may come back for ${list(x.in.map((id) => shirt(playerOf(doc, id))))}.`).join(" ")}
        </li>
      </ul>
    </div>
  );
}

/** Rules of thumb for the rest of the set: a thought of some seconds, so only when asked for. */
function Card({ doc, set }: { doc: Doc; set: PlayedSet }) {
  const [told, setTold] = useState<Answer<MomentAnswer> | null>(null);
  const [thinking, setThinking] = useState(false);
  const think = async (): Promise<void> => {
    setThinking(true);
    setTold(await thinker.ask<MomentAnswer>(askMoment(set, ratesOf(doc), true)));
    setThinking(false);
  };
  const answer = told?.answer;
  const card = answer?.card;
  return (
    <section aria-labelledby="thumb-title">
      <h3 id="thumb-title">Rules of thumb from here on</h3>
      <div class="row">
        <button disabled={thinking} onClick={() => void think()}>
          {thinking ? "thinking" : card ? "again, from this score" : "work them out"}
        </button>
        {thinking ? <button onClick={() => thinker.stop()}>stop</button> : null}
      </div>
      <div role="status">
        {told?.error ? <p>{told.error.text}</p> : null}
        {told?.status === "stopped" ? <p>Stopped.</p> : null}
        {card && answer ? (
          <>
            <ol class="numbered">
              {card.rules.map((rule) => (
                <li>{ruleWords(doc, rule, answer.exchanges)}</li>
              ))}
            </ol>
            <p>
              {card.rules.length
                ? `They keep ${sets(card.win - card.win_without)} of the ${sets(card.win_best - card.win_without)} sets in 100 that best play gains.`
                : "No change is worth keeping in mind."}
            </p>
          </>
        ) : null}
      </div>
    </section>
  );
}

/** A substitution by two taps, judged by the engine before it counts. */
function Change({ doc, set, now, onSwaps }: { doc: Doc; set: PlayedSet; now: PlanAnswer; onSwaps(swaps: Swap[]): void }) {
  const made = standing(set).swaps;
  const playing = inLineup(now);
  const [leaves, setLeaves] = useState("");
  const [comes, setComes] = useState("");
  const [told, setTold] = useState<Answer<BenchAnswer> | null>(null);
  useEffect(() => {
    setTold(null);
    if (!leaves || !comes) return;
    let current = true;
    void sideline
      .ask<BenchAnswer>({ question: "bench", ...set.asked, swap: { out: leaves, in: comes }, made, moment: { started: set.rotation } })
      .then((answer) => current && setTold(answer));
    return () => {
      current = false;
    };
  }, [leaves, comes, set]);
  const answer = told?.answer;
  const onCourt = (doc.team?.players ?? []).filter((p) => playing.has(p.id) && !now.libero.includes(p.id));
  const bench = benchOf(doc, now);
  const choice = (label: string, from: Player[], value: string, put: (id: string) => void) => (
    <label class="block">
      {label}{" "}
      <select value={value} onChange={(e) => put(e.currentTarget.value)}>
        <option value="">choose</option>
        {from.map((p) => (
          <option value={p.id}>{namedId(doc, p.id)}</option>
        ))}
      </select>
    </label>
  );
  return (
    <section aria-labelledby="change-title">
      <h3 id="change-title">Substitution</h3>
      <div class="row">
        {choice("out", onCourt, leaves, setLeaves)}
        {choice("in", bench, comes, setComes)}
      </div>
      <div role="status">
        {told?.error ? <p class="fault">{told.error.text}</p> : null}
        {answer ? (
          <p>
            <strong>{answer.allowed ? "Allowed." : "Not allowed."}</strong>{" "}
            {sentence(answer.reason)} {answer.left === null || !answer.allowed ? "" : `${answer.left} left then. `}
            {answer.may_return.map((r) => `${shirt(playerOf(doc, r.player))} may come back for ${shirt(playerOf(doc, r.for))}.`).join(" ")}
          </p>
        ) : null}
      </div>
      <button
        disabled={!answer?.allowed}
        onClick={() => {
          onSwaps([{ out: leaves, in: comes }]);
          setLeaves("");
          setComes("");
        }}
      >
        she is in
      </button>
      {made.length ? <p>So far: {swapWords(doc, made)}.</p> : null}
    </section>
  );
}

/** Who stands in position I, so that everybody sees whose turn it is. */
function server(doc: Doc, plan: PlanAnswer, at: Standing): string {
  const place = plan.order.find((p) => p.slot === at.rotation - 1)!;
  const rotation = plan.rotations[at.rotation - 1]!;
  return rotation.libero_serves && rotation.libero ? namedId(doc, rotation.libero) : namedId(doc, place.back);
}

type OnMatch = (make: (now: Match) => Match) => void;

function Running({ doc, set, onDoc, onMatch }: { doc: Doc; set: PlayedSet; onDoc(next: Next): void; onMatch: OnMatch }) {
  const [begun, setBegun] = useState<PlanAnswer | null>(null);
  const [trouble, setTrouble] = useState("");
  const [ending, setEnding] = useState(false);
  const asked = JSON.stringify(set.asked);
  useEffect(() => {
    void sideline.ask<PlanAnswer>({ question: "plan", ...set.asked }).then((told) => {
      setBegun(told.answer ?? null);
      setTrouble(told.error?.text ?? "");
    });
  }, [asked]);
  const at = useMemo(() => standing(set), [set]);
  const plan = useMemo(() => begun && afterSwaps(begunWith(begun, set.rotation), at.swaps), [begun, at]);
  const swaps = (those: Swap[]): void => onDoc((now) => those.reduce((then, swap) => withEvent(then, { swap }), now));
  const last = set.events[set.events.length - 1];
  return (
    <>
      <div class="score" role="status" aria-label="Score">
        <b>
          {at.ours}-{at.theirs}
        </b>
        <p>
          Our rotation <b class="digit">{at.rotation}</b>; <strong>{at.serving ? "we serve" : "they serve"}</strong>
          {at.serving && plan ? `: ${server(doc, plan, at)}` : ""}.
          {at.theirRotation === null ? "" : ` Their rotation ${at.theirRotation}.`}
        </p>
      </div>
      <div class="taps">
        <button onClick={() => onDoc((now) => withEvent(now, { won: "we" }))}>we won</button>
        <button onClick={() => onDoc((now) => withEvent(now, { won: "they" }))}>they won</button>
      </div>
      <div class="row">
        <button disabled={!last} onClick={() => onDoc(takenBack)}>
          take back the last{last && "swap" in last ? " substitution" : ""}
        </button>
        <button
          disabled={ending}
          onClick={() => {
            setEnding(true);
            void end(doc.match, onMatch).finally(() => setEnding(false));
          }}
        >
          the set is over
        </button>
      </div>
      {trouble ? <p class="fault">{trouble}</p> : null}
      <Advice doc={doc} set={set} onSwaps={swaps} />
      {plan ? <Change doc={doc} set={set} now={plan} onSwaps={swaps} /> : null}
      <Card key={asked} doc={doc} set={set} />
    </>
  );
}

/** What the rallies of these sets say of us. */
const askFit = (sets: PlayedSet[]): Promise<Answer> =>
  sideline.ask({ question: "fit", ...sets[sets.length - 1]!.asked, log: logText(sets), want_file: true });
const ratesIn = (told: Answer): Rates | null => (told.file as Rates | undefined) ?? null;

/** The set moves to those that are over, with what they say; one without a rally is forgotten. */
async function end(match: Match, onMatch: OnMatch): Promise<void> {
  const { now: over } = match;
  const sets = over?.events.some((event) => "won" in event) ? [...match.sets, over] : match.sets;
  const rates = sets.length > match.sets.length ? ratesIn(await askFit(sets)) : match.rates;
  // One step, so that one undo has the set running again; none if somebody tapped meanwhile.
  onMatch((now) => (now.now === over ? { ...now, now: null, sets, rates } : now));
}

function Begin({ doc, onDoc }: { doc: Doc; onDoc(next: Next): void }) {
  const [serve, setServe] = useState(false);
  const [rotation, setRotation] = useState(0); // 0: the best one
  const [theirs, setTheirs] = useState(0); // 0: not seen
  const [deciding, setDeciding] = useState(false);
  const [odds, setOdds] = useState<Answer<OddsAnswer> | null>(null);
  const rates = ratesOf(doc);
  const request = useMemo(() => ({ ...askOdds(doc), ...(rates ? { rates } : {}) }), [doc.team, doc.plan, doc.tonight, doc.opponent, rates]);
  const queue = useRef(new Newest());
  useEffect(() => {
    queue.current.run(async () => setOdds(await sideline.ask<OddsAnswer>(request)));
  }, [request]);
  const phase = serve ? "serve" : "receive";
  const best = (theirs ? odds?.answer?.set[phase].best_reply?.[theirs - 1] : undefined) ?? odds?.answer?.start[phase];
  const number = (label: string, none: string, value: number, put: (n: number) => void) => (
    <label class="block">
      {label}{" "}
      <select value={String(value)} onChange={(e) => put(Number(e.currentTarget.value))}>
        <option value="0">{none}</option>
        {[1, 2, 3, 4, 5, 6].map((n) => (
          <option value={String(n)}>{n}</option>
        ))}
      </select>
    </label>
  );
  return (
    <section aria-labelledby="begin-title">
      <h3 id="begin-title">Set {doc.match.sets.length + 1}</h3>
      <p role="status">
        {odds?.answer ? (
          <>
            <b class="digit">{sets(odds.answer.win)}</b> sets of 100 {rates ? "by today's rallies" : "by the ratings"}
            {odds.answer.opponent === null ? "" : ` against ${odds.answer.opponent}`}.
          </>
        ) : (
          (odds?.error?.text ?? "Working it out.")
        )}
      </p>
      <div class="row" role="group" aria-label="Who serves first?">
        <button aria-pressed={serve} onClick={() => setServe(true)}>
          we serve first
        </button>
        <button aria-pressed={!serve} onClick={() => setServe(false)}>
          they serve first
        </button>
      </div>
      <div class="row">
        {number("We start in rotation", best ? `the best: ${best}` : "the best", rotation, setRotation)}
        {number("they in", "not seen", theirs, setTheirs)}
        <label class="tick">
          <input type="checkbox" checked={deciding} onChange={(e) => setDeciding(e.currentTarget.checked)} /> deciding set
        </label>
      </div>
      <button
        disabled={!rotation && !best}
        onClick={() =>
          onDoc({
            ...doc,
            made: [],
            match: {
              ...doc.match,
              now: { rotation: rotation || best!, serve, theirs: theirs || null, deciding, events: [], asked: base(doc) },
            },
          })
        }
      >
        begin the set
      </button>
    </section>
  );
}

const share = (t: Tally): ComponentChildren => (
  <td>
    {t.won} of {t.played} <small>{(100 * t.rate).toFixed(0)} %</small>
  </td>
);

/** The sets that are over, and the rates that the engine draws from their rallies. */
function Day({ doc, onMatch, onSave }: { doc: Doc; onMatch: OnMatch; onSave(): void }) {
  const [trouble, setTrouble] = useState("");
  const { match } = doc;
  const rates = match.rates as (Rates & { receive: Tally[]; serve: Tally[]; rallies: number }) | null;
  const fit = async (): Promise<void> => {
    const told = await askFit(match.sets);
    const made = ratesIn(told);
    setTrouble(told.error?.text ?? "");
    if (made) onMatch((now) => (now.sets === match.sets ? { ...now, rates: made } : now));
  };
  if (!match.sets.length) return null;
  return (
    <section aria-labelledby="day-title">
      <h3 id="day-title">Today so far</h3>
      <ul class="plainly">
        {match.sets.map((set, k) => {
          const at = standing(set);
          return (
            <li>
              Set {k + 1}: {at.ours}-{at.theirs}
            </li>
          );
        })}
      </ul>
      {trouble ? <p class="fault">{trouble}</p> : null}
      {rates ? (
        <>
          <p>
            From {rates.rallies} rallies, each rotation drawn towards the team's rate, the more the fewer its rallies.
          </p>
          <table class="plain">
            <thead>
              <tr>
                <th scope="col">rotation</th>
                <th scope="col">won when they serve</th>
                <th scope="col">won when we serve</th>
              </tr>
            </thead>
            <tbody>
              {rates.receive.map((tally, k) => (
                <tr>
                  <th scope="row">{k + 1}</th>
                  {share(tally)}
                  {share(rates.serve[k]!)}
                </tr>
              ))}
            </tbody>
          </table>
          <label class="tick">
            <input type="checkbox" checked={match.useRates} onChange={() => onMatch((now) => ({ ...now, useRates: !match.useRates }))} /> use
            today's rallies for odds and advice, not the ratings
          </label>
        </>
      ) : (
        <button onClick={() => void fit()}>what do they say of us?</button>
      )}
      <div class="row">
        <button onClick={onSave}>save the rallies</button>
        <button onClick={() => onMatch(({ now }) => ({ sets: [], now, rates: null, useRates: true }))}>a new day begins</button>
      </div>
    </section>
  );
}

export function Board({ doc, onDoc, onSave }: { doc: Doc; onDoc(next: Next): void; onSave(): void }): ComponentChildren {
  const { now } = doc.match;
  const onMatch: OnMatch = (make) => onDoc((then) => ({ ...then, match: make(then.match) }));
  return (
    <section aria-labelledby="set-title" class="board">
      <h2 id="set-title">{now ? `Set ${doc.match.sets.length + 1}` : "The match"}</h2>
      {now ? <Running doc={doc} set={now} onDoc={onDoc} onMatch={onMatch} /> : <Begin doc={doc} onDoc={onDoc} />}
      <Day doc={doc} onMatch={onMatch} onSave={onSave} />
    </section>
  );
}
