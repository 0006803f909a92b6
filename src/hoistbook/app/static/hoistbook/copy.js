// Copy a table as tab-separated values that a spreadsheet takes as numbers.

const said = (words) => {
  const place = document.getElementById("said");
  if (place) place.textContent = words;
};

// "1 742.0" → "1742.0", "−9.4" → "-9.4", "± 2.0" → "2.0"; words stay as they are.
export function plain(text) {
  const flat = text.replace(/\s*\n\s*/g, " ").trim();
  const number = flat.replace(/[\u2007\u202f\u00a0]/g, "").replace(/\u2212/g, "-").replace(/^±\s*/, "");
  return /^[+-]?\d[\d.]*%?$/.test(number) ? number.replace(/^\+/, "") : flat.replace(/[\t ]+/g, " ");
}

export function tabSeparated(table) {
  return [...table.rows].map((row) => [...row.cells].flatMap((cell) => {
    const told = plain(cell.innerText || cell.querySelector("[aria-label]")?.getAttribute("aria-label") || "");
    return [told, ...Array(cell.colSpan - 1).fill("")];
  }).join("\t")).join("\n") + "\n";
}

export async function copyTable(button) {
  const table = document.getElementById(button.dataset.copy);
  if (!table) return;
  const words = button.dataset.words ?? (button.dataset.words = button.textContent);
  try {
    await navigator.clipboard.writeText(tabSeparated(table));
    const lines = table.tBodies[0] ? table.tBodies[0].rows.length : table.rows.length;
    said(`${lines} lines copied, tab between columns`);
    button.textContent = "Copied";
  } catch {
    said("The browser does not let pages copy; select the table and copy it");
    button.textContent = "Not allowed here";
  }
  setTimeout(() => { button.textContent = words; }, 2000);
}
