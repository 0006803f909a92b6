// The tree of parts: branches open where they are, arrows walk it, and the branch whose lines are shown is marked.

const links = (tree) => [...tree.querySelectorAll(".row > a")].filter((link) => link.offsetParent !== null);
const twist = (link) => link.closest(".row").querySelector(".twist");
const inside = (row) => row.nextElementSibling?.tagName === "UL" ? row.nextElementSibling : null;

function turn(button, open) {
  const list = inside(button.closest(".row"));
  button.setAttribute("aria-expanded", String(open));
  if (list) list.hidden = !open;
}

function mark(tree, tag) {
  for (const row of tree.querySelectorAll(".row")) {
    const here = row.dataset.tag === tag;
    row.classList.toggle("here", here);
    const link = row.querySelector("a");
    if (here) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
  }
}

export function setUpTree() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest(".tree .twist");
    if (button) turn(button, button.getAttribute("aria-expanded") !== "true");
  });

  document.addEventListener("keydown", (event) => {
    const link = event.target.closest(".tree .row > a");
    if (!link || event.ctrlKey || event.metaKey || event.altKey) return;
    const tree = link.closest(".tree");
    const all = links(tree);
    const here = all.indexOf(link);
    const button = twist(link);
    const open = button?.getAttribute("aria-expanded") === "true";
    let next = null;
    if (event.key === "ArrowDown") next = all[here + 1];
    else if (event.key === "ArrowUp") next = all[here - 1];
    else if (event.key === "Home") next = all[0];
    else if (event.key === "End") next = all[all.length - 1];
    else if (event.key === "ArrowRight") {
      if (button && !open) button.click();
      else if (open) next = all[here + 1];
    } else if (event.key === "ArrowLeft") {
      if (open) turn(button, false);
      else next = link.closest("ul")?.previousElementSibling?.querySelector("a");
    } else return;
    event.preventDefault();
    next?.focus();
  });

  // The lines of another assembly came in: the tree says where they hang.
  document.addEventListener("htmx:afterSwap", () => {
    const lines = document.getElementById("lines");
    const tree = document.getElementById("tree");
    if (!lines || !tree) return;
    mark(tree, lines.dataset.tag);
    // A link in the lines that were replaced took the focus with it.
    if (document.activeElement === document.body)
      (lines.querySelector("tr[aria-current] a") ?? lines.querySelector("h2"))?.focus({ preventScroll: true });
  });
}
