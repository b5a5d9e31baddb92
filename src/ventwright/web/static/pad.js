// Digits for gloved thumbs: beside every field for a number on a touch screen. The phone's own keyboard, with its
// microphone, is one key away.
const rows = ["7", "8", "9", "⌫", "4", "5", "6", "±", "1", "2", "3", "▲", "⌨", "0", ".", "▼", "→"];
const names = { "⌫": "Rub out", "±": "Change the sign", "▲": "A little more", "▼": "A little less", "⌨": "The phone's own keyboard", "→": "Next field" };
let field = null, board = null, repeating = null;

export function pad(main) {
  close();
  if (!matchMedia("(pointer: coarse)").matches) return;
  for (const one of main.querySelectorAll("input[data-pad]")) {
    one.inputMode = "none";
    one.addEventListener("focus", () => open(one));
  }
  main.addEventListener("focusin", (event) => { if (!event.target.matches("input[data-pad]")) closeAfterPress(); });
}

let pressing = false;
addEventListener("pointerdown", () => { pressing = true; }, true);
for (const end of ["pointerup", "pointercancel"]) addEventListener(end, () => { pressing = false; }, true);

// The page grows shorter without the board: a button that is being pressed must not move away from under the thumb.
function closeAfterPress() {
  const left = () => setTimeout(() => { if (!document.activeElement?.matches("input[data-pad]")) close(); });
  if (pressing) addEventListener("pointerup", left, { once: true });
  else left();
}

function open(one) {
  if (one.dataset.pad === "off") return;
  field = one;
  if (board) return named();
  board = document.createElement("div");
  board.className = "pad";
  board.setAttribute("role", "group");
  board.setAttribute("aria-label", "Digits");
  for (const sign of rows) {
    const key = document.createElement("button");
    key.type = "button";
    key.tabIndex = -1;
    key.textContent = sign;
    if (names[sign]) key.setAttribute("aria-label", names[sign]);
    if (sign === "→") { key.className = "first"; key.style.gridColumn = "1 / -1"; }
    key.addEventListener("pointerdown", (event) => { event.preventDefault(); pressed(sign); hold(sign); });
    for (const end of ["pointerup", "pointerleave", "pointercancel"]) key.addEventListener(end, release);
    key.addEventListener("click", (event) => { if (event.detail === 0) pressed(sign); });
    board.append(key);
  }
  document.body.append(board);
  named();
  const covered = one.getBoundingClientRect().bottom - (innerHeight - board.offsetHeight) + 24;
  if (covered > 0) scrollBy(0, covered);
}

// What is never below zero has no sign to change: there the key writes how closely it was read.
function named() {
  const key = [...board.children].find((one) => one.textContent === "±");
  key.setAttribute("aria-label", field.dataset.pad === "band" ? "Plus or minus" : names["±"]);
}

function band(at, end) {
  if (!field.value.includes("±")) write(`${field.value.slice(0, at).trimEnd()} ± ${field.value.slice(end).trimStart()}`, field.value.slice(0, at).trimEnd().length + 3);
}

function close() {
  release();
  board?.remove();
  board = field = null;
}

function hold(sign) {
  release();
  if ("⌫▲▼".includes(sign)) repeating = setTimeout(function again() { pressed(sign); repeating = setTimeout(again, 90); }, 450);
}

function release() { clearTimeout(repeating); }

function pressed(sign) {
  if (!field) return;
  const at = field.selectionStart ?? field.value.length, end = field.selectionEnd ?? at;
  if (sign === "→") return next();
  if (sign === "⌨") return ownKeyboard();
  if (sign === "±" && field.dataset.pad === "band") band(at, end);
  else if (sign === "±") write(field.value.startsWith("-") ? field.value.slice(1) : `-${field.value}`, null);
  else if (sign === "⌫") { const from = at === end ? Math.max(at - 1, 0) : at; write(field.value.slice(0, from) + field.value.slice(end), from); }
  else if ("▲▼".includes(sign)) nudge(sign === "▲" ? 1 : -1);
  else write(field.value.slice(0, at) + sign + field.value.slice(end), at + 1);
}

function nudge(way) {
  const number = Number(field.value.replace(",", ""));
  if (!Number.isFinite(number)) return;
  const places = (field.value.split(".")[1] || "").length || Number(field.dataset.places || 0);
  write((number + way * 10 ** -places).toFixed(places), null);
}

function write(value, caret) {
  field.value = value;
  const place = caret ?? value.length;
  field.setSelectionRange?.(place, place);
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function ownKeyboard() {
  const one = field;
  close();
  one.dataset.pad = "off";
  one.inputMode = "text";
  one.blur();
  one.focus();
}

function next() {
  const enter = new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true });
  if (!field.dispatchEvent(enter)) return; // a page that makes something else of it, such as one more point
  const form = field.form;
  const list = [...form.elements].filter((one) => one.matches("input:not([type=hidden]), select, textarea, button.first") && one.offsetParent);
  const following = list[list.indexOf(field) + 1];
  if (following?.matches("select")) { const after = list[list.indexOf(following) + 1]; (after || following).focus(); }
  else if (following) following.focus();
}
