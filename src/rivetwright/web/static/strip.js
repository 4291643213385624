// A row drawn not to scale: its holes are chosen and lit as those of the map are.

import { hear, tell } from "./bus.js";

const TAP_REACH_PX = 24;

export function start(strip) {
  const svg = strip.querySelector("svg");
  const holes = [...svg.querySelectorAll(".hole")];
  let kept = null;

  const away = (hole, event) => {
    const box = hole.getBoundingClientRect();
    const dx = box.left + box.width / 2 - event.clientX;
    const dy = box.top + box.height / 2 - event.clientY;
    return Math.hypot(dx, dy);
  };
  strip.addEventListener("click", (event) => {
    const near = holes.filter((hole) => away(hole, event) <= TAP_REACH_PX);
    near.sort((a, b) => away(a, event) - away(b, event));
    if (near.length) tell("choose", { name: near[0].dataset.hole, from: "map" });
  });

  hear("light", ({ names, keep }) => {
    if (keep) kept = names;
    const meant = names ?? kept;
    const lit = meant && new Set(meant);
    svg.classList.toggle("has-lit", Boolean(lit));
    for (const hole of holes) {
      hole.classList.toggle("lit", Boolean(lit) && lit.has(hole.dataset.hole));
    }
  });
}
