// The list of findings lights the holes each one speaks of and goes to them.

import { tell, writeAddress } from "./bus.js";
import { namesOf } from "./ranges.js";

export function start(list) {
  const lines = [...list.querySelectorAll("[data-holes]")];
  let pinned = lines.find((line) => line.dataset.lit === "yes") ?? null;

  const isHere = (line) => line.dataset.face === list.dataset.face;
  const show = (line, fly) => {
    tell("light", { names: line && isHere(line) ? namesOf(line.dataset.holes) : null, fly });
  };
  const pin = (line) => {
    pinned = line;
    for (const one of lines) one.dataset.lit = one === line ? "yes" : "no";
    writeAddress({ lit: line?.dataset.key });
    show(line, true);
  };

  for (const line of lines) {
    for (const enter of ["mouseenter", "focusin"]) {
      line.addEventListener(enter, () => show(line, false));
    }
    for (const leave of ["mouseleave", "focusout"]) {
      line.addEventListener(leave, () => show(pinned, false));
    }
    line.querySelector("a.to-holes")?.addEventListener("click", (event) => {
      if (!isHere(line) || event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      pin(pinned === line ? null : line);
      document.querySelector(".map-frame")?.scrollIntoView({ block: "nearest" });
    });
  }
  if (pinned) show(pinned, true);
}
