"use strict";
// The worker holds the engine and answers one message after the other. Each has a
// number, which its answer has too.
const unpack = async (text) => {
  const binary = atob(text), bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i++) bytes[i] = binary.charCodeAt(i);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).arrayBuffer();
};

const acts = {
  start: async ({ engine }) => {
    postMessage({ stage: "Unpacking the program" });
    const code = await unpack(engine);
    postMessage({ stage: "Starting the program" });
    const go = new Go();
    const { instance } = await WebAssembly.instantiate(code, go.importObject);
    go.run(instance).then(() => postMessage({ ended: true }));
    return {};
  },
  put: ({ name, content }) => swardcast.put(name, new Uint8Array(content)),
  forget: () => { swardcast.forget(); return {}; },
  ask: ({ request }) => swardcast.ask(JSON.stringify(request)),
};

let last = Promise.resolve();
onmessage = ({ data }) => {
  last = last.then(async () => {
    try {
      const out = await acts[data.act](data);
      postMessage({ number: data.number, out }, out.answer ? [out.answer.buffer] : []);
    } catch (e) {
      postMessage({ number: data.number, broken: String(e) });
    }
  });
};
