// A long form is looked at as it is typed: the same page the server would answer with, without keeping anything. Only the
// parts that tell what is wrong, and the drawing, are put in place; what is being typed stays as it is.
export function live(main) {
  for (const form of main.querySelectorAll("form[data-live]")) look(form);
}

function look(form) {
  let later = 0, number = 0;
  form.addEventListener("input", () => { clearTimeout(later); later = setTimeout(asked, 500); });

  async function asked() {
    const mine = ++number, data = new URLSearchParams(new FormData(form));
    data.set("do", "look");
    try {
      const answer = await fetch(form.action, { method: "POST", body: data });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (mine !== number || !form.isConnected) return;
      for (const part of form.parentElement.querySelectorAll("[data-live-part]")) {
        const fresh = page.getElementById(part.id);
        if (fresh) part.replaceChildren(...fresh.childNodes);
      }
    } catch { /* without an answer the form is looked at when it is kept */ }
  }
}
