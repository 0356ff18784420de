// The substitutions that a lineup makes by itself, as in a system with a double substitution.
import { type Doc, playerOf } from "./files";
import type { PlanAnswer } from "./requests";
import { shirt, swapWords } from "./words";

/** Those before a rotation, first time round; "" if there are none. */
export function plannedInto(doc: Doc, plan: PlanAnswer, rotation: number): string {
  const swaps = plan.substitutions.planned.filter((s) => s.cycle === 1 && s.rotation === rotation);
  const never = plan.substitutions.after_the_limit?.substitutions_made === 0;
  return swaps.length ? `Planned into this rotation: ${swapWords(doc, swaps)}${never ? "; it is better not to" : ""}.` : "";
}

export function Planned({ doc, plan }: { doc: Doc; plan: PlanAnswer }) {
  const { planned, after_the_limit: after } = plan.substitutions;
  if (!planned.length) return null;
  const rotations = [...new Set(planned.map((s) => s.rotation))];
  const six = after ? after.order.map((id) => shirt(playerOf(doc, id))).join(" ") : "";
  return (
    <>
      <h3>Planned substitutions</h3>
      <ul class="plainly">
        {rotations.map((rotation) => (
          <li key={rotation}>
            Into rotation {rotation}: {swapWords(doc, planned.filter((s) => s.cycle === 1 && s.rotation === rotation))}.
          </li>
        ))}
      </ul>
      {after ? (
        <p>
          <strong>
            {after.substitutions_made
              ? `Stay with the six after substitution ${after.substitutions_made}`
              : "Better to make none of these"}
          </strong>
          , and play on as {after.system}: {six}.
        </p>
      ) : null}
    </>
  );
}
