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
addEventListener("pageshow", () => { sent = false; });
addEventListener("beforeunload", (event) => {
  if (!sent && typed() !== first) event.preventDefault();
});
