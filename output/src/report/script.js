// Sorts tables by the button in a column's head: once upwards, again downwards, a third time back.
for (const table of document.querySelectorAll("table[data-sorts]")) {
  const body = table.tBodies[0];
  const original = [...body.rows];
  const heads = [...table.tHead.rows[0].cells];
  const said = document.getElementById("said");
  heads.forEach((head, column) => {
    const button = head.querySelector("button");
    if (!button) return;
    button.addEventListener("click", () => {
      const now = head.getAttribute("aria-sort");
      const next = now === "ascending" ? "descending" : now === "descending" ? null : "ascending";
      for (const other of heads) other.removeAttribute("aria-sort");
      if (next) head.setAttribute("aria-sort", next);
      const sign = next === "descending" ? -1 : 1;
      const value = (row) => row.cells[column].dataset.value;
      const compare = (a, b) => {
        const [x, y] = [value(a), value(b)];
        // What is missing stays at the end.
        if (x === "" || y === "") return (x === "") - (y === "");
        const [p, q] = [Number(x), Number(y)];
        return sign * (Number.isNaN(p) || Number.isNaN(q) ? x.localeCompare(y, "en") : p - q);
      };
      body.append(...(next ? [...original].sort(compare) : original));
      said.textContent = next ? `Sorted by ${button.textContent.trim()}, ${next}.` : "In the order asked for.";
    });
  });
}
// What is folded on a screen is read on paper.
addEventListener("beforeprint", () => {
  for (const folded of document.querySelectorAll("details:not([open], [data-stays])")) {
    folded.open = true;
    folded.dataset.opened = "";
  }
});
addEventListener("afterprint", () => {
  for (const opened of document.querySelectorAll("details[data-opened]")) {
    opened.open = false;
    delete opened.dataset.opened;
  }
});
// The live tank, in a frame of its own: its page stands in this one as text.
const frame = document.getElementById("live-frame");
for (const button of document.querySelectorAll("[data-start]")) {
  button.addEventListener("click", () => {
    const inside = document.createElement("iframe");
    inside.title = `The live tank. ${button.textContent}`;
    const page = JSON.parse(document.getElementById("live-page").textContent);
    inside.srcdoc = page.replace("const START = null;", () => `const START = ${button.dataset.start};`);
    frame.replaceChildren(inside);
    inside.addEventListener("load", () => inside.focus());
  });
}
