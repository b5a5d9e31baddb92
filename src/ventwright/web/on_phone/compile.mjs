// Has the browser's own Python compile what goes to the phone: node compile.mjs RUNTIME SOURCES [WHAT FROM TO FOLDER]...
// SOURCES holds compiling.py, finder.py and python.mjs; WHAT is a function of compiling.py, or `recorded`, for which FROM
// is a folder laid out as on the phone.
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [runtime, sources, ...given] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(path.join(runtime, "pyodide.mjs")).href);
const { default: factory } = await import(pathToFileURL(path.join(runtime, "pyodide.asm.mjs")).href);
const { LOCK, python: begun } = await import(pathToFileURL(path.join(sources, "site", "python.mjs")).href);

for (let at = 0; at < given.length; at += 4) {
  const [what, from, to, folder] = given.slice(at, at + 4);
  const read = async (name) => new Uint8Array(fs.readFileSync(path.join(from, name)));
  const python = await (what === "recorded" ? begun({ loadPyodide, factory }, from + path.sep, read) : loadPyodide({ indexURL: runtime + path.sep, lockFileContents: LOCK }));
  python.FS.mkdirTree("/compiling");
  python.FS.writeFile("/compiling/compiling.py", fs.readFileSync(path.join(sources, "compiling.py")));
  python.runPython("import sys; sys.path.insert(0, '/compiling')");
  const compiling = python.pyimport("compiling");
  if (what === "recorded") compiling.record(folder, "/result");
  else { python.FS.writeFile("/source", fs.readFileSync(from)); compiling[what]("/source", "/result", folder); }
  fs.writeFileSync(to, python.FS.readFile("/result"));
}
