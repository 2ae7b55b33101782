// "/" goes to the search field from wherever nothing is being written.

const sought = document.querySelector("#find");

document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || !sought || event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.target.closest("input, select, textarea, [contenteditable], dialog")) return;
  event.preventDefault();
  sought.focus();
  sought.select();
});
