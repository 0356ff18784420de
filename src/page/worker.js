// Inside a worker: takes the compiled engine once, then requests, one after the other.
/* global sixturnEngine */
let ready = null;
let asked = 0;

self.sixturnProgress = (done, total) => self.postMessage({ id: asked, progress: [done, total] });

async function load(module) {
  return sixturnEngine({
    instantiateWasm(imports, done) {
      WebAssembly.instantiate(module, imports).then((instance) => done(instance, module));
      return {};
    },
    print() {},
    printErr() {},
  });
}

self.onmessage = async ({ data }) => {
  if (data.module) {
    ready = load(data.module);
    return;
  }
  while (!ready) await new Promise((resolve) => setTimeout(resolve, 1));
  const engine = await ready;
  asked = data.id;
  const length = engine.lengthBytesUTF8(data.request);
  const request = engine._malloc(length + 1);
  engine.stringToUTF8(data.request, request, length + 1);
  const answer = engine._sx_door_ask(request, length);
  self.postMessage({
    id: data.id,
    answer: answer
      ? engine.UTF8ToString(answer)
      : '{"status":"no-memory","error":{"text":"out of memory","message":"out of memory"}}',
  });
  engine._free(answer);
  engine._free(request);
};
