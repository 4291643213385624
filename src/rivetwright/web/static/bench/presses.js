// What is pressed beside the forms: hole by hole, left for later, a hole on the map.

import { hear } from "../bus.js";

export class Presses {
  constructor(work) {
    this.work = work;
  }

  listen() {
    this.work.root.addEventListener("click", (event) => this.pressed(event));
    hear("choose", ({ name, from }) => from === "map" && this.tapped(name));
  }

  pressed(event) {
    const { panel, stages, shown } = this.work;
    const link = event.target.closest('a[href="#photo"]');
    if (link) panel.querySelector("#photo").open = true;
    const button = event.target.closest("button");
    const section = button?.closest('[data-kind="run"]');
    if (button?.matches(".singly")) stages.turnSingle();
    else if (button?.matches(".later") && section) stages.leave(section.dataset.run);
    else return;
    shown.turn();
  }

  tapped(name) {
    const { bounce, stages, undo } = this.work;
    if (bounce.isDeaf) return;
    const chip = stages.shown?.querySelector(`[name="but"][data-name="${CSS.escape(name)}"]`);
    if (chip && stages.isSingle) this.work.take(stages.shown.querySelector(".run-form"), chip.value);
    else undo.name(name);
  }
}
