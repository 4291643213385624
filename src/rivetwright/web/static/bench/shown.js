// Brings up the screen whose turn it is: in sight, in focus, on the map, and spoken.

import { tell } from "../bus.js";
import { label } from "./run.js";

const phone = matchMedia("(max-width: 63.99rem)");

export class Shown {
  constructor(root, stages) {
    this.root = root;
    this.stages = stages;
    this.lit = null;
    this.isFirst = true;
  }

  turn() {
    const { section, isNew } = this.stages.show();
    this.stages.fill(section);
    this.label();
    const lit = section.dataset.lit ?? "";
    if (isNew || lit !== this.lit) tell("stage", { section, isNew });
    this.lit = lit;
    const single = section.querySelector(".single-name:not([hidden])")?.textContent;
    if (isNew || single) tell("say", { words: single ?? section.dataset.spoken });
    if (isNew && !this.isFirst) {
      section.focus({ preventScroll: true });
      section.style.scrollMarginTop = `${this.covered()}px`;
      section.scrollIntoView({ block: "start" });
    }
    this.isFirst = false;
  }

  label() {
    for (const run of this.stages.runs()) {
      if (run.hidden) continue;
      label(run, this.stages.isSingle);
      const over = run.querySelector('[name="whole.left_over"]:checked')?.value ?? "0";
      run.querySelector(".left-hint")?.toggleAttribute("data-over", over !== "0");
    }
  }

  // What stays above the screen in use: the status line, and on a phone the map.
  covered() {
    const line = this.root.querySelector(".state-line").offsetHeight;
    return line + (phone.matches ? this.root.querySelector(".maps").offsetHeight : 0) + 6;
  }
}
