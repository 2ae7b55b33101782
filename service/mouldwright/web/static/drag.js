// A task dragged to another time, mould or person, and what that would do said while it is held.
// The same is done without a pointer in the task's own form: open it, change it, press to try.

const board = document.querySelector("#the-board");
const box = board.querySelector(".board-box");
const svg = box.querySelector("svg.fig");
const knees = JSON.parse(box.dataset.knees);
const rows = JSON.parse(box.dataset.rows).map(([key, kind, top, height]) => ({ key, kind, top, height }));
const SVG = "http://www.w3.org/2000/svg";
const FAR_PX = 5;
const HOLD_MS = 400;
const PAUSE_MS = 120;
const EDGE_PX = 36;

document.querySelector(".by-hand").hidden = false;

/* --- minutes and places --- */
const between = (value, from, to) => {
  const last = knees.length - 1;
  if (value <= knees[0][from]) return knees[0][to];
  if (value >= knees[last][from]) return knees[last][to];
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (knees[middle][from] <= value) low = middle; else high = middle;
  }
  const [a, b] = [knees[low], knees[high]];
  return a[to] + ((b[to] - a[to]) * (value - a[from])) / (b[from] - a[from]);
};
const minuteAt = (x) => between(x, 1, 0);
const placeOf = (minute) => between(minute, 0, 1);
const shownMin = knees[knees.length - 1][0] - knees[0][0];
const step = [1, 5, 15, 30, 60].find((each) => (each / shownMin) * svg.viewBox.baseVal.width >= 1.5) || 60;

const parts = new Intl.DateTimeFormat("en-GB", {
  timeZone: box.dataset.zone, hourCycle: "h23", weekday: "short", year: "numeric", month: "2-digit",
  day: "2-digit", hour: "2-digit", minute: "2-digit",
});
const local = (minute) => Object.fromEntries(parts.formatToParts(minute * 60000).map((each) => [each.type, each.value]));
const fieldTime = (minute) => {
  const at = local(minute);
  return `${at.year}-${at.month}-${at.day}T${at.hour}:${at.minute}`;
};
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const inWords = (minute) => {
  const at = local(minute);
  return `${at.weekday} ${Number(at.day)} ${MONTHS[Number(at.month) - 1]}, ${at.hour}:${at.minute}`;
};
const onSheet = (event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());

/* --- what is held --- */
let pressed = null;
let held = null;
let holding = 0;
let pausing = 0;
let asking = null;
let swallow = false;

const said = document.createElement("div");
said.className = "drag-said";
said.hidden = true;
said.setAttribute("role", "status");
document.body.append(said);

const family = (name) => name.slice(0, name.lastIndexOf(" "));

// A pull goes to a mould of its own family, hands go to another person; else a task keeps its row.
const rowFor = (y) => {
  const { own, hasHands } = held;
  const under = rows.find((row) => y >= row.top - 6 && y <= row.top + row.height + 6);
  if (!under || under.key === own.key) return own;
  if (under.kind === "person") return hasHands ? under : own;
  return own.kind === "thing" && family(under.key) === family(own.key) ? under : own;
};

const begin = (event) => {
  const { task, from } = pressed;
  const own = rows.find((row) => row.key === task.closest("[data-row]").dataset.row);
  const ghost = document.createElementNS(SVG, "g");
  for (const child of task.children) ghost.append(child.cloneNode(true));
  ghost.setAttribute("class", "ghost");
  ghost.setAttribute("aria-hidden", "true");
  const target = document.createElementNS(SVG, "rect");
  target.setAttribute("class", "drop-row");
  target.setAttribute("x", "0");
  target.setAttribute("width", String(svg.viewBox.baseVal.width));
  svg.insertBefore(target, svg.querySelector("[data-row]"));
  svg.append(ghost);
  const start = Number(task.dataset.start);
  held = { task, from, own, ghost, target, start, row: own, at: start, asked: "", html: "", hasHands: Boolean(task.querySelector(".hands")) };
  task.classList.add("is-held");
  svg.classList.add("is-dragging");
  said.hidden = false;
  follow(event);
};

