// Files go to the phone's own share sheet where there is one; elsewhere they are downloaded.
export function share(main) {
  if (!navigator.canShare) return;
  for (const link of main.querySelectorAll("a[data-share]")) link.addEventListener("click", (event) => shared(event, link));
}

async function shared(event, link) {
  if (!matchMedia("(pointer: coarse)").matches) return;
  event.preventDefault();
  const content = await (await fetch(link.href)).blob();
  const file = new File([content], link.dataset.share, { type: content.type });
  if (!navigator.canShare({ files: [file] })) { location.href = link.href; return; }
  try { await navigator.share({ files: [file] }); } catch { /* the person closed the sheet */ }
}
