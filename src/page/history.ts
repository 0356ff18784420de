// The document with undo and redo, kept in the browser's own storage after each change.
import { useRef, useState } from "preact/hooks";
import { type Doc, type Team, emptyDoc } from "./files";

const KEY = "sixturn-document-1";
const MOST_STEPS = 200;

interface History {
  doc: Doc;
  past: string[];
  future: string[];
}

function valid(value: unknown): value is Doc {
  const doc = value as Doc;
  return !!doc && typeof doc === "object" && typeof doc.plan === "object" && typeof doc.tonight === "object" &&
    typeof doc.mine === "object" && (doc.team === null || Array.isArray(doc.team?.players));
}

/** The team that stands in the file itself, if there is one. */
function begin(given: string): Doc | null {
  if (!given) return null;
  try {
    return { ...emptyDoc(), team: JSON.parse(given) as Team, given };
  } catch {
    return null;
  }
}

/** What was there when the page was last open; a start from nothing if that cannot be read. */
function load(given: string): History {
  const fresh = begin(given);
  try {
    const text = localStorage.getItem(KEY);
    if (text) {
      const value: unknown = JSON.parse(text);
      if (valid(value)) {
        const doc = { ...emptyDoc(), ...value };
        // A file that brings another team than before: the older one is an undo away.
        return fresh && doc.given !== given
          ? { doc: fresh, past: [JSON.stringify({ ...doc, given })], future: [] }
          : { doc, past: [], future: [] };
      }
    }
  } catch {
    // storage is off or holds something else: begin anew, and leave it alone
  }
  return { doc: fresh ?? emptyDoc(), past: [], future: [] };
}

/** False if the browser does not keep anything (private windows, storage full). */
export function keep(doc: Doc): boolean {
  try {
    localStorage.setItem(KEY, JSON.stringify(doc));
    return true;
  } catch {
    return false;
  }
}

function change(history: History, doc: Doc): History {
  const before = JSON.stringify(history.doc);
  if (before === JSON.stringify(doc)) return history;
  return { doc, past: [...history.past, before].slice(-MOST_STEPS), future: [] };
}

function undo(history: History): History {
  const last = history.past[history.past.length - 1];
  if (last === undefined) return history;
  return {
    doc: JSON.parse(last) as Doc,
    past: history.past.slice(0, -1),
    future: [JSON.stringify(history.doc), ...history.future],
  };
}

function redo(history: History): History {
  const next = history.future[0];
  if (next === undefined) return history;
  return {
    doc: JSON.parse(next) as Doc,
    past: [...history.past, JSON.stringify(history.doc)],
    future: history.future.slice(1),
  };
}

/** A new document; or what to make of the newest, for those who waited: the one they had may be old. */
export type Next = Doc | ((now: Doc) => Doc);

interface Kept {
  doc: Doc;
  /** Also before it is shown. */
  newest(): Doc;
  update(next: Next): void;
  undo: (() => void) | null; // null: nothing to take back
  redo: (() => void) | null;
}

export function useHistory(given: string): Kept {
  const [history, setHistory] = useState(() => load(given));
  const newest = useRef(history);
  const step = (make: (now: History) => History): void => {
    newest.current = make(newest.current);
    setHistory(newest.current);
  };
  return {
    doc: history.doc,
    newest: () => newest.current.doc,
    update: (next) => step((now) => change(now, typeof next === "function" ? next(now.doc) : next)),
    undo: history.past.length ? () => step(undo) : null,
    redo: history.future.length ? () => step(redo) : null,
  };
}
