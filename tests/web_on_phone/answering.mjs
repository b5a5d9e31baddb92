// The engine under Node, as the worker runs it: a database in, one request a line, one answer a line.
import fs from "node:fs";
import path from "node:path";
import readline from "node:readline";
import { pathToFileURL } from "node:url";

const [folder, jobs] = process.argv.slice(2), py = path.join(folder, "py");
const { loadPyodide } = await import(pathToFileURL(path.join(py, "pyodide.mjs")).href);
const { default: factory } = await import(pathToFileURL(path.join(py, "pyodide.asm.mjs")).href);
const { python: begun } = await import(pathToFileURL(path.join(folder, "python.mjs")).href);
const python = await begun({ loadPyodide, factory }, py + path.sep, async (name) => new Uint8Array(fs.readFileSync(path.join(py, name))));
python.FS.writeFile("/data/jobs.sqlite3", new Uint8Array(fs.readFileSync(jobs)));
const { Engine } = python.pyimport("ventwright.web.on_phone.engine");
const engine = Engine("/data/jobs.sqlite3", async () => {}, "/", "http://localhost");
await engine.start(async () => JSON.stringify({ status: 0, text: "" }));
for await (const line of readline.createInterface({ input: process.stdin })) {
  const { method, path: asked, query, headers, body } = JSON.parse(line);
  const answer = await engine.answer(method, asked, query, JSON.stringify(headers), python.toPy(new Uint8Array(Buffer.from(body, "base64"))));
  const [status, said, content] = answer.toJs();
  process.stdout.write(`${JSON.stringify({ status, headers: JSON.parse(said), body: Buffer.from(content).toString("base64") })}\n`);
}
