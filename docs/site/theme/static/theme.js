// Light or dark, as the reader last chose on this machine; and what a script alone can do for reading.

const root = document.documentElement;
const KEPT = "manual-theme";

function show(theme) {
  if (theme === "light" || theme === "dark") root.dataset.theme = theme;
  else delete root.dataset.theme;
  for (const button of document.querySelectorAll("[data-choose]"))
    button.setAttribute("aria-pressed", String(button.dataset.choose === theme));
}

function kept() {
  try {
    return localStorage.getItem(KEPT) ?? "device";
  } catch {
    return "device"; // A browser that keeps nothing goes by the device.
  }
}

show(kept());
addEventListener("DOMContentLoaded", () => {
  show(kept());
  for (const button of document.querySelectorAll("[data-choose]"))
    button.addEventListener("click", () => {
      try {
        localStorage.setItem(KEPT, button.dataset.choose);
      } catch {
        // Shown all the same, until the next page.
      }
      show(button.dataset.choose);
    });
  // What is wider than its column scrolls, so a keyboard has to reach it.
  for (const wide of document.querySelectorAll(".table-wrapper, .highlight pre, main p:has(> img)"))
    if (wide.scrollWidth > wide.clientWidth) wide.tabIndex = 0;
  const fold = document.querySelector(".contents-fold");
  if (fold && matchMedia("(min-width: 64rem)").matches) fold.open = true;
});
