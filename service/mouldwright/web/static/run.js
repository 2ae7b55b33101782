// A run is told by the service as it goes on; where that breaks off it is asked for instead.
// Without this script the sheet loads itself anew every two seconds.

const place = document.querySelector("#run");
const said = document.querySelector("#run-said");
const AGAIN_MS = 2000;
let asking = false;
let more = false;
let timer = 0;

const ended = () => place.querySelector('[data-slot="run"]').dataset.ended === "yes";

const refresh = async () => {
  if (asking) {
    more = true;
    return;
  }
  asking = true;
  try {
    const answer = await fetch(place.dataset.part);
    if (!answer.ok) return;
    const sent = new DOMParser().parseFromString(await answer.text(), "text/html");
    const slot = sent.querySelector('[data-slot="run"]');
    if (!slot) return;
    // A button that has the focus keeps it.
    const focused = place.contains(document.activeElement) ? document.activeElement.textContent : "";
    place.replaceChildren(document.adoptNode(slot));
    if (focused) [...place.querySelectorAll("button, a.button")].find((b) => b.textContent === focused)?.focus();
    if (ended()) said.textContent = place.querySelector("h2").textContent;
  } finally {
    asking = false;
    if (more) {
      more = false;
      refresh();
    }
  }
};

const poll = () => {
  clearTimeout(timer);
  if (ended()) return;
  timer = setTimeout(() => refresh().catch(() => {}).then(poll), AGAIN_MS);
};

if (!ended()) {
  const events = new EventSource(place.dataset.events);
  events.addEventListener("run", () => refresh().then(() => { if (ended()) events.close(); }).catch(() => {}));
  events.onerror = () => {
    events.close();
    poll();
  };
}
