// A kind that is chosen shows its fields at once, and what is typed is not left behind unasked.
// Without this script the button beside the choice does the first.

const form = document.querySelector("#entry");
const typed = () => JSON.stringify([...new FormData(form)].filter(([name]) => name !== "once"));
const first = typed();
let sent = false;

form.addEventListener("submit", () => { sent = true; });
form.addEventListener("change", (event) => {
  const does = event.target.dataset.does;
  if (!does) return;
  const button = [...form.querySelectorAll('button[name="do"]')].find((each) => each.value === does);
  if (button) form.requestSubmit(button);
});
// A step that is named anew is named so wherever it can be chosen.
const names = [...form.querySelectorAll('input[name^="operations."][name$=".name"]')];
const was = new Map(names.map((each) => [each, each.value]));
form.addEventListener("change", (event) => {
  const field = event.target;
  if (!was.has(field)) return;
  const [before, now] = [was.get(field), field.value.trim()];
  was.set(field, now);
  if (!now || now === before) return;
  const known = [...form.querySelectorAll("[data-step]")].filter((each) => before && each.value === before);
  const others = names.some((each) => each !== field && each.value.trim() === before);
  if (others) return;
  for (const each of known) {
    each.value = now;
    (each.tagName === "OPTION" ? each : each.nextElementSibling).textContent = now;
  }
  if (known.length) return;
  for (const choice of form.querySelectorAll("select[data-steps]")) {
    const option = new Option(now, now);
    option.dataset.step = "";
    choice.append(option);
  }
});
addEventListener("pageshow", () => { sent = false; });
addEventListener("beforeunload", (event) => {
  if (!sent && typed() !== first) event.preventDefault();
});
