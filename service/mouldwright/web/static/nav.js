// Where the entries at the head do not all fit, the one that is open is brought into sight.

const list = document.querySelector(".masthead nav ul");
const open = list?.querySelector("[aria-current]");
if (open && list.scrollWidth > list.clientWidth) {
  const { left, width } = open.getBoundingClientRect();
  list.scrollLeft += left - list.getBoundingClientRect().left - (list.clientWidth - width) / 2;
}
