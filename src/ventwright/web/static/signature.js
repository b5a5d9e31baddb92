// A signature drawn by finger: strokes of whole numbers in a box, as the record draws them.
export function signature(main) {
  for (const part of main.querySelectorAll("[data-signature]")) draw(part);
}

function draw(part) {
  const canvas = part.querySelector("canvas"), field = part.querySelector("input"), pen = canvas.getContext("2d");
  const width = Number(canvas.dataset.width), height = Number(canvas.dataset.height), scale = canvas.width / width;
  let strokes = read(field.value), stroke = null;
  part.hidden = false;
  show();
  canvas.addEventListener("pointerdown", (event) => { stroke = [at(event)]; strokes.push(stroke); canvas.setPointerCapture(event.pointerId); });
  canvas.addEventListener("pointermove", (event) => { if (stroke) { const to = at(event), last = stroke.at(-1); if (to[0] !== last[0] || to[1] !== last[1]) stroke.push(to); show(); } });
  for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, () => { stroke = null; keep(); });
  part.querySelector("button").addEventListener("click", () => { strokes = []; show(); keep(); });

  function at(event) {
    const box = canvas.getBoundingClientRect();
    const within = (value, most) => Math.max(0, Math.min(most, Math.round(value)));
    return [within((event.clientX - box.left) / box.width * width, width), within((event.clientY - box.top) / box.height * height, height)];
  }
  function show() {
    pen.clearRect(0, 0, canvas.width, canvas.height);
    pen.lineWidth = 2 * scale; pen.lineCap = pen.lineJoin = "round"; pen.strokeStyle = "#111";
    pen.beginPath();
    for (const one of strokes) one.forEach(([x, y], number) => number ? pen.lineTo(x * scale, y * scale) : pen.moveTo(x * scale, y * scale));
    pen.stroke();
  }
  function keep() {
    field.value = strokes.filter((one) => one.length > 1).map((one) => one.map(([x, y], number) => `${number ? "L" : "M"}${x} ${y}`).join(" ")).join(" ");
  }
}

function read(text) {
  return text.split("M").filter(Boolean).map((one) => [...one.matchAll(/(\d+) (\d+)/g)].map((found) => [Number(found[1]), Number(found[2])]));
}
