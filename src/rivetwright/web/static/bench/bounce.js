// A finger that bounces, or a hand button that chatters, presses twice. What follows so
// soon on a new screen or on a rivet just marked is not heard. Nothing that was meant is
// lost by it: nobody has read that screen or set the next rivet by then, no mark is
// thrown away, and what was pressed stays there to be pressed again.

import { hear } from "../bus.js";

export const DEAF_MS = 350;
const NAME = "bench: deaf"; // in the browser's own list of times
const HUSHED = ".stage, .undo-bar";

export class Bounce {
  constructor(root) {
    this.since = -DEAF_MS;
    root.addEventListener("click", (event) => this.hush(event), true);
    hear("hush", () => this.begin());
  }

  begin() {
    performance.clearMarks(NAME);
    this.since = performance.mark(NAME).startTime;
  }

  get isDeaf() {
    return performance.now() - this.since < DEAF_MS;
  }

  // By the time of the press, which may have waited behind the painting.
  hush(event) {
    if (event.timeStamp - this.since >= DEAF_MS || !event.target.closest(HUSHED)) return;
    event.preventDefault();
    event.stopPropagation();
  }
}
