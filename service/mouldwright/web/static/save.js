// Figures kept as files, drawn here from what the sheet shows: no server turns drawings into dots.
// Links that the service answers (SVG, CSV) stand beside and work without this script.

const SVG = "http://www.w3.org/2000/svg";
const MARGIN_PX = 14;
const DOTS = 2;

document.documentElement.classList.add("can-save");

// A drawing that stands alone carries its style, the patterns of the page and a ground.
const alone = async (drawing) => {
  const look = await fetch(document.querySelector('meta[name="figure-look"]').content);
  if (!look.ok) throw new Error(String(look.status));
  const copy = drawing.cloneNode(true);
  const { width, height } = drawing.viewBox.baseVal;
  const wide = width + 2 * MARGIN_PX;
  const high = height + 2 * MARGIN_PX;
  copy.setAttribute("class", "fig");
  copy.setAttribute("viewBox", `-${MARGIN_PX} -${MARGIN_PX} ${wide} ${high}`);
  copy.setAttribute("width", wide);
  copy.setAttribute("height", high);
  const style = document.createElementNS(SVG, "style");
  style.textContent = await look.text();
  const ground = document.createElementNS(SVG, "rect");
  for (const [name, value] of [["x", -MARGIN_PX], ["y", -MARGIN_PX], ["width", "100%"], ["height", "100%"], ["class", "ground"]]) ground.setAttribute(name, value);
  const patterns = document.querySelector("body > svg.fig > defs");
  const first = copy.querySelector(":scope > :not(title, desc)");
  copy.insertBefore(style, first);
  if (patterns) copy.insertBefore(patterns.cloneNode(true), first);
  copy.insertBefore(ground, first);
  for (const link of copy.querySelectorAll("a")) link.removeAttribute("href");
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(copy)}`;
};

const drawn = async (place) => {
  if (place.dataset.svg) {
    const answer = await fetch(place.dataset.svg);
    if (!answer.ok) throw new Error(String(answer.status));
    return answer.text();
  }
  const shown = [...place.querySelectorAll("svg.fig")].find((each) => each.checkVisibility());
  return alone(shown || place.querySelector("svg.fig"));
};

const dots = async (text) => {
  const address = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
  try {
    const picture = new Image();
    picture.src = address;
    await picture.decode();
    const canvas = document.createElement("canvas");
    canvas.width = Math.ceil(picture.naturalWidth * DOTS);
    canvas.height = Math.ceil(picture.naturalHeight * DOTS);
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return await new Promise((done, failed) => canvas.toBlob((blob) => (blob ? done(blob) : failed(new Error("no picture"))), "image/png"));
  } finally {
    URL.revokeObjectURL(address);
  }
};

// What looks like a formula to a spreadsheet is kept as words.
const cell = (text) => {
  const safe = /^[=+\-@\t\r]/.test(text) && !/^-?[\d.,]+$/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
};
const rows = (place) => [...place.querySelectorAll("table tr")]
  .map((row) => [...row.cells].map((each) => cell(each.textContent.trim() === "–" ? "" : each.textContent.trim())).join(","));

const keep = (blob, name) => {
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
};

document.addEventListener("click", async (event) => {
  const button = event.target.closest("button[data-save]");
  if (!button) return;
  const place = button.closest("[data-figure]");
  const kind = button.dataset.save;
  const name = `${place.dataset.figure}.${kind}`;
  button.disabled = true;
  try {
    if (kind === "csv") keep(new Blob([`\ufeff${rows(place).join("\r\n")}\r\n`], { type: "text/csv;charset=utf-8" }), name);
    else {
      const text = await drawn(place);
      keep(kind === "png" ? await dots(text) : new Blob([text], { type: "image/svg+xml" }), name);
    }
  } catch {
    button.textContent = "It could not be drawn";
  } finally {
    button.disabled = false;
  }
});
