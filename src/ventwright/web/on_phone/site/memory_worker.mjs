// An engine of its own, without any jobs, whose memory is kept for the next start.
import { loadPyodide } from "./py/pyodide.mjs";
import factory from "./py/pyodide.asm.mjs";
import { keep } from "./memory.mjs";
import { python } from "./python.mjs";

self.onmessage = async ({ data: { base, edition } }) => {
  const read = async (name) => new Uint8Array(await (await fetch(`${base}py/${name}`)).arrayBuffer());
  try {
    const begun = await python({ loadPyodide, factory }, `${base}py/`, read, { making: true });
    await begun.runPythonAsync("from ventwright.web.on_phone.engine import warm\nawait warm('/data')\ndel warm\nimport gc\ngc.collect()");
    await keep(base, edition, begun.makeMemorySnapshot());
    postMessage({ kept: true });
  } catch (failure) { console.info("no memory kept:", failure); postMessage({ kept: false }); }
};
