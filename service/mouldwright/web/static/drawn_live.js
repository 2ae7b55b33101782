// The line through the readings is drawn as they are typed; nothing is kept by it.
// Without this script "Draw it" does the same by loading the form anew.

const form = document.querySelector("#entry");
const PAUSE_MS = 500;
let waiting = 0;
let asking = null;

const draw = async () => {
  asking?.abort();
  asking = new AbortController();
  const sent = new URLSearchParams(new FormData(form));
  sent.set("do", "look");
  try {
    const answer = await fetch(form.action, {
      method: "POST", body: sent, signal: asking.signal, headers: { accept: "text/html" },
    });
    const html = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = html.querySelector('[data-slot="drawn"]');
    // What cannot be right yet leaves the last drawing where it was.
    if (fresh && fresh.querySelector("svg")) {
      document.querySelector('[data-slot="drawn"]').replaceWith(document.adoptNode(fresh));
    }
  } catch (fault) {
    if (fault.name !== "AbortError") throw fault;
  }
};

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(draw, PAUSE_MS);
});
