// The small words at the foot of the screen: what the laptop has kept, or what waits here.

import { hear } from "../bus.js";

const TOLD_MS = 5000;

export class Told {
  constructor(toast) {
    this.toast = toast;
    this.timer = 0;
    this.expected = new Map();
    hear("kept", ({ kept }) => this.kept(kept));
    hear("link", (now) => (!now.isUp || now.isShut || now.why) && this.waits());
    // A mark that was refused has its card; nothing else is said of it.
    hear("waiting", ({ waiting }) => {
      for (const one of waiting) if (one.refused) this.expected.delete(one.id);
    });
  }

  // Said when the laptop has answered: what was pressed is not yet kept there.
  expect(form, mark) {
    const part = form.closest(".part");
    if (part) this.expected.set(mark.id, this.what(part, mark));
  }

  forget(mark) {
    this.expected.delete(mark.id);
  }

  // Of hours what holds now, not what the page said before the press.
  what(part, mark) {
    const { hours, runs, stopped } = this.toast.dataset;
    const since = new Date(mark.happened).toTimeString().slice(0, 5);
    if (mark.kind === "hours-begun") {
      return `${hours}: ${runs.replace("{what}", mark.body.operation).replace("{since}", since)}`;
    }
    if (mark.kind === "hours-ended") return `${hours}: ${stopped}`;
    return part.querySelector("summary").textContent.trim();
  }

  kept(kept) {
    const { toast } = this;
    const whats = kept.map((one) => this.expected.get(one.id)).filter(Boolean);
    for (const one of kept) this.expected.delete(one.id);
    const codes = new Set(kept.flatMap((one) => one.flags));
    const why = [...codes].map((code) => toast.getAttribute(`data-flag-${code}`)).filter(Boolean);
    const said = [];
    if (whats.length) said.push(toast.dataset.kept.replace("{what}", whats.join("; ")));
    if (why.length) said.push(toast.dataset.older.replace("{why}", why.join("; ")));
    if (said.length) this.say(said.join(". "));
  }

  waits() {
    const whats = [...this.expected.values()];
    this.expected.clear();
    if (whats.length) this.say(this.toast.dataset.waits.replace("{what}", whats.join("; ")));
  }

  say(words) {
    clearTimeout(this.timer);
    this.toast.textContent = words;
    this.toast.hidden = false;
    this.timer = setTimeout(() => (this.toast.hidden = true), TOLD_MS);
  }
}
