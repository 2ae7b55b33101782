// Ticks on the day sheet. Each press is kept on this phone until the bench has answered for it, so
// that nothing is lost where the network drops, and nothing is noted twice: every press carries a
// name of its own, by which the bench knows it again.

const sheet = document.querySelector("[data-ticks]");
const KEPT = `mouldwright ticks ${sheet?.dataset.ticks}`;
const CLOCK = "mouldwright clock";
const AGAIN_MS = 10_000;

const read = () => JSON.parse(localStorage.getItem(KEPT) ?? "[]");
const write = (queue) => localStorage.setItem(KEPT, JSON.stringify(queue));
const notice = document.querySelector("[data-kept]");

// The bench's clock beside this phone's, by the newest sheet: one that was kept is older.
const clock = JSON.parse(localStorage.getItem(CLOCK) ?? '{"drawn": "", "ahead": 0}');
if (sheet && sheet.dataset.now > clock.drawn) {
  Object.assign(clock, { drawn: sheet.dataset.now, ahead: Date.parse(sheet.dataset.now) - Date.now() });
  localStorage.setItem(CLOCK, JSON.stringify(clock));
}
const now = () => new Date(Date.now() + clock.ahead);

const formOf = (tick) =>
  [...document.querySelectorAll("form[data-tick]")].find(
    (form) => form.elements.places.value === tick.places && form.elements.plan.value === tick.plan,
  );

function mark(tick) {
  const line = formOf(tick)?.closest(".step");
  if (!line) return;
  line.dataset.state = tick.what === "finished" ? "done" : "begun";
  line.querySelector("[data-told]").textContent =
    tick.what === "finished" ? "Done, kept on this phone" : "Begun, kept on this phone";
  for (const button of line.querySelectorAll("form[data-tick] button")) {
    button.hidden = tick.what === "finished" || button.value === "started";
  }
  const undo = line.querySelector("[data-forget]");
  if (undo) undo.hidden = false;
}

function tell(words, late = false) {
  notice.hidden = !words;
  notice.classList.toggle("late", late);
  notice.querySelector("span").textContent = words;
}

function show() {
  const queue = read();
  queue.filter((tick) => !tick.refused).forEach(mark);
  const refused = queue.filter((tick) => tick.refused);
  const waits = queue.length - refused.length;
  if (refused.length) {
    tell(refused.map((tick) => `${tick.name}: ${tick.refused}`).join(" "), true);
  } else if (waits) {
    tell(`${waits} kept on this phone, sent when the network is back.`);
  } else {
    tell("");
  }
  notice.querySelector("button").hidden = !refused.length;
}

async function send(tick) {
  const key = document.querySelector("form[data-tick] input[data-form-key]");
  const body = new URLSearchParams({
    plan: tick.plan, places: tick.places, what: tick.what, at: tick.at, said: tick.said,
    person: tick.person, day: tick.day, once: tick.said, [key.name]: key.value,
  });
  const answer = await fetch(tick.path, {
    method: "POST", body, headers: { accept: "application/json" }, redirect: "error",
  });
  if (answer.ok) return "sent";
  if (answer.status === 401 || answer.status === 403) return "signed out";
  if (answer.status >= 500 || answer.status === 429) return "later";
  const said = await answer.json().catch(() => ({}));
  return { refused: said.said ?? "The bench would not take it." };
}

async function sendAll() {
  let sent = 0;
  for (;;) {
    const tick = read().find((each) => !each.refused);
    if (!tick) break;
    let outcome;
    try {
      outcome = await send(tick);
    } catch {
      break; // no network; it stays kept
    }
    if (outcome === "later") break;
    if (outcome === "signed out") {
      tell("Sign in again; what is kept on this phone is sent then.", true);
      return;
    }
    const queue = read().filter((each) => each.said !== tick.said || outcome.refused);
    for (const each of queue) {
      if (each.said === tick.said) each.refused = outcome.refused;
    }
    write(queue);
    sent += 1;
  }
  show();
  if (sent && !read().length) await freshen();
}

// The lines as the bench has them now, put in place without losing the reader's.
async function freshen() {
  try {
    const answer = await fetch(location.href, { headers: { accept: "text/html" } });
    if (!answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const lists = [...document.querySelectorAll("ol.steps")];
    const others = [...page.querySelectorAll("ol.steps")];
    if (lists.length === others.length) {
      lists.forEach((list, at) => list.replaceWith(document.adoptNode(others[at])));
    }
    show();
  } catch {
    // the next press, or opening the sheet again, shows them
  }
}

// One page at a time sends, so that presses arrive in the order they were made.
let sending;
function flush() {
  if (!read().some((tick) => !tick.refused)) return;
  const once = () => (sending ??= sendAll().finally(() => (sending = undefined)));
  navigator.locks ? navigator.locks.request(KEPT, once) : once();
}

function name() {
  return crypto.randomUUID?.() ?? [...crypto.getRandomValues(new Uint32Array(4))].join("-");
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("form[data-tick]")) return;
  event.preventDefault();
  const { plan, places, person, day } = form.elements;
  const tick = {
    path: form.getAttribute("action"), plan: plan.value, places: places.value,
    person: person.value, day: day.value, what: event.submitter.value,
    at: now().toISOString(), said: name(), name: form.dataset.tick,
  };
  write([...read(), tick]);
  show();
  flush();
});

document.addEventListener("click", (event) => {
  const forget = event.target.closest("[data-forget]");
  if (forget) {
    // Not sent yet, or being sent now: then the bench shows it and it is taken back there.
    const { plan, places } = forget.closest(".step").querySelector("form[data-tick]").elements;
    const mine = (tick) => tick.places === places.value && tick.plan === plan.value;
    write(read().filter((tick) => !mine(tick)));
    location.reload();
  }
  if (event.target.closest("[data-seen]")) {
    write(read().filter((tick) => !tick.refused));
    location.reload();
  }
});

// Where the browser allows it, the sheet opens without the network too: this one from now on.
async function keepSheet() {
  if (!navigator.serviceWorker || !navigator.onLine) return;
  try {
    await navigator.serviceWorker.register("/day-worker.js", { scope: "/shops/" });
    const worker = (await navigator.serviceWorker.ready).active;
    const files = [...document.querySelectorAll("link[rel=stylesheet], link[rel=icon], script[src]")];
    worker.postMessage({
      keep: [location.href, ...files.map((file) => file.href ?? file.src)],
    });
  } catch {
    // the sheet still works; it only does not open without the network
  }
}

if (sheet) {
  show();
  flush();
  window.addEventListener("online", flush);
  document.addEventListener("visibilitychange", () => document.hidden || flush());
  setInterval(flush, AGAIN_MS);
  keepSheet();
}
