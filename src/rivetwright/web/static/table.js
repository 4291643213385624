// The hole table for the keyboard: one stop for Tab, arrows along the row, Page keys
// from row to row, Enter opens the hole.

import { hear, tell } from "./bus.js";

export function start(table) {
  const all = () =>
    [...table.querySelectorAll("a.hole-name")].filter((link) => !link.closest("[hidden]"));
  const rowOf = (link) => link.closest("tr").dataset.row;

  const stopAt = (link) => {
    for (const one of table.querySelectorAll('a.hole-name[tabindex="0"]')) one.tabIndex = -1;
    if (link) link.tabIndex = 0;
  };
  // Figures and codes of a line are in the hole's card; here they would be thousands
  // of stops.
  for (const link of table.querySelectorAll("tbody a")) link.tabIndex = -1;
  stopAt(all()[0]);

  const firstOfRows = (links) =>
    links.filter((link, k) => k === 0 || rowOf(link) !== rowOf(links[k - 1]));

  const moves = {
    ArrowRight: (links, at) => links[at + 1],
    ArrowDown: (links, at) => links[at + 1],
    ArrowLeft: (links, at) => links[at - 1],
    ArrowUp: (links, at) => links[at - 1],
    Home: (links, at) => links.find((link) => rowOf(link) === rowOf(links[at])),
    End: (links, at) => links.findLast((link) => rowOf(link) === rowOf(links[at])),
    PageDown: (links, at) =>
      firstOfRows(links).find((link) => links.indexOf(link) > at),
    PageUp: (links, at) =>
      firstOfRows(links).findLast(
        (link) => links.indexOf(link) < at && rowOf(link) !== rowOf(links[at]),
      ),
  };

  table.addEventListener("keydown", (event) => {
    const link = event.target.closest("a.hole-name");
    const move = moves[event.key];
    if (!link || !move || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const links = all();
    const next = move(links, links.indexOf(link));
    if (next) next.focus();
  });

  table.addEventListener("focusin", (event) => {
    const link = event.target.closest("a.hole-name");
    if (!link) return;
    stopAt(link);
    tell("light", { names: [link.closest("tr").dataset.hole] });
  });
  table.addEventListener("focusout", () => tell("light", { names: null }));

  table.addEventListener("click", (event) => {
    const link = event.target.closest("a.hole-name");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    tell("choose", { name: link.closest("tr").dataset.hole, from: "table" });
  });

  hear("choose", ({ name }) => {
    for (const line of table.querySelectorAll("tr[data-hole]")) {
      if (line.dataset.hole === name) line.setAttribute("aria-current", "true");
      else line.removeAttribute("aria-current");
    }
    if (!name) return;
    const chosen = table.querySelector(`tr[data-hole="${CSS.escape(name)}"] a.hole-name`);
    if (chosen && !chosen.closest("[hidden]")) stopAt(chosen);
  });
}
