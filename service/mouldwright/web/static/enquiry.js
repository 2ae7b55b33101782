// The enquiry answers as one types: fields stay where they are, so focus and caret do too.
// Without this script the button below the fields does the same by loading the sheet anew.

const form = document.querySelector("#asked");
const said = document.querySelector("#asked-said");
const PAUSE_MS = 300;
const REST_MS = 800;
let waiting = 0;
let asking = null;

// What is agreed besides is typed below the answer, in the form that makes the quote.
const AGREED = ["customer_class", "discount", "discount_amount", "deliveries", "rush", "spares"];
const agreed = () => document.querySelector(".quote-it details")?.closest("form");
let besides = new URLSearchParams(location.search);
// Where a slip leaves no answer to quote, it stays as it was last typed.
const typedBesides = () => {
  const here = agreed();
  if (here) besides = new FormData(here);
  return besides;
};

const query = () => {
  const given = new URLSearchParams(new FormData(form));
  const typed = typedBesides();
  for (const name of AGREED) if (typed.get(name)) given.set(name, typed.get(name));
  for (const [name, text] of [...given]) if (!text.trim()) given.delete(name);
  return given.toString();
};

// What was typed meanwhile stays, and so do the focus and the caret.
const keepTyped = (from, to) => {
  const active = from.contains(document.activeElement) ? document.activeElement : null;
  const typed = typedBesides();
  for (const name of AGREED) {
    const now = to.querySelector(`details [name="${name}"]`);
    if (now?.type === "checkbox") now.checked = typed.has(name);
    else if (now) now.value = typed.get(name) || "";
  }
  return () => {
    const again = active?.name && to.querySelector(`details [name="${active.name}"]`);
    if (!again) return;
    again.focus({ preventScroll: true });
    if (typeof active.selectionStart === "number") again.setSelectionRange(active.selectionStart, active.selectionEnd);
  };
};

const put = (html, kept = "") => {
  const sent = new DOMParser().parseFromString(html, "text/html");
  for (const slot of sent.querySelectorAll("[data-slot]")) {
    const name = slot.dataset.slot;
    if (name === kept) continue;
    const here = document.querySelector(`[data-slot="${name}"]`);
    // What was opened stays open.
    const open = [...here.querySelectorAll("details")].map((each) => each.open);
    [...slot.querySelectorAll("details")].forEach((each, at) => { each.open = open[at] || false; });
    const focusAgain = keepTyped(here, slot);
    here.replaceWith(document.adoptNode(slot));
    focusAgain();
  }
};

const markFaults = () => {
  const bad = (document.querySelector('[data-slot="answer"]')?.dataset.bad || "").split(" ");
  for (const control of form.elements) {
    const field = control.closest(".field");
    if (!field || !control.name) continue;
    field.toggleAttribute("data-bad", bad.includes(control.name));
    control.setAttribute("aria-invalid", String(bad.includes(control.name)));
    field.querySelector(".fault")?.remove();
  }
};

const fetchText = async (path, signal) => {
  const answer = await fetch(path, { signal, headers: { accept: "text/html" } });
  // Signed out, or the shop is gone: the whole sheet says what to do.
  if (!answer.ok) throw new Error(String(answer.status));
  return answer.text();
};

const ask = async () => {
  asking?.abort();
  asking = new AbortController();
  const { signal } = asking;
  const asked = query();
  said.textContent = "Working it out …";
  try {
    put(await fetchText(`${form.dataset.answer}?${asked}`, signal));
    markFaults();
    history.replaceState(null, "", `${form.getAttribute("action")}?${asked}`);
    const title = document.querySelector('[data-slot="head"] h1');
    const lead = document.querySelector('[data-slot="answer"] .lead strong');
    said.textContent = lead ? `${title.textContent}: ${lead.textContent}` : "Not yet: see above.";
    if (!lead) return;
    await askDates(asked, signal);
    await askTime(asked, signal);
  } catch (error) {
    if (error.name === "AbortError") return;
    said.textContent = "No answer came. Press the button to try again.";
  }
};

// A date on top of what is booked takes a plan for each way, so it comes after the figures.
const askDates = async (asked, signal) => {
  const slot = document.querySelector('[data-slot="answer"][data-later]');
  if (!slot) return;
  const note = slot.querySelector(".dates-later");
  if (note) note.textContent = "Planning the days on top of what is booked …";
  put(await fetchText(`${form.dataset.answer}?${asked}&dates=planned`, signal), "changes");
};

// When each quantity is ready takes a plan each, so it comes after the rest.
const askTime = async (asked, signal) => {
  const slot = document.querySelector('[data-slot="time"]');
  if (slot.hasAttribute("data-later") && !slot.querySelector("figure")) slot.textContent = "Planning when other quantities would be ready …";
  put(await fetchText(`${form.dataset.time}?${asked}`, signal));
};

const soon = () => {
  clearTimeout(waiting);
  waiting = setTimeout(ask, PAUSE_MS);
};

// An empty field shows what the part itself says.
const showWritten = () => {
  const written = form.elements.part.selectedOptions[0]?.dataset || {};
  for (const name of ["force", "bend", "mass", "factor", "mount"]) {
    form.elements[name].placeholder = written[name] || "";
  }
  for (const name of ["held", "load"]) {
    const first = form.elements[name].options[0];
    first.textContent = written[name] ? `As written: ${written[name]}` : "As written";
  }
};

// Where there is room beside the answer, what could be asked lies open.
if (matchMedia("(min-width: 90rem)").matches) form.querySelector(".what-if").open = true;

form.addEventListener("input", (event) => {
  if (event.target === form.elements.part) showWritten();
  soon();
});
// Whichever way is quoted, what is agreed goes with it.
document.addEventListener("submit", (event) => {
  const quoted = event.target.closest(".quote-it");
  if (!quoted || quoted === agreed()) return;
  const typed = typedBesides();
  for (const name of AGREED) {
    const hidden = quoted.elements[name];
    if (hidden) hidden.value = typed.get(name) || "";
  }
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  clearTimeout(waiting);
  ask();
});

// The sheet comes without them; they follow, unless one begins to type.
if (document.querySelector('[data-slot="answer"][data-later], [data-slot="time"][data-later]')) {
  waiting = setTimeout(async () => {
    asking = new AbortController();
    const { signal } = asking;
    const asked = query();
    try {
      await askDates(asked, signal);
      await askTime(asked, signal);
    } catch {
      // Left as it is: the links below the figures do the same.
    }
  }, REST_MS);
}
