// A button that copies a field. It shows itself only where the browser lets a page copy.

for (const button of document.querySelectorAll("[data-copy]")) {
  const field = document.getElementById(button.dataset.copy);
  if (!field || !navigator.clipboard) continue;
  button.hidden = false;
  button.addEventListener("click", async () => {
    field.select();
    try {
      await navigator.clipboard.writeText(field.value);
      button.textContent = "Copied";
    } catch {
      button.textContent = "Copy it by hand: it is marked";
    }
  });
}
