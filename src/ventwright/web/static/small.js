// Small conveniences: offered values, suggestions as one types, the phone's offset from UTC, questions asked again.
export function small(main) {
  for (const field of main.querySelectorAll("[data-offset]")) field.value = String(-new Date().getTimezoneOffset());
  for (const button of main.querySelectorAll("[data-fill]")) button.addEventListener("click", () => fill(button));
  for (const field of main.querySelectorAll("[data-suggest]")) suggest(field);
  for (const link of main.querySelectorAll("[data-again]")) look_again(link);
  for (const part of document.querySelectorAll("[data-secure]")) part.hidden = isSecureContext;
}

function fill(button) {
  const field = document.getElementById(button.dataset.fill);
  field.value = button.dataset.value ?? button.textContent;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function suggest(field) {
  let later = 0;
  field.addEventListener("input", () => {
    clearTimeout(later);
    later = setTimeout(async () => {
      const url = new URL(field.dataset.suggest, location.href);
      url.searchParams.set("q", field.value);
      try {
        const found = await (await fetch(url)).json();
        field.list.replaceChildren(...found.map((one) => new Option(one)));
      } catch { /* suggestions are a convenience */ }
    }, 150);
  });
}

function look_again(link) {
  setTimeout(() => {
    if (!link.isConnected) return;
    if (document.documentElement.hasAttribute("aria-busy")) look_again(link); // what the person asked for, such as to stop, goes first
    else link.click();
  }, Number(link.dataset.again));
}
