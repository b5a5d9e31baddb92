// What is typed is kept on the device until the server has it: a reload, the back button or an empty battery loses nothing.
const keyOf = (form) => `typed:${location.pathname}:${new URL(form.action).pathname}`;
const fields = (form) => [...form.elements].filter((field) => field.name && !["hidden", "file", "submit", "password"].includes(field.type) && field.tagName !== "BUTTON");

function kept(form) {
  try { return JSON.parse(localStorage.getItem(keyOf(form)) || "null"); } catch { return null; }
}

function keep(form) {
  const typed = {};
  for (const field of fields(form)) {
    if (["radio", "checkbox"].includes(field.type)) { if (field.checked) (typed[field.name] ||= []).push(field.value); }
    else typed[field.name] = [field.value];
  }
  try { localStorage.setItem(keyOf(form), JSON.stringify(typed)); } catch { /* a full or forbidden storage: the page works without */ }
}

export function entered(form) {
  try { localStorage.removeItem(keyOf(form)); } catch { /* as above */ }
}

export function drafts(main) {
  for (const form of main.querySelectorAll("form[method=post]")) {
    if (!fields(form).length) continue;
    form.addEventListener("input", () => keep(form));
    form.addEventListener("change", () => keep(form));
    const typed = form.querySelector(".mistake") ? null : kept(form);
    if (!typed) continue;
    let changed = false;
    for (const field of fields(form)) {
      const values = typed[field.name] || (["radio", "checkbox"].includes(field.type) ? [] : null);
      if (!values) continue;
      if (["radio", "checkbox"].includes(field.type)) {
        const checked = values.includes(field.value);
        changed ||= checked !== field.checked;
        field.checked = checked;
      } else if (field.value !== values[0]) { field.value = values[0]; changed = true; }
    }
    if (!changed) continue;
    const note = document.createElement("p");
    note.className = "note";
    note.append("Typed before, and not entered yet. ");
    const drop = document.createElement("button");
    drop.type = "button";
    drop.textContent = "Drop it";
    drop.addEventListener("click", () => { entered(form); form.reset(); note.remove(); });
    note.append(drop);
    form.prepend(note);
    form.dispatchEvent(new Event("restored"));
  }
}
