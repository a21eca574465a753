"use strict";
// A click on a heading sorts by its column; another click turns the order round.
const table = document.querySelector("table");
const heads = [...table.querySelectorAll("thead th")];
const compareWords = new Intl.Collator(undefined, { numeric: true, sensitivity: "base" }).compare;

function key(row, column) {
  const cell = row.cells[column];
  return cell.dataset.value ?? cell.textContent;
}

// What is empty comes last either way.
function compare(a, b, asNumbers, down) {
  if (a === "" || b === "") return (a === "") - (b === "");
  const order = asNumbers ? Number(a) - Number(b) : compareWords(a, b);
  return down ? -order : order;
}

function sortBy(column) {
  const head = heads[column];
  const down = head.getAttribute("aria-sort") === "ascending";
  for (const other of heads) other.removeAttribute("aria-sort");
  head.setAttribute("aria-sort", down ? "descending" : "ascending");
  const body = table.tBodies[0];
  const asNumbers = head.classList.contains("n");
  const rows = [...body.rows].map((row) => [key(row, column), row]);
  rows.sort(([a], [b]) => compare(a, b, asNumbers, down));
  body.append(...rows.map(([, row]) => row));
}

heads.forEach((head, column) => {
  const button = head.querySelector("button");
  if (button) button.addEventListener("click", () => sortBy(column));
});
