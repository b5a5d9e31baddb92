// A traverse: points are added one by one to the list that the page sends, with their mean and spread as one walks.
export function traverse(main) {
  for (const box of main.querySelectorAll("[data-traverse]")) walk(box);
}

function walk(box) {
  const list = document.getElementById(box.dataset.traverse), form = list.form;
  const unit = form.elements[`${box.dataset.traverse}.unit`], point = box.querySelector("#point");
  const running = box.querySelector("[data-running]"), layers = JSON.parse(box.dataset.layers || "{}");
  box.hidden = false;
  list.inputMode = "text";
  list.dataset.pad = "off";

  const points = () => list.value.split(/[;\n]|,\s/).map((one) => one.trim()).filter(Boolean);
  const put = (given) => { list.value = given.join(", "); list.dispatchEvent(new Event("input", { bubbles: true })); };

  function show() {
    const numbers = points().map(Number.parseFloat).filter(Number.isFinite), name = unit.value;
    for (const place of box.querySelectorAll("[data-unit]")) place.textContent = name;
    box.querySelector("[data-remove]").disabled = !numbers.length;
    box.querySelector("[data-points]").textContent = points().join(", ");
    if (!numbers.length) { running.textContent = running.dataset.wordsNone; return; }
    const mean = numbers.reduce((sum, one) => sum + one, 0) / numbers.length;
    const spread = Math.max(...numbers) - Math.min(...numbers);
    running.innerHTML = "";
    const big = document.createElement("b");
    big.className = "number";
    big.textContent = `${mean.toFixed(1)} ${name}`;
    running.append(`${numbers.length} ${running.dataset.wordsSome} `, big, `, ${running.dataset.wordsSpread} ${spread.toFixed(1)} ${name}`);
    box.querySelector("[data-stands-in-layers]").hidden = !(spread > (layers[name] ?? Infinity));
  }

  function add() {
    const typed = point.value.trim();
    if (!Number.isFinite(Number(typed)) || !typed) { point.setAttribute("aria-invalid", "true"); point.focus(); return; }
    point.removeAttribute("aria-invalid");
    put([...points(), typed]);
    point.value = "";
    point.focus({ preventScroll: true });
  }

  box.querySelector("[data-add]").addEventListener("click", add);
  box.querySelector("[data-remove]").addEventListener("click", () => put(points().slice(0, -1)));
  point.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); add(); } });
  form.addEventListener("submit", () => { if (point.value.trim()) add(); });
  form.addEventListener("reset", () => setTimeout(show));
  list.addEventListener("input", show);
  unit.addEventListener("change", show);
  show();
}
