// Ticks of a list that nobody else needs stay on this device.
export function ticks(main) {
  for (const box of main.querySelectorAll("input[data-kept]")) {
    const key = `tick:${box.dataset.kept}`;
    try { box.checked = localStorage.getItem(key) === "yes"; } catch { return; }
    box.addEventListener("change", () => {
      try { if (box.checked) localStorage.setItem(key, "yes"); else localStorage.removeItem(key); } catch { /* the list works without */ }
    });
  }
}
