// Brings up the screen whose turn it is: in sight, in focus, on the map, and spoken.

import { tell } from "../bus.js";
import { label } from "./run.js";

const phone = matchMedia("(max-width: 63.99rem)");

export class Shown {
  constructor(root, stages) {
    this.root = root;
    this.stages = stages;
    this.lit = null;
    this.ringed = "";
    this.isFirst = true;
    this.stuck = [root.querySelector(".state-line"), root.querySelector(".maps")];
    const observer = new ResizeObserver(() => this.makeRoom());
    for (const one of this.stuck) observer.observe(one);
  }

  // What stays at the top, on a phone the map too, never covers what is led to.
  makeRoom() {
    const [line, maps] = this.stuck;
    const covered = line.offsetHeight + (phone.matches ? maps.offsetHeight : 0) + 6;
    document.documentElement.style.scrollPaddingTop = `${covered}px`;
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
    this.ring(single ?? "");
    if (isNew && !this.isFirst) {
      tell("hush", {});
      section.focus({ preventScroll: true });
      section.scrollIntoView({ block: "start" });
    }
    this.isFirst = false;
  }

  // The next hole, on a map that stays where it is.
  ring(name) {
    if (name === this.ringed) return;
    this.ringed = name;
    tell("choose", { name, from: "run" });
  }

  label() {
    for (const run of this.stages.runs()) {
      if (run.hidden) continue;
      label(run, this.stages.isSingle);
      const over = run.querySelector('[name="whole.left_over"]:checked')?.value ?? "0";
      run.querySelector(".left-hint")?.toggleAttribute("data-over", over !== "0");
    }
  }
}
