/**
 * What a report does in a browser, and nothing it needs for being read: sorting, the theme, the download, and opening
 * what is folded before it is printed. Its hash is all that the page's policy lets run.
 */
export const pageScript = `"use strict";
(() => {
  const root = document.documentElement;
  for (const part of document.querySelectorAll(".controls[hidden]")) part.hidden = false;

  const isDark = () => root.dataset.theme
    ? root.dataset.theme === "dark"
    : matchMedia("(prefers-color-scheme: dark)").matches;
  const theme = document.getElementById("theme");
  const label = () => { theme.textContent = isDark() ? "Light page" : "Dark page"; };
  theme.addEventListener("click", () => { root.dataset.theme = isDark() ? "light" : "dark"; label(); });
  label();

  document.getElementById("download").addEventListener("click", () => {
    const text = document.getElementById("judgement").textContent;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = "judgement.json";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  });

  const keyOf = (row, column) => {
    const cell = row.cells[column];
    const number = cell.dataset.value === undefined ? NaN : Number(cell.dataset.value);
    return Number.isNaN(number) ? cell.textContent.trim() : number;
  };
  const compare = (a, b) => {
    if (a === "" || b === "") return Number(a === "") - Number(b === "");
    if (typeof a === "number" && typeof b === "number") return a - b;
    return String(a).localeCompare(String(b), "en", { numeric: true });
  };
  for (const table of document.querySelectorAll("table.sorts")) {
    const headers = [...table.tHead.rows[0].cells];
    headers.forEach((header, column) => {
      const button = document.createElement("button");
      button.type = "button";
      button.append(...header.childNodes);
      header.append(button);
      button.addEventListener("click", () => {
        const down = header.getAttribute("aria-sort") === "ascending";
        for (const other of headers) other.removeAttribute("aria-sort");
        header.setAttribute("aria-sort", down ? "descending" : "ascending");
        const rows = [...table.tBodies[0].rows].map((row) => ({ row, key: keyOf(row, column) }));
        rows.sort((a, b) => {
          const empty = a.key === "" || b.key === "";
          return compare(a.key, b.key) * (down && !empty ? -1 : 1);
        });
        table.tBodies[0].append(...rows.map(({ row }) => row));
      });
    });
  }

  addEventListener("beforeprint", () => {
    for (const part of document.querySelectorAll("details:not([open])")) {
      part.open = true;
      part.dataset.folded = "";
    }
  });
  addEventListener("afterprint", () => {
    for (const part of document.querySelectorAll("details[data-folded]")) {
      part.open = false;
      delete part.dataset.folded;
    }
  });
})();
`;
