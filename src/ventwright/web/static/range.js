// A number is held against the range of its setting while it is typed; the server refuses it too.
export function ranges(main) {
  for (const part of main.querySelectorAll("[data-range]")) {
    const limits = JSON.parse(part.dataset.range), field = part.querySelector("input[data-pad]"), unit = part.querySelector("select"), said = part.querySelector("[data-said]");
    if (!field || !said) continue;
    const look = () => {
      const [least, most, step] = limits[unit?.value ?? Object.keys(limits)[0]] || [];
      const text = field.value.split(/±|\+[/]?-/)[0].trim().replace("−", "-").replace(/,(?=\d{3})/g, ""), number = Number(text);
      const steps = (number - least) / step;
      let words = "";
      if (text && Number.isFinite(number) && least !== undefined) {
        if (number < least - 1e-6 || number > most + 1e-6) words = part.dataset.outside;
        else if (step && part.dataset.between && Math.abs(steps - Math.round(steps)) > 0.02) words = part.dataset.between;
      }
      if (said.textContent !== words) said.textContent = words;
    };
    field.addEventListener("input", look);
    unit?.addEventListener("change", look);
    look();
  }
}
