"use strict";
// The worker holds the engine and answers one message after the other. Each has a
// number, which its answer has too.
const unpack = (text, type) => {
  // Seven bits a character.
  const bytes = new Uint8Array(text.length * 7 >> 3);
  for (let i = 0, at = 0, bits = 0, n = 0; i < text.length; i++) {
    bits = (bits << 7 | text.charCodeAt(i) & 127) & 0x7fff;
    n += 7;
    if (n >= 8) { n -= 8; bytes[at++] = bits >> n & 255; }
  }
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream, { headers: { "Content-Type": type } });
};

const acts = {
  start: async ({ engine }) => {
    postMessage({ stage: "Unpacking the program" });
    const go = new Go();
    const { instance } = await WebAssembly.instantiateStreaming(unpack(engine, "application/wasm"), go.importObject);
    postMessage({ stage: "Starting the program" });
    go.run(instance).then(() => postMessage({ ended: true }));
    return {};
  },
  put: ({ name, content }) => swardcast.put(name, new Uint8Array(content)),
  drop: ({ name }) => { swardcast.drop(name); return {}; },
  forget: () => { swardcast.forget(); return {}; },
  stations: async ({ list }) => swardcast.stations(new Uint8Array(await unpack(list, "text/plain").arrayBuffer())),
  find: ({ text, metric }) => swardcast.find(text, metric),
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
