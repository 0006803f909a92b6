// Keyboard of every page: rows, zones, find, copy; and the tree of parts. Without it every link and form still works.
import { copyTable } from "./copy.js";
import { setUpTree } from "./tree.js";

const typing = (element) => element.closest("input, textarea, select, [contenteditable]") !== null;

// Rows that can be walked: those with a link, of the list the focus is in, else of the first list on the page.
function rows() {
  const list = document.activeElement?.closest("[data-cursor]") ?? document.querySelector("[data-cursor]");
  return list ? [...list.querySelectorAll("[data-item] a[href]")].filter((a, i, all) =>
    all.findIndex((b) => b.closest("[data-item]") === a.closest("[data-item]")) === i) : [];
}

function step(by) {
  const all = rows();
  if (!all.length) return;
  const here = all.findIndex((a) => a.closest("[data-item]").contains(document.activeElement));
  const next = here < 0 ? (by > 0 ? 0 : all.length - 1) : Math.min(Math.max(here + by, 0), all.length - 1);
  all[next].focus();
  all[next].closest("[data-item]").scrollIntoView({ block: "nearest" });
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
  if (typing(event.target)) {
    if (event.key === "Escape") event.target.blur();
    return;
  }
  const inList = event.target.closest("[data-cursor]") !== null;
  if (event.key === "j" || (event.key === "ArrowDown" && inList)) step(1);
  else if (event.key === "k" || (event.key === "ArrowUp" && inList)) step(-1);
  else if (event.key === "/") {
    const box = document.getElementById("find");
    if (!box) return;
    box.focus();
    box.select();
  } else if (event.key === "c") {
    const list = event.target.closest("table[id]");
    const button = list && document.querySelector(`[data-copy="${CSS.escape(list.id)}"]`)
      || document.querySelector("[data-copy]");
    if (!button) return;
    copyTable(button);
  } else if (event.key === "w") {
    const next = document.querySelector('a.main[href*="#D"]');
    if (!next) return;
    next.click();
  } else if (/^[A-Z]$/.test(event.key) && event.shiftKey) {
    const zone = document.getElementById(event.key);
    if (!zone?.classList.contains("zone")) return;
    location.hash = event.key;
    zone.querySelector(".letter")?.focus({ preventScroll: true });
  } else return;
  event.preventDefault();
});

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-copy]");
  if (button) copyTable(button);
  const jump = event.target.closest('a[href="#find"]');
  if (jump) {
    event.preventDefault();
    document.getElementById("find")?.focus();
  }
});

// The theme is kept by a form; it comes back to where the reader is now, not to where the page began.
document.addEventListener("submit", (event) => {
  const back = event.target.matches("[data-comes-back]") && event.target.elements.next;
  if (back) back.value = location.pathname + location.search;
});

const lost = (words) => {
  const place = document.getElementById("said");
  place.textContent = words;
  place.classList.add("seen");
  setTimeout(() => place.classList.remove("seen"), 8000);
};
document.addEventListener("htmx:sendError", () =>
  lost("No answer: hoistbook serve has ended. Nothing was changed; start it again and reload the page."));
document.addEventListener("htmx:responseError", () =>
  lost("This could not be shown. Nothing was changed; reload the page, and see the terminal if it happens again."));

setUpTree();
