// The board by hand and by keyboard. Without this script every task is a link to its own sheet,
// and time is changed by the links above the board.

const board = document.querySelector("#the-board");
const box = board.querySelector(".board-box");
const dialog = document.querySelector("#task-dialog");
const slot = dialog.querySelector("[data-slot]");
let cameFrom = null;

// On a narrow screen the board scrolls sideways: begin at now, not at its left edge.
const now = box.querySelector(".now");
if (now && box.scrollWidth > box.clientWidth) {
  box.scrollLeft += now.getBoundingClientRect().left - box.getBoundingClientRect().left - box.clientWidth / 3;
}

const put = (html) => {
  const sent = new DOMParser().parseFromString(html, "text/html");
  const sheet = sent.querySelector("[data-task-sheet]");
  if (!sheet) return false;
  slot.replaceChildren(document.adoptNode(sheet));
  return true;
};

const open = async (href) => {
  const answer = await fetch(`${href}?part=1`, { headers: { accept: "text/html" } });
  if (!answer.ok || !put(await answer.text())) {
    location.href = href;
    return;
  }
  if (!dialog.open) dialog.showModal();
  slot.scrollIntoView({ block: "start" });
};

board.addEventListener("click", (event) => {
  const task = event.target.closest("a.task");
  if (!task || event.metaKey || event.ctrlKey || event.shiftKey) return;
  event.preventDefault();
  cameFrom = task;
  open(task.getAttribute("href")).catch(() => { location.href = task.getAttribute("href"); });
});

dialog.addEventListener("click", (event) => {
  const link = event.target.closest("[data-task-link]");
  if (!link) return;
  event.preventDefault();
  open(link.getAttribute("href")).catch(() => { location.href = link.href; });
});

// What is tried is answered where it was asked; pinning goes to the service as any form does.
dialog.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!form.matches(".move-form") || event.submitter?.hasAttribute("formaction")) return;
  event.preventDefault();
  const given = new FormData(form);
  given.set("part", "1");
  const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(given) });
  const sent = new DOMParser().parseFromString(await answer.text(), "text/html");
  const verdict = sent.querySelector("[data-verdict]");
  const here = form.querySelector("[data-verdict]");
  if (verdict) here.replaceChildren(...[...verdict.childNodes].map((node) => document.adoptNode(node)));
  else here.textContent = sent.querySelector("main")?.innerText || "That did not work. Send it again.";
});

// A task that was dropped elsewhere comes back with what that would do; see drag.js.
board.addEventListener("board:tried", (event) => {
  cameFrom = event.detail.task;
  if (!put(event.detail.html)) return;
  if (!dialog.open) dialog.showModal();
  dialog.querySelector("[data-verdict]")?.scrollIntoView({ block: "nearest" });
});

dialog.addEventListener("close", () => {
  cameFrom?.focus();
});

// One stop of the tab key for each row; the arrows go on from there.
const rowsOf = () => [...box.querySelectorAll("[data-row]")].filter((row) => row.querySelector("a.task"));
const middle = (task) => {
  const place = task.getBoundingClientRect();
  return place.left + place.width / 2;
};
const nearest = (row, task) => [...row.querySelectorAll("a.task")]
  .reduce((a, b) => (Math.abs(middle(b) - middle(task)) < Math.abs(middle(a) - middle(task)) ? b : a));

const go = (task) => {
  if (!task) return;
  const row = task.closest("[data-row]");
  row.querySelectorAll("a.task").forEach((each) => each.setAttribute("tabindex", each === task ? "0" : "-1"));
  task.focus();
  task.scrollIntoView({ block: "nearest", inline: "nearest" });
};

box.addEventListener("keydown", (event) => {
  const task = event.target.closest("a.task");
  if (!task) return;
  const row = task.closest("[data-row]");
  const tasks = [...row.querySelectorAll("a.task")];
  const rows = rowsOf();
  const at = tasks.indexOf(task);
  const line = rows.indexOf(row);
  const to = {
    ArrowRight: () => tasks[at + 1],
    ArrowLeft: () => tasks[at - 1],
    Home: () => tasks[0],
    End: () => tasks[tasks.length - 1],
    ArrowDown: () => rows[line + 1] && nearest(rows[line + 1], task),
    ArrowUp: () => rows[line - 1] && nearest(rows[line - 1], task),
  }[event.key];
  if (!to) return;
  event.preventDefault();
  go(to());
});

// [ and ] go through time, + and - through zooms, wherever nothing is being written.
document.addEventListener("keydown", (event) => {
  if (dialog.open || event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.target.closest("input, select, textarea")) return;
  const zooms = [...document.querySelectorAll("[data-zoom]")];
  const shown = zooms.findIndex((each) => each.hasAttribute("aria-current"));
  const link = {
    "[": document.querySelector('[data-key="earlier"]'),
    "]": document.querySelector('[data-key="later"]'),
    "+": zooms[shown - 1],
    "=": zooms[shown - 1],
    "-": zooms[shown + 1],
  }[event.key];
  if (link) location.href = link.href;
});
