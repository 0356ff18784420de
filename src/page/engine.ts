// Engines in workers made from a Blob, so that a page opened from disk works: one answers at once (is
// this spot legal?), one plans, one thinks long (rank, ...). Stopping a thought ends its worker.

export interface EngineError {
  text: string;
  file?: string;
  path?: string;
  line?: number;
  message: string;
}

export interface Answer<T = any> {
  status: "done" | "no" | "usage" | "bad-input" | "no-write" | "internal" | "out-of-time" | "no-memory" |
    "solver-failed" | "stopped";
  answer?: T;
  text?: string;
  file?: unknown;
  warnings?: string[];
  error?: EngineError;
}

type Waiting = { resolve: (answer: Answer) => void; progress?: (done: number, total: number) => void };

const source = (): { script: string; wasm: string } => ({
  script: document.getElementById("engine-script")!.textContent!,
  wasm: document.getElementById("engine-code")!.textContent!,
});

let module: Promise<WebAssembly.Module> | null = null;

function decode(base64: string): Uint8Array {
  const text = atob(base64.trim());
  const bytes = new Uint8Array(text.length);
  for (let k = 0; k < text.length; k++) bytes[k] = text.charCodeAt(k);
  return bytes;
}

export class Engine {
  private worker: Worker | null = null;
  private waiting = new Map<number, Waiting>();
  private next = 1;

  private start(): Worker {
    if (this.worker) return this.worker;
    const { script, wasm } = source();
    module ??= WebAssembly.compile(decode(wasm).buffer as ArrayBuffer);
    const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
    const worker = new Worker(url);
    URL.revokeObjectURL(url);
    void module.then((compiled) => worker.postMessage({ module: compiled }));
    worker.onmessage = ({ data }) => this.hear(data);
    worker.onerror = (event) => {
      event.preventDefault();
      this.fail(event.message || "the engine broke off");
    };
    this.worker = worker;
    return worker;
  }

  private hear(data: { id: number; progress?: [number, number]; answer?: string }): void {
    const waiting = this.waiting.get(data.id);
    if (!waiting) return;
    if (data.progress) {
      waiting.progress?.(data.progress[0], data.progress[1]);
      return;
    }
    this.waiting.delete(data.id);
    waiting.resolve(JSON.parse(data.answer!) as Answer);
  }

  private fail(message: string): void {
    this.worker?.terminate();
    this.worker = null;
    for (const { resolve } of this.waiting.values()) {
      resolve({ status: "internal", error: { text: message, message } });
    }
    this.waiting.clear();
  }

  ask<T = any>(request: object, progress?: (done: number, total: number) => void): Promise<Answer<T>> {
    const worker = this.start();
    const id = this.next++;
    return new Promise((resolve) => {
      this.waiting.set(id, { resolve, progress });
      worker.postMessage({ id, request: JSON.stringify({ format: "sixturn-request-1", ...request }) });
    });
  }

  /** Ends what is being thought about; those who wait are told. */
  stop(): void {
    if (!this.waiting.size) return; // it is idle: the next request needs no new one
    this.worker?.terminate();
    this.worker = null;
    for (const { resolve } of this.waiting.values()) resolve({ status: "stopped" });
    this.waiting.clear();
  }
}

/** One request at a time; of those that come meanwhile only the newest is asked. */
export class Newest {
  private busy = false;
  private next: (() => Promise<void>) | null = null;

  run(job: () => Promise<void>): void {
    if (this.busy) {
      this.next = job;
      return;
    }
    this.busy = true;
    void job().finally(() => {
      this.busy = false;
      const next = this.next;
      this.next = null;
      if (next) this.run(next);
    });
  }
}

export const quick = new Engine();
export const planner = new Engine();
export const thinker = new Engine();
