// A photo is turned upright and reduced before it travels; what the browser cannot read is sent as it is.
export function photos(main) {
  for (const form of main.querySelectorAll("form[data-photo]"))
    for (const field of form.querySelectorAll("input[type=file]")) field.addEventListener("change", () => chosen(form, field));
}

async function chosen(form, field) {
  const said = form.querySelector("[data-reduced]"), send = form.querySelector("button.first"), [file] = field.files;
  if (!file) return;
  for (const other of form.querySelectorAll("input[type=file]")) if (other !== field) other.value = "";
  send.disabled = true;
  try {
    const small = await reduced(file, Number(form.dataset.photo));
    const held = new DataTransfer();
    held.items.add(small);
    field.files = held.files;
    said.textContent = `${Math.round(small.size / 1000)} kB`;
  } catch { said.textContent = ""; }
  send.disabled = false;
}

async function reduced(file, longest) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, longest / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const content = await new Promise((done) => { canvas.toBlob(done, "image/jpeg", 0.8); });
  return new File([content], "photo.jpg", { type: "image/jpeg" });
}