const follow = (event) => {
  const here = onSheet(event);
  const { start, from, ghost, target, own } = held;
  const isShown = start >= knees[0][0];
  const raw = isShown
    ? minuteAt(placeOf(start) + here.x - from.x)
    : start + minuteAt(here.x) - minuteAt(from.x);
  // An untouched time stays to the minute; a changed one stands on the scale's own steps.
  held.at = Math.abs(here.x - from.x) < 3 ? start : Math.round(raw / step) * step;
  held.row = rowFor(here.y);
  const dx = isShown ? placeOf(held.at) - placeOf(start) : here.x - from.x;
  ghost.setAttribute("transform", `translate(${dx} ${held.row.top - own.top})`);
  target.setAttribute("y", String(held.row.top - 4));
  target.setAttribute("height", String(held.row.height + 8));
  const where = held.row === own ? "" : `, ${nameOf(held.row.key)}`;
  tell(`${inWords(held.at)}${where}`, held.asked === wanted() ? held.words : "…", held.breaks);
  const edge = box.getBoundingClientRect();
  if (event.clientX > edge.right - EDGE_PX) box.scrollLeft += 10;
  if (event.clientX < edge.left + EDGE_PX) box.scrollLeft -= 10;
  said.style.left = `${Math.min(event.clientX + 14, innerWidth - said.offsetWidth - 8)}px`;
  said.style.top = `${Math.min(event.clientY + 18, innerHeight - said.offsetHeight - 8)}px`;
  clearTimeout(pausing);
  if (held.asked !== wanted()) pausing = setTimeout(ask, PAUSE_MS);
};

const nameOf = (key) => svg.querySelector(`[data-row="${CSS.escape(key)}"]`)?.getAttribute("aria-label") || key;

const tell = (where, words, breaks) => {
  const first = document.createElement("b");
  first.textContent = where;
  const rest = document.createElement("span");
  rest.textContent = words || "";
  rest.className = breaks && words !== "…" ? "breaks" : "";
  said.replaceChildren(first, rest);
};

const wanted = () => `${held.at} ${held.row.key}`;

// Asks what it would do; the answer is the task's sheet with the move in its form.
const ask = async () => {
  const asked = wanted();
  const mine = held;
  asking?.abort();
  asking = new AbortController();
  const given = new URLSearchParams({ [box.dataset.keyName]: box.dataset.key, part: "1", with_rest: "yes", start: fieldTime(held.at) });
  if (held.row.kind === "person") given.set("people", held.row.key);
  else if (held.own.kind === "thing" && held.row !== held.own) given.set("mould", held.row.key);
  const answer = await fetch(`${held.task.getAttribute("href")}/try`, { method: "POST", body: given, signal: asking.signal });
  const html = await answer.text();
  const sent = new DOMParser().parseFromString(html, "text/html");
  const verdict = sent.querySelector("[data-verdict] .notice");
  if (!held || held !== mine) return html;
  held.asked = asked;
  held.html = answer.ok && verdict ? html : "";
  held.breaks = !verdict || verdict.classList.contains("late");
  held.words = verdict
    ? [verdict.querySelector("b"), ...[...verdict.querySelectorAll("li, p")].slice(0, 2)].map((each) => each.textContent.trim()).join(" ")
    : (sent.querySelector("main .notice, main p")?.textContent || "This one cannot be moved.").trim();
  if (wanted() === asked) {
    const where = said.querySelector("b").textContent;
    tell(where, held.words, held.breaks);
  }
  return held.html;
};

const letGo = () => {
  clearTimeout(holding);
  clearTimeout(pausing);
  pressed = null;
  if (!held) return;
  held.ghost.remove();
  held.target.remove();
  held.task.classList.remove("is-held");
  svg.classList.remove("is-dragging");
  said.hidden = true;
  held = null;
};

const drop = async () => {
  const { task } = held;
  const isMoved = held.at !== held.start || held.row !== held.own;
  let html = held.asked === wanted() ? held.html : "";
  if (isMoved && held.asked !== wanted()) html = await ask().catch(() => "");
  letGo();
  if (isMoved && html) board.dispatchEvent(new CustomEvent("board:tried", { detail: { task, html } }));
};

svg.addEventListener("pointerdown", (event) => {
  const task = event.target.closest("a.task");
  if (!task || event.button !== 0 || !event.isPrimary) return;
  swallow = false;
  pressed = { task, from: onSheet(event), x: event.clientX, y: event.clientY, touch: event.pointerType === "touch" };
  if (pressed.touch) holding = setTimeout(() => { if (pressed) begin(event); }, HOLD_MS);
});
addEventListener("pointermove", (event) => {
  if (held) {
    follow(event);
    return;
  }
  if (!pressed) return;
  const far = Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y);
  if (pressed.touch && far > 2 * FAR_PX) letGo();
  else if (!pressed.touch && far > FAR_PX) begin(event);
});
addEventListener("pointerup", () => {
  if (!held) {
    letGo();
    return;
  }
  swallow = true;
  drop().catch(letGo);
});
addEventListener("pointercancel", letGo);
addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || !held) return;
  swallow = true;
  letGo();
});
// While a task is held by a finger the board must not scroll away under it.
box.addEventListener("touchmove", (event) => { if (held) event.preventDefault(); }, { passive: false });
box.addEventListener("contextmenu", (event) => { if (held || pressed?.touch) event.preventDefault(); });
svg.addEventListener("dragstart", (event) => event.preventDefault());
// The press that ends a drag opens nothing.
svg.addEventListener("click", (event) => {
  if (!swallow) return;
  swallow = false;
  event.preventDefault();
  event.stopPropagation();
}, true);
